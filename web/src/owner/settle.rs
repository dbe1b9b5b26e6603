//! What a sheet leaves open about its headings: the questions, and the mapping that the answers make.

use axum::http::StatusCode;
use indexer::columns::{Column, NAME, SIZE, STYLE_NUMBER};
use indexer::mapping::{Feeds, MappedColumn, Mapping, MappingFile};
use indexer::sheet::column_letters;

use crate::pages::sheet_preview::{Settle, Undecided};
use crate::parts::fields::Choice;
use crate::refusal::Refusal;
use crate::waiting::WaitingSheet;

const LEAVE_OUT: &str = "ignore";

/// The form; `None` when nothing about the headings keeps the sheet from being applied.
pub fn form(number: u64, sheet: &WaitingSheet) -> Option<Settle> {
    if !sheet.understood.proposal.is_refused() {
        return None;
    }
    let mapping = &sheet.understood.mapping;
    let questions: Vec<_> =
        mapping.columns.iter().filter_map(|column| question(column, mapping, &sheet.told)).collect();
    (!questions.is_empty()).then(|| Settle { action: format!("/sheets/{number}/mapping"), questions })
}

/// The mapping with these answers in it.
///
/// # Errors
/// A column that does not exist; two columns of one heading that are to feed two things.
pub fn settled(sheet: &WaitingSheet, answers: &[(String, String)]) -> Result<MappingFile, Refusal> {
    let columns = &sheet.understood.mapping.columns;
    let mut told = sheet.told.clone();
    for (name, key) in answers {
        let Some(column) = columns.iter().find(|column| name_of(column) == *name) else { continue };
        told.headings.insert(column.heading.clone(), key.clone());
    }
    let overruled = answers.iter().find_map(|(name, key)| {
        let column = columns.iter().find(|column| name_of(column) == *name)?;
        (told.headings.get(&column.heading) != Some(key)).then_some(column)
    });
    if let Some(column) = overruled {
        return Err(same_heading(&column.heading));
    }
    MappingFile::parse(&told.to_toml()).map_err(|why| cannot_be(why.to_string()))
}

fn question(mapped: &MappedColumn, mapping: &Mapping, told: &MappingFile) -> Option<Undecided> {
    let (columns, asks) = match mapped.feeds {
        Feeds::Undecided(column) => (vec![column], "another heading says the same. What is it?"),
        Feeds::Unknown(near) => (needed(mapping, near), "nobody knows this heading. What is it?"),
        Feeds::Column(_) | Feeds::LeftOut(_) | Feeds::Ignored => return None,
    };
    let feeds = columns.iter().map(|column| choice(column.key, &format!("It is the {}", column.headings[0])));
    Some(Undecided {
        name: name_of(mapped),
        say: format!("“{}” in column {}: {asks}", mapped.heading, column_letters(mapped.at)),
        choices: feeds.chain([choice(LEAVE_OUT, "Leave it out")]).collect(),
        chosen: told.headings.get(&mapped.heading).cloned().unwrap_or_default(),
    })
}

/// What an unknown heading may be: a column that the sheet cannot do without, or one with nearly its words.
fn needed(mapping: &Mapping, near: Option<&'static Column>) -> Vec<&'static Column> {
    let mut columns: Vec<&'static Column> = vec![&STYLE_NUMBER, &NAME, &SIZE];
    columns.retain(|column| mapping.of(column).is_none());
    columns.extend(near.filter(|near| !columns.iter().any(|column| column.key == near.key)));
    columns
}

/// The name of a question: by the place of its column, for a heading may hold anything.
fn name_of(mapped: &MappedColumn) -> String {
    format!("column-{}", column_letters(mapped.at))
}

fn choice(value: &str, label: &str) -> Choice {
    Choice { value: value.to_owned(), label: label.to_owned(), hint: String::new() }
}

fn same_heading(heading: &str) -> Refusal {
    cannot_be(format!(
        "Two columns are headed “{heading}”, so they cannot be told apart by it. Give one of them another heading in \
         the sheet, and send it again."
    ))
}

fn cannot_be(say: String) -> Refusal {
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, "The headings are not settled", say)
}
