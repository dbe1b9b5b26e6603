//! What each heading feeds, and what it may be said to feed instead.

use indexer::columns::{COLUMNS, Column, Level, Reads};
use indexer::finding::{Code, Finding, Holds};
use indexer::heading::Unit;
use indexer::mapping::{Feeds, IGNORE, MappedColumn, TabMapping, Undecided};
use indexer::sheet::{Tab, column_letters};

use super::sheet_answers::{FieldNames, SYSTEMS, key_of, tabs};
use crate::pages::sheet_headings::{HeadingRow, Headings};
use crate::parts::Link;
use crate::parts::control::{Options, Select};
use crate::visit::capital;
use crate::waiting::WaitingSheet;
use crate::words;

/// Characters of a sample; more is cut off.
const SAMPLE: usize = 40;
/// Units that can be said of bare numbers.
const LENGTHS: [&str; 3] = ["mm", "cm", "in"];
const MASSES: [&str; 4] = ["g", "kg", "oz", "lb"];

/// All headings of the tabs that are read.
pub fn headings(waiting: &WaitingSheet) -> Headings {
    let (mut undecided, mut decided, mut runs) = (Vec::new(), Vec::new(), Vec::new());
    let sheet = &waiting.understood.sheet;
    let several = sheet.tabs.len() > 1;
    for (at, tab, mapping) in tabs(sheet, &waiting.understood.mapping).filter(|(.., m)| m.is_taken()) {
        runs.extend(run(tab, mapping, several));
        let missing = lacks_a_column(waiting, tab);
        for mapped in mapping.columns.iter().filter(|mapped| !matches!(mapped.feeds, Feeds::Size(_))) {
            let row = row(waiting, at, tab, mapped, missing, several);
            if row.undecided || is_open(mapped) { undecided.push(row) } else { decided.push(row) }
        }
    }
    Headings { short: short(waiting), undecided, decided, runs }
}

/// What keeps the sheet from being applied, each with where it is decided.
pub fn undecided(waiting: &WaitingSheet) -> Vec<Link> {
    let sheet = &waiting.understood.sheet;
    let mut links = Vec::new();
    for (at, _, mapping) in tabs(sheet, &waiting.understood.mapping).filter(|(.., m)| m.is_taken()) {
        for mapped in mapping.columns.iter().filter(|mapped| matches!(mapped.feeds, Feeds::Undecided(_))) {
            let label = say!(
                "What is “{heading}” in column {mapped}?",
                heading = mapped.heading,
                mapped = column_letters(mapped.at)
            );
            links.push(Link::new(label, format!("#{}", FieldNames::of(at, mapped).feeds)));
        }
    }
    let others = waiting
        .understood
        .proposal
        .findings
        .iter()
        .filter(|finding| finding.code.holds() == Holds::Sheet && !is_of_heading(finding.code));
    links.extend(others.map(|finding| Link::new(words::made(&finding.say), anchor(finding))));
    links
}

/// Whether a finding only says again that a heading is undecided.
fn is_of_heading(code: Code) -> bool {
    matches!(code, Code::HeadingUndecided | Code::HeadingNearMiss)
}

fn anchor(finding: &Finding) -> &'static str {
    if finding.code == Code::NoHeading { "#how" } else { "#headings" }
}

fn short(waiting: &WaitingSheet) -> String {
    let taken = waiting.understood.mapping.tabs.iter().filter(|tab| tab.is_taken());
    let columns: Vec<&MappedColumn> = taken.flat_map(|tab| &tab.columns).collect();
    let count = |holds: fn(&Feeds) -> bool| columns.iter().filter(|mapped| holds(&mapped.feeds)).count();
    let parts = [
        (count(|feeds| matches!(feeds, Feeds::Column(_))), say!("understood")),
        (count(|feeds| matches!(feeds, Feeds::Size(_))), say!("sizes of a run")),
        (count(|feeds| matches!(feeds, Feeds::LeftOut(_) | Feeds::Ignored)), say!("left out")),
        (count(|feeds| matches!(feeds, Feeds::Unknown)), say!("not known and left out")),
        (count(|feeds| matches!(feeds, Feeds::Undecided(_))), say!("to decide")),
    ];
    let said = parts.iter().filter(|(count, _)| *count > 0).map(|(count, words)| format!("{count} {words}"));
    say!("{columns} headings: {said}.", columns = columns.len(), said = said.collect::<Vec<_>>().join(", "))
}

