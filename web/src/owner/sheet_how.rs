//! How a sheet was read: encoding, separator, tabs, kind and answers, each with its evidence and a way to say otherwise.

use indexer::columns::STIFFNESS;
use indexer::heading::Heading;
use indexer::mapping::{HeadingRows, Means, RunMeans, SheetKind, TabMapping};
use indexer::sheet::{How, Tab};

use super::sheet_answers::{DELIMITERS, SYSTEMS, tab_name, tabs};
use crate::pages::sheet::HowRead;
use crate::parts::act::Act;
use crate::parts::control::{Control, Options, Select, Widget};
use crate::parts::problems::{Problem, at};
use crate::visit::capital;
use crate::visit::date::day;
use crate::waiting::{SheetId, Source, WaitingSheet};
use crate::words;

/// Encodings that can be said, by their names in the WHATWG Encoding Standard.
const ENCODINGS: [&str; 9] = [
    "UTF-8",
    "windows-1252",
    "UTF-16LE",
    "UTF-16BE",
    "ISO-8859-15",
    "windows-1250",
    "ISO-8859-2",
    "macintosh",
    "IBM866",
];
/// A mark of a run: its field, its words, and what it commonly means.
type RunMark = (&'static str, &'static str, fn(&RunMeans) -> Means);

/// The marks of a run.
const MARKS: [RunMark; 4] = [
    ("run_blank", word!("A blank cell in the run of sizes"), |run| run.blank),
    ("run_dash", word!("A dash in the run of sizes"), |run| run.dash),
    ("run_zero", word!("A zero in the run of sizes"), |run| run.zero),
    ("run_x", word!("An x in the run of sizes"), |run| run.x),
];

/// How it was read; `problems` are those of the form.
pub fn how(id: SheetId, waiting: &WaitingSheet, problems: &[Problem]) -> HowRead {
    let mut controls = of_file(waiting);
    controls.extend(of_text(waiting));
    let sheet = &waiting.understood.sheet;
    let several = sheet.tabs.len() > 1;
    for (at, tab, mapping) in tabs(sheet, &waiting.understood.mapping) {
        controls.extend(of_tab(waiting, at, tab, mapping, several));
    }
    controls.extend(of_answers(waiting));
    for control in &mut controls {
        control.wrong = at(problems, name_of(&control.widget)).map(str::to_owned);
    }
    let said = waiting.source != Source::Guessed || !waiting.told.headings.is_empty();
    HowRead {
        action: format!("{}/mapping", id.href()),
        short: short(waiting),
        open: controls.iter().any(|control| control.wrong.is_some()) || no_headings(waiting),
        controls,
        source: source(waiting),
        forget: said.then(|| Act::Post { action: format!("{}/forget", id.href()), fields: Vec::new() }),
        mapping_href: format!("{}/mapping.toml", id.href()),
    }
}

fn no_headings(waiting: &WaitingSheet) -> bool {
    waiting.understood.mapping.tabs.iter().all(|tab| !tab.is_taken())
}

fn name_of(widget: &Widget) -> &str {
    match widget {
        Widget::Select(select) => &select.name,
        Widget::Text { name, .. } => name,
    }
}

fn short(waiting: &WaitingSheet) -> String {
    let understood = &waiting.understood;
    let read = match &understood.sheet.how {
        How::Text(dialect) => {
            say!(
                "{encoding}, columns split at {delimiter}",
                encoding = dialect.encoding,
                delimiter = split_at(dialect.delimiter)
            )
        }
        other => words::made(&other.to_string()),
    };
    let rows = tabs(&understood.sheet, &understood.mapping).filter_map(|(_, tab, mapping)| {
        let rows = mapping.headings.filter(|_| mapping.is_taken())?;
        let title = tab.title.as_deref().map_or_else(String::new, |title| say!(" of {title}", title));
        Some(say!("headings in row {number}{title}", number = tab.rows.get(rows.own)?.number, title))
    });
    let rows: Vec<String> = rows.collect();
    let rows = if rows.is_empty() { say!("no headings found").to_owned() } else { rows.join(", ") };
    format!("{}; {rows}.", capital(&read))
}

