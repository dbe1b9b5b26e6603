//! What a sheet leaves open about its headings: the questions, and the mapping that the answers make.

use axum::http::StatusCode;
use indexer::columns::{Column, NAME, SIZE, STYLE_NUMBER};
use indexer::mapping::{Feeds, HeadingSaid, IGNORE, MappedColumn, MappingFile, TabMapping, Undecided as Why};
use indexer::sheet::column_letters;

use crate::pages::sheet_preview::{Settle, Undecided};
use crate::parts::fields::Choice;
use crate::refusal::Refusal;
use crate::waiting::WaitingSheet;

/// The form; `None` when nothing about the headings keeps the sheet from being applied.
pub fn form(number: u64, sheet: &WaitingSheet) -> Option<Settle> {
    if !sheet.understood.proposal.is_refused() {
        return None;
    }
    let tabs = sheet.understood.mapping.tabs.iter().enumerate().filter(|(_, tab)| tab.is_taken());
    let questions: Vec<_> = tabs
        .flat_map(|(at, tab)| {
            tab.columns.iter().filter_map(move |column| question(at, column, tab, &sheet.told))
        })
        .collect();
    (!questions.is_empty()).then(|| Settle { action: format!("/sheets/{number}/mapping"), questions })
}

/// The mapping with these answers in it.
///
/// # Errors
/// A column that does not exist.
pub fn settled(sheet: &WaitingSheet, answers: &[(String, String)]) -> Result<MappingFile, Refusal> {
    let tabs = sheet.understood.mapping.tabs.iter().enumerate();
    let columns: Vec<_> = tabs
        .flat_map(|(at, tab)| tab.columns.iter().map(move |column| (name_of(at, column), column)))
        .collect();
    let mut told = sheet.told.clone();
    for (name, key) in answers {
        let Some((_, column)) = columns.iter().find(|(own, _)| own == name) else { continue };
        told.headings.insert(column.name.clone(), HeadingSaid::new(key, None, None));
    }
    MappingFile::parse(&told.to_toml()).map_err(|why| cannot_be(why.to_string()))
}

fn question(
    tab: usize,
    mapped: &MappedColumn,
    mapping: &TabMapping,
    told: &MappingFile,
) -> Option<Undecided> {
    let (columns, asks) = match &mapped.feeds {
        Feeds::Undecided(Why::Another(column)) => {
            (vec![*column], "another heading says the same. What is it?")
        }
        Feeds::Undecided(Why::Either(columns)) => {
            (columns.clone(), "it may be more than one thing. What is it?")
        }
        Feeds::Undecided(Why::Nearly(near)) => {
            (needed(mapping, Some(near)), "nobody knows this heading. What is it?")
        }
        Feeds::Unknown => (needed(mapping, None), "nobody knows this heading. What is it?"),
        Feeds::Column(_) | Feeds::Size(_) | Feeds::LeftOut(_) | Feeds::Ignored => return None,
    };
    let feeds = columns.iter().map(|column| choice(column.key, &format!("It is the {}", column.headings[0])));
    Some(Undecided {
        name: name_of(tab, mapped),
        say: format!("“{}” in column {}: {asks}", mapped.heading, column_letters(mapped.at)),
        choices: feeds.chain([choice(IGNORE, "Leave it out")]).collect(),
        chosen: told.headings.get(&mapped.name).map(|said| said.key().to_owned()).unwrap_or_default(),
    })
}

/// What an unknown heading may be: a column that the sheet cannot do without, or one with nearly its words.
fn needed(mapping: &TabMapping, near: Option<&'static Column>) -> Vec<&'static Column> {
    let mut columns: Vec<&'static Column> = vec![&STYLE_NUMBER, &NAME, &SIZE];
    columns.retain(|column| mapping.of(column).is_none());
    columns.extend(near.filter(|near| !columns.iter().any(|column| column.key == near.key)));
    columns
}

/// The name of a question: by the place of its column, for a heading may hold anything.
fn name_of(tab: usize, mapped: &MappedColumn) -> String {
    format!("column-{tab}-{}", column_letters(mapped.at))
}

fn choice(value: &str, label: &str) -> Choice {
    Choice { value: value.to_owned(), label: label.to_owned(), hint: String::new() }
}

fn cannot_be(say: String) -> Refusal {
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "The headings are not settled", say)
}
