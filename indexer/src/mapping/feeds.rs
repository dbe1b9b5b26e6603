//! What each heading feeds: guessed by its words, or said by the owner.

use super::file::said_feeds;
use super::{Answers, MappedColumn, MappingFile, RunSize};
use crate::columns::{Column, Level, PRICE, STIFFNESS, TRADE_PRICE};
use crate::heading::Heading;

/// What a heading feeds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Feeds {
    /// This column.
    Column(&'static Column),
    /// The pairs of one size of a run.
    Size(RunSize),
    /// Nothing: it is recognised and left out by name.
    LeftOut(&'static Column),
    /// Nothing: the owner said so.
    Ignored,
    /// Nothing: nobody knows it.
    Unknown,
    /// Nothing until the owner says what.
    Undecided(Undecided),
}

/// Why a heading is undecided.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Undecided {
    /// Another heading feeds the same column.
    Another(&'static Column),
    /// Its words may mean any of these columns.
    Either(Vec<&'static Column>),
    /// It is nearly a word for this column, which no other heading feeds.
    Nearly(&'static Column),
}

impl Feeds {
    /// The column fed, if any.
    pub fn column(&self) -> Option<&'static Column> {
        match self {
            Self::Column(column) => Some(column),
            _ => None,
        }
    }
}

/// Says what every heading feeds, one by one.
pub(super) fn decide(columns: &mut [MappedColumn], answers: &Answers, file: Option<&MappingFile>) {
    for mapped in columns {
        mapped.feeds = feeds_of(mapped, file);
        if mapped.feeds == Feeds::Unknown
            && let Some(column) = left_out(&mapped.heading)
        {
            mapped.feeds = Feeds::LeftOut(column);
        }
        if mapped.column().is_some_and(|column| column.key == STIFFNESS.key)
            && let Some(kind) = answers.stiffness
        {
            mapped.feeds = Feeds::Column(kind);
        }
        if let Some(unit) = file.and_then(|f| f.heading(mapped)).and_then(|said| said.unit()) {
            mapped.unit = Some(unit);
        }
    }
}

/// What one heading feeds, the others aside.
pub(super) fn feeds_of(mapped: &MappedColumn, file: Option<&MappingFile>) -> Feeds {
    match file.and_then(|f| f.heading(mapped)) {
        Some(said) => said_feeds(said.key()),
        None => guess(&mapped.heading),
    }
}

/// By the whole heading, else by its last part: a group above need not say anything, but may say whose a price is.
fn guess(heading: &str) -> Feeds {
    if heading == super::PROBLEM {
        return Feeds::Ignored;
    }
    let parts: Vec<&str> = heading.split(" / ").collect();
    let own = || by_words(&Heading::of(parts.last().copied().unwrap_or_default()));
    match by_words(&Heading::of_parts(&parts)) {
        Feeds::Unknown if parts.len() > 1 => match own() {
            Feeds::Column(column) if column.key == PRICE.key => {
                Feeds::Undecided(Undecided::Either(vec![&PRICE, &TRADE_PRICE]))
            }
            own => own,
        },
        whole => whole,
    }
}

fn by_words(heading: &Heading) -> Feeds {
    match heading.columns().as_slice() {
        [] => Feeds::Unknown,
        [column] if column.level == Level::LeftOut => Feeds::LeftOut(column),
        [column] => Feeds::Column(column),
        several => Feeds::Undecided(Undecided::Either(several.to_vec())),
    }
}

/// A heading that holds the words of a column that is left out anyway: a carton price, however it goes on. Compared with
/// every word known, so it is asked of headings alone and not of every row that might be one.
fn left_out(heading: &str) -> Option<&'static Column> {
    let parts: Vec<&str> = heading.split(" / ").collect();
    let first = Heading::of_parts(&parts).suggestions().into_iter().next()?;
    (!first.slip && first.column.level == Level::LeftOut).then_some(first.column)
}

/// Two headings that feed one column are both undecided, unless the owner has said so of one of them; and so is a
/// near miss of a column that nothing else feeds.
pub(super) fn mark_undecided(columns: &mut [MappedColumn]) {
    let fed: Vec<&str> = columns.iter().filter_map(MappedColumn::column).map(|column| column.key).collect();
    for mapped in columns {
        match &mapped.feeds {
            Feeds::Column(column) if fed.iter().filter(|key| **key == column.key).count() > 1 => {
                mapped.feeds = Feeds::Undecided(Undecided::Another(column));
            }
            Feeds::Unknown => {
                let near = mapped.suggestions().into_iter().find(|near| near.slip);
                if let Some(near) = near.filter(|near| !fed.contains(&near.column.key)) {
                    mapped.feeds = Feeds::Undecided(Undecided::Nearly(near.column));
                }
            }
            _ => {}
        }
    }
}