fn split_at(delimiter: char) -> String {
    let known = DELIMITERS.iter().find(|(_, own, _)| *own == delimiter);
    known.map_or_else(|| format!("“{delimiter}”"), |(.., words)| words::of(words).to_owned())
}

fn source(waiting: &WaitingSheet) -> String {
    let supplier = &waiting.understood.mapping.supplier;
    match waiting.source {
        Source::Guessed => say!("The headings are guessed from their words. Applying remembers how they were read, for the next sheet with the same ones.").to_owned(),
        Source::Remembered(at) => say!("The headings are read as on {day} for {supplier}; change what is other now.", day = day(at), supplier),
        Source::File => say!("The headings are read as a mapping file says.").to_owned(),
    }
}

fn control(label: &str, evidence: impl Into<String>, widget: Widget) -> Control {
    Control { label: label.to_owned(), evidence: evidence.into(), widget, wrong: None }
}

fn text(name: &str, value: Option<&str>) -> Widget {
    Widget::Text { name: name.to_owned(), value: value.unwrap_or_default().to_owned(), number: false }
}

fn select(
    name: &str,
    chosen: &str,
    first: &str,
    others: impl IntoIterator<Item = (String, String)>,
) -> Widget {
    let first = (!first.is_empty()).then(|| (String::new(), first.to_owned()));
    let options = first.into_iter().chain(others).collect();
    Widget::Select(Select {
        name: name.to_owned(),
        spoken: None,
        groups: vec![Options { label: String::new(), options }],
        chosen: chosen.to_owned(),
    })
}

fn pair(value: &str, label: &str) -> (String, String) {
    (value.to_owned(), label.to_owned())
}

fn of_file(waiting: &WaitingSheet) -> Vec<Control> {
    let mapping = &waiting.understood.mapping;
    let kind = if mapping.kind == SheetKind::Full { "full" } else { "partial" };
    let kinds = [
        pair("partial", say!("Partial: a part of the range")),
        pair("full", say!("Full: all that this supplier has")),
    ];
    vec![
        control(
            say!("Supplier"),
            say!("How its headings were read is remembered under this name."),
            text("supplier", Some(&mapping.supplier)),
        ),
        control(
            say!("What it is"),
            say!("Only a full sheet can say that something is missing."),
            select("kind", kind, "", kinds),
        ),
        control(
            say!("Maker of every row"),
            say!("Where the sheet has no column for it."),
            text("maker", waiting.told.maker.as_deref()),
        ),
    ]
}

/// Encoding and separator, for a table of text.
fn of_text(waiting: &WaitingSheet) -> Vec<Control> {
    let Some(dialect) = waiting.understood.sheet.dialect() else { return Vec::new() };
    let words = words::made(&dialect.to_string());
    let (encoding, delimiter) = words.split_once("; ").unwrap_or((&words, ""));
    let told = &waiting.told;
    let split = told.delimiter.and_then(|said| DELIMITERS.iter().find(|(_, own, _)| *own == said));
    let delimiters = DELIMITERS.iter().map(|(word, _, label)| pair(word, words::of(label)));
    vec![
        control(
            say!("Encoding"),
            capital(encoding),
            select(
                "encoding",
                told.encoding.as_deref().unwrap_or_default(),
                say!("As recognised"),
                ENCODINGS.map(|name| pair(name, name)),
            ),
        ),
        control(
            say!("Columns are split at"),
            capital(delimiter),
            select("delimiter", split.map_or("", |(word, ..)| word), say!("As recognised"), delimiters),
        ),
    ]
}

