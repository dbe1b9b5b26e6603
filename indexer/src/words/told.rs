//! What was done to the words of a question, to be told to whoever asked.

use super::question::{How, Part, Question, Reading};
use super::tokens::{Word, pieces};
use std::ops::Range;

/// What was done to find something, and what to mark in the texts that were found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// Words that were read otherwise than typed, or otherwise too.
    pub read: Vec<ReadAs>,
    /// Words that no shoe found was asked to hold.
    pub left_out: Vec<String>,
    /// Words of which each shoe found holds all but one, not all of them the same.
    pub all_but_one_of: Vec<String>,
    /// The words looked for, each with whether it may be the beginning of one.
    sought: Vec<(Word, bool)>,
}

/// A part of the question, and what was found for it instead or besides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadAs {
    /// As it was typed.
    pub typed: String,
    /// What shoes that were found hold.
    pub found: Vec<Meant>,
    /// How the first of them was read; those before others in this order.
    pub how: How,
}

/// Words that were found instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meant {
    /// As they stand in the index.
    pub words: String,
    /// A row that spells them as the catalogue does.
    pub(crate) row: Option<u32>,
}

impl Told {
    /// Of words that were all looked for as typed, the last one also as a beginning.
    pub(super) fn plain(words: Vec<Word>) -> Self {
        let last = words.len();
        let sought = words.into_iter().zip(1..).map(|(word, nth)| (word, nth == last)).collect();
        Self { sought, ..Self::default() }
    }

    /// Of a question before anything is told of it.
    pub(super) fn of(question: &Question) -> Self {
        let mut told = Self::default();
        for reading in question.iter().flat_map(|part| &part.readings).filter(|r| r.how == How::Typed) {
            told.seek(reading);
        }
        told
    }

    /// Takes in the readings of a part that were found.
    pub(super) fn take(&mut self, part: &Part, read: &[&Reading], row: impl Fn(&Reading) -> Option<u32>) {
        let Some(how) = read.first().map(|reading| reading.how) else { return };
        for reading in read {
            self.seek(reading);
        }
        let found = read.iter().map(|reading| Meant {
            words: reading.words.iter().map(|word| word.folded.as_str()).collect::<Vec<_>>().join(" "),
            row: row(reading),
        });
        self.read.push(ReadAs { typed: part.as_typed(), found: found.collect(), how });
    }

    fn seek(&mut self, reading: &Reading) {
        let last = reading.words.len();
        for (at, word) in reading.words.iter().enumerate() {
            self.sought.push((word.clone(), reading.cut && at + 1 == last));
        }
    }

    /// Whether anything was done that whoever asked should know.
    pub fn is_plain(&self) -> bool {
        self.read.is_empty() && self.left_out.is_empty() && self.all_but_one_of.is_empty()
    }

    /// Where in a text words stand that were looked for, in bytes and in order.
    pub fn marked(&self, text: &str) -> Vec<Range<usize>> {
        if self.sought.is_empty() {
            return Vec::new();
        }
        let is = |form: &str, (word, cut): &(Word, bool)| {
            word.forms().any(|own| if *cut { form.starts_with(own) } else { form == own })
        };
        let sought = |form: &str| self.sought.iter().any(|sought| is(form, sought));
        let marked = pieces(text)
            .into_iter()
            .filter(|piece| piece.words().iter().any(|word| word.forms().any(sought)));
        marked.map(|piece| piece.at).collect()
    }

    /// Words of a text that are spelt so in the index, as the text spells them.
    pub(crate) fn spelt_in(words: &str, text: &str) -> Option<String> {
        let wanted: Vec<&str> = words.split(' ').collect();
        let pieces = pieces(text);
        let is = |word: &str, at: usize| {
            pieces
                .get(at)
                .is_some_and(|piece| piece.words().iter().any(|own| own.forms().any(|form| form == word)))
        };
        let starts = 0..pieces.len();
        let at = starts.into_iter().find(|at| wanted.iter().enumerate().all(|(n, word)| is(word, at + n)))?;
        Some(text[pieces[at].at.start..pieces[at + wanted.len() - 1].at.end].to_owned())
    }
}
