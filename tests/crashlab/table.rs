//! What the laboratory found, as a table.

use std::fmt;

/// One fault, and what came of it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Found {
    /// How often it was done.
    pub(crate) tries: usize,
    /// Changes that were acknowledged before it.
    pub(crate) acknowledged: usize,
    /// Acknowledged changes that were gone after it.
    pub(crate) lost: usize,
    /// States that are after no change whole, or stores that are damaged.
    pub(crate) mixed: usize,
    /// Starts that were refused afterwards.
    pub(crate) refused: usize,
    /// What else is worth a word.
    pub(crate) note: String,
}

/// Whether it could be done here.
pub(crate) enum Outcome {
    Done(Found),
    /// Not here, and why.
    Skipped(String),
}

impl Found {
    pub(crate) fn is_whole(&self) -> bool {
        self.lost == 0 && self.mixed == 0
    }

    /// With a word beside it.
    pub(crate) fn noted(self, note: &str) -> Self {
        Self { note: note.to_owned(), ..self }
    }

    /// Both, as one line.
    pub(crate) fn and(mut self, other: &Self) -> Self {
        self.tries += other.tries;
        self.acknowledged += other.acknowledged;
        self.lost += other.lost;
        self.mixed += other.mixed;
        self.refused += other.refused;
        self
    }
}

pub(crate) const HEAD: &str =
    "| fault | tries | acknowledged | lost | mixed | refused at start | |\n|---|---|---|---|---|---|---|";

/// A line of the table.
pub(crate) struct Line<'l>(pub(crate) &'l str, pub(crate) &'l Found);

impl fmt::Display for Line<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(fault, Found { tries, acknowledged, lost, mixed, refused, note }) = self;
        write!(f, "| {fault} | {tries} | {acknowledged} | {lost} | {mixed} | {refused} | {note} |")
    }
}
