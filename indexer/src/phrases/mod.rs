//! What is typed among words and means a filter: `drop 4`, `4 mm`, `under 250 g`, `size 42.5`, `40 stack`, `wide`,
//! `men's`, `trail`, `light`, `stiff`.
//!
//! A phrase is read and never taken in silence: whoever asks is told of each, and can have the words instead. A phrase
//! stays words where a shoe is called by it and by all other words.

mod grammar;
mod tokens;
mod vocabulary;

use std::ops::Range as Span;

use crate::search::Range;
use crate::snapshot::{Group, Snapshot};
use crate::words::Word;
use grammar::Reader;

/// Words that mean a filter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    /// As they were typed.
    pub typed: String,
    /// Where they stand in what was typed, in bytes.
    pub at: Span<usize>,
    /// The filter.
    pub means: Means,
    /// A shoe is called by them and the other words, so that they stay words.
    pub is_name: bool,
}

/// A filter that words mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Means {
    /// Numbers of a group from and to, as a search has them.
    Range(Group, Range),
    /// Values of a group, any of which will do.
    Values(Group, Vec<String>),
    /// A size of which no system is said: values of the group of sizes that it may be.
    SizeOf(Vec<String>),
}

impl Snapshot {
    /// The phrases of a question that mean filters, in their order; none of a question that is refused.
    pub fn phrases(&self, typed: &str) -> Vec<Phrase> {
        if Word::read(typed).is_err() {
            return Vec::new();
        }
        let tokens = tokens::of(typed);
        let found = Reader::of(self, &tokens).all();
        let phrase = |(at, means): &(Span<usize>, Means)| {
            let others = found.iter().map(|(other, _)| other).filter(|other| *other != at);
            let with_words = cut(typed, others);
            let is_name =
                Word::read(&with_words).is_ok_and(|words| self.words.is_called(&words, &self.columns.live));
            Phrase { typed: typed[at.clone()].to_owned(), at: at.clone(), means: means.clone(), is_name }
        };
        found.iter().map(phrase).collect()
    }
}

/// What is left of a question without the phrases that are no words.
pub fn without(typed: &str, phrases: &[Phrase]) -> String {
    let left = cut(typed, phrases.iter().filter(|phrase| !phrase.is_name).map(|phrase| &phrase.at));
    let words = left.split_whitespace().map(|word| word.trim_matches([',', ';']));
    words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// A text without some places, which are in order.
fn cut<'a>(text: &str, places: impl Iterator<Item = &'a Span<usize>>) -> String {
    let mut left = String::new();
    let mut from = 0;
    for place in places {
        left.push_str(&text[from..place.start]);
        left.push(' ');
        from = place.end;
    }
    left.push_str(&text[from..]);
    left
}

impl Phrase {
    /// Whether it narrows the list, rather than being asked back.
    pub fn is_filter(&self) -> bool {
        !self.is_name && !matches!(self.means, Means::SizeOf(_))
    }

    /// The group that it narrows.
    pub fn group(&self) -> Group {
        match &self.means {
            Means::Range(group, _) | Means::Values(group, _) => *group,
            Means::SizeOf(_) => Group::Size,
        }
    }
}

#[cfg(test)]
mod tests;
