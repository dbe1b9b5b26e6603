//! What the owner says of a sheet on its page: the answers of the form, and the mapping they make. A field that is not
//! posted leaves what was said; a blank one takes it back.

use std::collections::BTreeMap;

use indexer::mapping::{
    Feeds, HeadingSaid, IGNORE, MappedColumn, Mapping, MappingFile, SheetKind, TEXT, TabMapping, TabSaid,
};
use indexer::sheet::{Sheet, Tab, column_letters};

use super::sent::unfit_supplier;
use crate::parts::problems::Problem;
use crate::waiting::WaitingSheet;
use crate::words;

/// Separators by their words in the form.
pub const DELIMITERS: [(&str, char, &str); 4] = [
    ("comma", ',', word!("commas")),
    ("semicolon", ';', word!("semicolons")),
    ("tab", '\t', word!("tabs")),
    ("bar", '|', word!("vertical bars")),
];

/// Systems of sizes by their words.
pub const SYSTEMS: [&str; 5] = ["EU", "UK", "US", "MP", "CM"];

/// The names of the fields of one heading: what it feeds, its unit, its mark.
pub struct FieldNames {
    /// What it feeds.
    pub feeds: String,
    /// The unit of bare numbers.
    pub unit: String,
    /// The decimal mark.
    pub mark: String,
}

impl FieldNames {
    /// By the place of its column, for a heading may hold anything.
    pub fn of(tab: usize, mapped: &MappedColumn) -> Self {
        let place = format!("{tab}-{}", column_letters(mapped.at));
        Self {
            feeds: format!("column-{place}"),
            unit: format!("unit-{place}"),
            mark: format!("mark-{place}"),
        }
    }
}

/// The name of a tab in a mapping file.
pub fn tab_name(tab: &Tab) -> String {
    tab.title.as_deref().unwrap_or(TEXT).to_owned()
}

/// What was said with these answers in it.
///
/// # Errors
/// Answers that cannot be, each at its field.
pub fn told(sheet: &WaitingSheet, answers: &[(String, String)]) -> Result<MappingFile, Vec<Problem>> {
    let answers: BTreeMap<&str, &str> =
        answers.iter().map(|(name, value)| (name.as_str(), value.trim())).collect();
    let mut told = sheet.told.clone();
    let mut problems = Vec::new();
    of_the_whole(&mut told, &answers, &mut problems);
    for (at, (tab, mapping)) in
        sheet.understood.sheet.tabs.iter().zip(&sheet.understood.mapping.tabs).enumerate()
    {
        of_tab(&mut told, at, tab, &answers, &mut problems);
        for mapped in &mapping.columns {
            of_heading(&mut told, sheet, at, mapped, &answers);
        }
    }
    if problems.is_empty() {
        return MappingFile::parse(&told.to_toml())
            .map_err(|why| vec![Problem { field: String::new(), say: words::made(&why.to_string()) }]);
    }
    Err(problems)
}

fn of_the_whole(told: &mut MappingFile, answers: &BTreeMap<&str, &str>, problems: &mut Vec<Problem>) {
    let said = |name: &str, place: &mut Option<String>| {
        if let Some(value) = answers.get(name) {
            *place = Some((*value).to_owned()).filter(|value| !value.is_empty());
        }
    };
    said("supplier", &mut told.supplier);
    said("maker", &mut told.maker);
    said("encoding", &mut told.encoding);
    said("size_system", &mut told.size_system);
    said("stiffness", &mut told.stiffness);
    said("run_blank", &mut told.run_blank);
    said("run_dash", &mut told.run_dash);
    said("run_zero", &mut told.run_zero);
    said("run_x", &mut told.run_x);
    match answers.get("kind") {
        Some(&"full") => told.kind = SheetKind::Full,
        Some(&"partial") => told.kind = SheetKind::Partial,
        _ => {}
    }
    if let Some(word) = answers.get("delimiter") {
        told.delimiter = DELIMITERS.iter().find(|(own, ..)| own == word).map(|(_, delimiter, _)| *delimiter);
    }
    for (field, name) in [("supplier", &told.supplier), ("maker", &told.maker)] {
        let unfit = name.as_deref().and_then(unfit_supplier);
        problems.extend(unfit.map(|say| Problem { field: field.to_owned(), say }));
    }
}

