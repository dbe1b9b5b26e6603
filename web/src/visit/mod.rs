//! From what the domain says to what a page of a fitting shows: plain functions, words and order, no markup.
//!
//! Single words first ([`money`], [`date`], [`shoe`], [`deltas`], [`pairs`], [`sizes`], [`unasked`]); then the parts of the
//! ranked list ([`order`], [`narrow`], [`brief`], [`chips`], [`said`], [`changed`],
//! [`rows`], [`marks`], [`groups`], [`ways`]); a scan ([`scan`], [`hidden`]); then the other pages ([`why`],
//! [`on_foot`], [`beside`], [`compare`], [`plan`], [`card`], [`card_paper`]); and the runner's form ([`answers`], [`worn`], [`runner_page`]),
//! and what two windows say at once ([`meanwhile`]).

pub mod answers;
pub mod beside;
pub mod beside_words;
pub mod brief;
pub mod card;
pub mod card_paper;
pub mod changed;
pub mod chips;
pub mod compare;
pub mod date;
pub mod deltas;
pub mod groups;
pub mod hidden;
pub mod marks;
pub mod meanwhile;
pub mod money;
pub mod narrow;
pub mod on_foot;
pub mod order;
pub mod pairs;
pub mod plan;
pub mod reasons;
pub mod rows;
pub mod runner_page;
pub mod said;
pub mod scan;
pub mod share;
pub mod shoe;
pub mod sizes;
pub mod stock_map;
pub mod unasked;
pub mod ways;
pub mod why;
pub mod worn;

use indexer::snapshot::Snapshot;

use crate::fittings::{Fitting, FittingId};

/// One fitting as one request looks at it: a copy of what was gathered, beside the catalogue it is shown with.
pub struct Visit<'s> {
    /// Its address.
    pub id: FittingId,
    /// What it holds.
    pub fitting: Fitting,
    /// The catalogue of this request.
    pub snapshot: &'s Snapshot,
}

impl Visit<'_> {
    /// The address of a page or an act of this fitting: `/fittings/…/runner`.
    pub fn href(&self, part: &str) -> String {
        format!("/fittings/{}{part}", self.id)
    }
}

/// `one`, `one and two`, `one, two and three`.
pub(crate) fn listed<T: AsRef<str>>(words: &[T], last: &str) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., end] => format!("{} {last} {end}", most.join(", ")),
    }
}

/// `1 row`, `2 rows`: a number of things, by the word for one and the word for several.
pub(crate) fn number_of(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

/// The same words with a capital letter.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_listed_as_they_are_spoken() {
        assert_eq!(listed(&["42", "42.5", "43"], "or"), "42, 42.5 or 43");
        assert_eq!((listed(&["42"], "or"), listed::<&str>(&[], "or")), ("42".into(), String::new()));
        assert_eq!(capital("drop"), "Drop");
    }
}