fn of_tab(waiting: &WaitingSheet, at: usize, tab: &Tab, mapping: &TabMapping, several: bool) -> Vec<Control> {
    let said = waiting.told.tabs.get(&tab_name(tab)).cloned().unwrap_or_default();
    let title = tab.title.as_deref().map_or_else(String::new, |title| say!(" of tab {title}", title));
    let row = said.heading_row.map(|row| row.to_string());
    let widget = Widget::Text { name: format!("tab-{at}-row"), value: row.unwrap_or_default(), number: true };
    let evidence = mapping.headings.map_or_else(
        || {
            say!("No row was found whose headings are known. Type the number of the row they stand in.")
                .to_owned()
        },
        |rows| rows_in_words(tab, rows, said.heading_row.is_some()),
    );
    let mut controls = vec![control(&say!("Row of headings{title}", title), evidence, widget)];
    if several {
        let taken = if said.leave_out { "leave" } else { "take" };
        let takes = [pair("take", say!("Read it")), pair("leave", say!("Leave it out"))];
        let evidence = say!("{rows} rows with cells.", rows = tab.rows.len());
        let widget = select(&format!("tab-{at}-take"), taken, "", takes);
        controls.push(control(
            &say!("Tab {as_deref}", as_deref = tab.title.as_deref().unwrap_or_default()),
            evidence,
            widget,
        ));
    }
    controls
}

fn rows_in_words(tab: &Tab, rows: HeadingRows, said: bool) -> String {
    let number = |at: usize| tab.rows.get(at).map_or(0, |row| row.number);
    let above = if rows.first < rows.own {
        say!(", under groups in row {rows}", rows = number(rows.first))
    } else {
        String::new()
    };
    let below = if rows.last > rows.own {
        say!(", with units in row {rows}", rows = number(rows.last))
    } else {
        String::new()
    };
    let why = if said { say!("as you said") } else { say!("the first row whose headings are known") };
    say!("Row {own}{above}{below}: {why}. Blank: as found.", own = number(rows.own), above, below, why)
}

fn of_answers(waiting: &WaitingSheet) -> Vec<Control> {
    let (told, mapping) = (&waiting.told, &waiting.understood.mapping);
    let mut controls = Vec::new();
    if mapping.has_stock() || told.size_system.is_some() {
        let systems = SYSTEMS.map(|system| pair(system, system));
        let chosen = told.size_system.as_deref().unwrap_or_default();
        controls.push(control(
            say!("Sizes that name no system are"),
            "",
            select("size_system", chosen, say!("Not said"), systems),
        ));
    }
    let says_stiffness =
        |heading: &str| Heading::of(heading).column().is_some_and(|column| column.key == STIFFNESS.key);
    let mut columns = mapping.tabs.iter().flat_map(|tab| &tab.columns);
    if told.stiffness.is_some() || columns.any(|mapped| says_stiffness(&mapped.heading)) {
        let kinds = [
            pair("bending", say!("Bending, lengthwise")),
            pair("compression", say!("Compression of the midsole")),
            pair("torsion", say!("Torsion")),
        ];
        let evidence =
            say!("A bare “stiffness” can be any of three; until it is said it is kept and not used.");
        controls.push(control(
            say!("“Stiffness” is"),
            evidence,
            select("stiffness", told.stiffness.as_deref().unwrap_or_default(), say!("Not said"), kinds),
        ));
    }
    if mapping.tabs.iter().any(|tab| tab.run().next().is_some()) {
        controls.extend(of_run(waiting));
    }
    controls
}

fn of_run(waiting: &WaitingSheet) -> impl Iterator<Item = Control> {
    let told = &waiting.told;
    let said = [&told.run_blank, &told.run_dash, &told.run_zero, &told.run_x]
        .map(|said| said.clone().unwrap_or_default());
    MARKS.iter().zip(said).map(|((field, label, common), said)| {
        let common = words::of(common(&RunMeans::default()).words());
        let meanings = Means::ALL.map(|means| pair(means.words(), words::of(means.words())));
        control(words::of(label), "", select(field, &said, &say!("As is common: {common}", common), meanings))
    })
}