fn of_tab(
    told: &mut MappingFile,
    at: usize,
    tab: &Tab,
    answers: &BTreeMap<&str, &str>,
    problems: &mut Vec<Problem>,
) {
    let name = tab_name(tab);
    let mut said = told.tabs.get(&name).cloned().unwrap_or_default();
    let field = format!("tab-{at}-row");
    match answers.get(field.as_str()) {
        None => {}
        Some(&"") => said.heading_row = None,
        Some(text) => match text.parse().ok().filter(|number| tab.rows.iter().any(|row| row.number == *number)) {
            Some(number) => said.heading_row = Some(number),
            None => problems.push(Problem {
                say: say!("There is no row “{text}” with cells in {tab}. Type the number of the row of headings, such as 3.", text, tab = tab.label),
                field,
            }),
        },
    }
    if let Some(take) = answers.get(format!("tab-{at}-take").as_str()) {
        said.leave_out = *take == "leave";
    }
    if said == TabSaid::default() {
        told.tabs.remove(&name);
    } else {
        told.tabs.insert(name, said);
    }
}

/// What is said of a heading, in the shortest form: what would be guessed anyway is not said.
fn of_heading(
    told: &mut MappingFile,
    sheet: &WaitingSheet,
    tab: usize,
    mapped: &MappedColumn,
    answers: &BTreeMap<&str, &str>,
) {
    let names = FieldNames::of(tab, mapped);
    let posted = [&names.feeds, &names.unit, &names.mark].map(|name| answers.get(name.as_str()).copied());
    if posted == [None; 3] {
        return;
    }
    let guessed = sheet.guessed.tabs.get(tab).and_then(|tab| tab.named(&mapped.name));
    let guess = guessed.map_or(IGNORE, |guessed| key_of(&guessed.feeds));
    let before = told.headings.get(&mapped.name);
    let [feeds, unit, mark] = posted;
    let feeds =
        feeds.map_or_else(|| before.map(|said| said.key().to_owned()), |key| filled(key).map(str::to_owned));
    let unit = match unit {
        Some(word) => filled(word).map(str::to_owned),
        None => before.and_then(HeadingSaid::unit).map(|unit| unit.word().to_owned()),
    };
    let own = guessed.and_then(|guessed| guessed.unit).map(|unit| unit.word());
    let unit = unit.filter(|word| Some(word.as_str()) != own);
    let mark = match mark {
        Some(mark) => mark.chars().next(),
        None => before.and_then(HeadingSaid::decimal_mark),
    };
    let key = feeds.filter(|key| key != guess || guessed.is_some_and(|g| is_open(&g.feeds)));
    if key.is_none() && unit.is_none() && mark.is_none() {
        told.headings.remove(&mapped.name);
    } else {
        let key = key.unwrap_or_else(|| guess.to_owned());
        told.headings.insert(mapped.name.clone(), HeadingSaid::new(&key, unit, mark));
    }
}

fn filled(text: &str) -> Option<&str> {
    Some(text).filter(|text| !text.is_empty())
}

/// The key by which a file says what this feeds.
pub fn key_of(feeds: &Feeds) -> &'static str {
    feeds.column().map_or(IGNORE, |column| column.key)
}

/// Whether it feeds nothing only because nobody has said so: leaving it out is then a word of its own.
fn is_open(feeds: &Feeds) -> bool {
    matches!(feeds, Feeds::Undecided(_) | Feeds::Unknown)
}

/// The tabs of a sheet with how they are read.
pub fn tabs<'s>(
    sheet: &'s Sheet,
    mapping: &'s Mapping,
) -> impl Iterator<Item = (usize, &'s Tab, &'s TabMapping)> {
    sheet.tabs.iter().zip(&mapping.tabs).enumerate().map(|(at, (tab, mapping))| (at, tab, mapping))
}