/// The run of sizes of a tab, in one line.
fn run(tab: &Tab, mapping: &TabMapping, several: bool) -> Option<String> {
    let sizes: Vec<_> = mapping.run().collect();
    let ((first, from), (last, to)) = (sizes.first()?, sizes.last()?);
    let of =
        tab.title.as_deref().filter(|_| several).map_or_else(String::new, |title| say!(" of {title}", title));
    Some(say!(
        "Columns {column_letters} to {column_letters_2}{of} are {sizes} sizes, {label} to {to}: pairs stand in their cells.",
        column_letters = column_letters(first.at),
        column_letters_2 = column_letters(last.at),
        of,
        sizes = sizes.len(),
        label = from.label,
        to = to.label
    ))
}

/// Whether the tab lacks a column that it cannot do without: an unknown heading may be the one.
fn lacks_a_column(waiting: &WaitingSheet, tab: &Tab) -> bool {
    let missing =
        |finding: &&Finding| finding.code == Code::ColumnMissing && finding.place.sheet == tab.label;
    waiting.understood.proposal.findings.iter().any(|finding| missing(&finding))
}

/// Its decimal mark or the unit of its bare numbers is open: such cells are held, the rest is taken.
fn is_open(mapped: &MappedColumn) -> bool {
    let number = mapped.column().is_some_and(|column| column.is_number());
    number && (mapped.mark.decimal.is_none() || mapped.other_unit.is_some())
}

fn row(
    waiting: &WaitingSheet,
    at: usize,
    tab: &Tab,
    mapped: &MappedColumn,
    missing: bool,
    several: bool,
) -> HeadingRow {
    let names = FieldNames::of(at, mapped);
    let unknown = missing && mapped.feeds == Feeds::Unknown;
    let title = tab
        .title
        .as_deref()
        .filter(|_| several)
        .map_or_else(String::new, |title| say!(", tab {title}", title));
    HeadingRow {
        place: say!("column {mapped}{title}", mapped = column_letters(mapped.at), title),
        heading: mapped.heading.clone(),
        samples: mapped.samples.iter().map(|sample| shortened(sample)).collect(),
        state: state(mapped, missing),
        undecided: unknown || matches!(mapped.feeds, Feeds::Undecided(_)),
        suggestions: suggestions(mapped).into_iter().map(|(_, words)| words).collect(),
        unit: unit(waiting, at, mapped, &names),
        mark: mark(waiting, mapped, &names),
        feeds: feeds(waiting, at, mapped, names.feeds.clone()),
    }
}

fn shortened(sample: &str) -> String {
    let cut: String = sample.chars().take(SAMPLE).collect();
    if cut.len() < sample.len() { format!("{cut}…") } else { cut }
}

