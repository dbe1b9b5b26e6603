//! What a question asks for, part by part, and what else each part may mean.

use std::ops::Range;

use super::synonyms::Synonyms;
use super::tokens::Word;

/// A question: all of its parts are needed.
pub(super) type Question = Vec<Part>;

/// One part of a question: a word, or some that stand for one thing.
#[derive(Clone, Debug)]
pub(super) struct Part {
    /// The words as typed.
    pub(super) typed: Vec<Word>,
    /// What will do, as typed first.
    pub(super) readings: Vec<Reading>,
}

/// Words, all of them needed, that will do for a part.
#[derive(Clone, Debug)]
pub(super) struct Reading {
    pub(super) words: Vec<Word>,
    /// The last word may be the beginning of one.
    pub(super) cut: bool,
    pub(super) how: How,
}

/// How words were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum How {
    /// As they were typed.
    Typed,
    /// As the shop says that they are meant too.
    Synonym,
    /// Two words as one, or one as two.
    Pieced,
    /// With one letter or two in another way.
    Corrected {
        /// How many letters were wrong, the first one counted twice.
        wrong: u8,
    },
}

impl How {
    /// What a part that was found so counts, in quarters: whatever was typed comes before what was meant, and one wrong
    /// letter before two.
    pub(super) fn quarters(self) -> u8 {
        match self {
            Self::Typed => 4,
            Self::Synonym | Self::Pieced => 3,
            Self::Corrected { wrong: 0 | 1 } => 2,
            Self::Corrected { .. } => 1,
        }
    }
}

impl Part {
    /// How it was typed.
    pub(super) fn as_typed(&self) -> String {
        self.typed.iter().map(|word| word.typed.as_str()).collect::<Vec<_>>().join(" ")
    }
}

/// The question as it was typed, each word and each code a part, with what the shop has said that words mean too. The
/// last word may be cut short.
pub(super) fn as_typed(words: &[Word], synonyms: &Synonyms) -> Question {
    let part = |at: Range<usize>, meant: Vec<&[Word]>| {
        let own = &words[at.clone()];
        let typed = Reading { words: own.to_vec(), cut: at.end == words.len(), how: How::Typed };
        let meant =
            meant.into_iter().map(|name| Reading { words: name.to_vec(), cut: false, how: How::Synonym });
        Part { typed: own.to_vec(), readings: [typed].into_iter().chain(meant).collect() }
    };
    let mut question = Vec::new();
    let mut next = 0;
    let ends = [(words.len()..words.len(), Vec::new())];
    for (at, meant) in synonyms.in_question(words).into_iter().chain(ends) {
        for own in words[next..at.start].chunk_by(|one, other| one.code.is_some() && one.code == other.code) {
            question.push(part(next..next + own.len(), Vec::new()));
            next += own.len();
        }
        if !meant.is_empty() {
            question.push(part(at.clone(), meant));
        }
        next = at.end;
    }
    question
}