fn state(mapped: &MappedColumn, missing: bool) -> String {
    let open = if mapped.other_unit.is_some() {
        say!(
            " Some cells name a unit and some do not: say the unit of the bare ones; until then they are held."
        )
    } else if is_open(mapped) {
        say!(" Its decimal mark is open: cells that can be read both ways are held.")
    } else {
        ""
    };
    match &mapped.feeds {
        Feeds::Column(column) => format!("{}{open}", words::of(column.says)),
        Feeds::Size(size) => say!("Pairs of size {size}.", size = size.label),
        Feeds::LeftOut(column) => words::of(column.says).to_owned(),
        Feeds::Ignored => say!("Left out.").to_owned(),
        Feeds::Unknown if missing => {
            say!("Nobody knows this heading, and a column that is needed is missing: is it this one?")
                .to_owned()
        }
        Feeds::Unknown => say!("Nobody knows this heading; it is left out.").to_owned(),
        Feeds::Undecided(Undecided::Another(column)) => say!(
            "Another heading says {headings} too. Say which is it, and leave the other out.",
            headings = words::of(column.headings[0])
        ),
        Feeds::Undecided(Undecided::Either(_)) => {
            say!("It may be more than one thing. What is it?").to_owned()
        }
        Feeds::Undecided(Undecided::Nearly(_)) => {
            say!("Nobody knows this heading, though it is nearly one that is known. What is it?").to_owned()
        }
    }
}

/// Columns that a heading may be, the likeliest first, each with its score and reason.
fn suggestions(mapped: &MappedColumn) -> Vec<(&'static Column, String)> {
    let by_state: Vec<&'static Column> = match &mapped.feeds {
        Feeds::Undecided(Undecided::Another(column)) => vec![column],
        Feeds::Undecided(Undecided::Either(columns)) => columns.clone(),
        Feeds::Undecided(Undecided::Nearly(_)) | Feeds::Unknown => Vec::new(),
        _ => return Vec::new(),
    };
    let of_words = mapped.suggestions().into_iter();
    let of_words = of_words.filter(|suggestion| !by_state.contains(&suggestion.column));
    let scored = of_words.map(|suggestion| {
        let name = words::of(suggestion.column.headings[0]);
        (
            suggestion.column,
            say!(
                "Perhaps {name} ({score} of 100): {reason}",
                name,
                score = suggestion.score,
                reason = suggestion.reason
            ),
        )
    });
    let sure = by_state
        .iter()
        .map(|column| (*column, say!("Its words say {headings}.", headings = words::of(column.headings[0]))));
    sure.chain(scored).collect()
}

fn feeds(waiting: &WaitingSheet, tab: usize, mapped: &MappedColumn, name: String) -> Select {
    let said = waiting.told.headings.get(&mapped.name).map(|said| said.key());
    let guess = waiting.guessed.tabs.get(tab).and_then(|tab| tab.named(&mapped.name));
    // What was said only to name a unit or a mark is still the guess.
    let chosen = said.filter(|key| guess.is_none_or(|g| *key != key_of(&g.feeds) || g.column().is_none()));
    let suggested = suggestions(mapped).into_iter().map(|(column, _)| option(column)).collect();
    let group = |label: &str, options: Vec<(String, String)>| Options { label: label.to_owned(), options };
    let mut groups =
        vec![group("", vec![(String::new(), as_guessed(guess))]), group(say!("Perhaps"), suggested)];
    for (label, holds) in GROUPS {
        groups.push(group(
            words::of(label),
            COLUMNS.iter().filter(|column| holds(column)).map(|column| option(column)).collect(),
        ));
    }
    groups.push(group(say!("Nothing"), vec![(IGNORE.to_owned(), say!("Leave it out").to_owned())]));
    groups.retain(|group| !group.options.is_empty());
    let spoken = say!(
        "What “{heading}” in column {mapped} is",
        heading = mapped.heading,
        mapped = column_letters(mapped.at)
    );
    Select { name, spoken: Some(spoken), groups, chosen: chosen.unwrap_or_default().to_owned() }
}

/// The name of a group of columns, and which belong to it.
type Group = (&'static str, fn(&Column) -> bool);

/// The groups of columns.
const GROUPS: [Group; 4] = [
    (word!("The shoe"), |column| column.level == Level::Style && !is_measure(column)),
    (word!("Its measures"), is_measure),
    (word!("Sizes, stock and price"), |column| matches!(column.level, Level::Sku | Level::Either)),
    (word!("Several in one cell"), |column| column.level == Level::Others),
];

fn is_measure(column: &Column) -> bool {
    use Reads::{Bending, Compression, Devices, KindUnknown, Length, Mass, MassSize, YesNo};
    let measured = [Length, Mass, MassSize, Bending, KindUnknown, Compression, Devices, YesNo];
    column.level == Level::Style && (measured.contains(&column.reads) || column.key.starts_with("torsion"))
}

fn option(column: &Column) -> (String, String) {
    (column.key.to_owned(), capital(words::of(column.headings[0])))
}

fn as_guessed(guess: Option<&MappedColumn>) -> String {
    match guess.map(|guess| &guess.feeds) {
        Some(Feeds::Column(column)) => {
            say!("{headings}, as understood", headings = capital(words::of(column.headings[0])))
        }
        Some(Feeds::LeftOut(_) | Feeds::Ignored) => say!("Left out, as understood").to_owned(),
        Some(Feeds::Size(size)) => say!("Pairs of size {size}", size = size.label),
        Some(Feeds::Undecided(_)) => say!("Choose what it is").to_owned(),
        Some(Feeds::Unknown) | None => say!("Not known: left out").to_owned(),
    }
}

fn unit(waiting: &WaitingSheet, tab: usize, mapped: &MappedColumn, names: &FieldNames) -> Option<Select> {
    let units: &[&str] = match mapped.column()?.reads {
        Reads::Length | Reads::Stacks => &LENGTHS,
        Reads::Mass => &MASSES,
        Reads::Size | Reads::MassSize => &SYSTEMS,
        _ => return None,
    };
    let guess = waiting.guessed.tabs.get(tab).and_then(|tab| tab.named(&mapped.name));
    let own = guess.and_then(|guess| guess.unit).map(Unit::word);
    let said = waiting.told.headings.get(&mapped.name).and_then(|said| said.unit()).map(Unit::word);
    let first = match (own, mapped.column()?.reads) {
        (Some(own), _) => say!("{own}, as the heading says", own),
        (None, Reads::Length) => say!("Not said: mm").to_owned(),
        (None, Reads::Mass) => say!("Not said: g").to_owned(),
        (None, _) => say!("Not said").to_owned(),
    };
    let options = units.iter().map(|unit| ((*unit).to_owned(), (*unit).to_owned()));
    Some(Select {
        name: names.unit.clone(),
        spoken: Some(say!(
            "Unit of “{heading}” in column {mapped}",
            heading = mapped.heading,
            mapped = column_letters(mapped.at)
        )),
        groups: vec![Options {
            label: String::new(),
            options: [(String::new(), first)].into_iter().chain(options).collect(),
        }],
        chosen: said.filter(|said| Some(*said) != own).unwrap_or_default().to_owned(),
    })
}

fn mark(waiting: &WaitingSheet, mapped: &MappedColumn, names: &FieldNames) -> Option<(Select, String)> {
    mapped.column().filter(|column| column.is_number())?;
    let said = waiting.told.headings.get(&mapped.name).and_then(|said| said.decimal_mark());
    let first = match (said, mapped.mark.decimal) {
        (Some(_), _) => say!("As the cells tell"),
        (None, Some(',')) => say!("Decimal comma"),
        (None, Some(_)) => say!("Decimal point"),
        (None, None) => say!("Decimal mark open"),
    };
    let select = Select {
        name: names.mark.clone(),
        spoken: Some(say!(
            "Decimal mark of “{heading}” in column {mapped}",
            heading = mapped.heading,
            mapped = column_letters(mapped.at)
        )),
        groups: vec![Options::plain(&[("", first), (".", say!("Say: point")), (",", say!("Say: comma"))])],
        chosen: said.map(String::from).unwrap_or_default(),
    };
    Some((select, format!("{}.", capital(&words::made(&mapped.mark.seen.to_string())))))
}
