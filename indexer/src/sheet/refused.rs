//! What the child refuses, in numbers; the words are the parent's.

use super::WorkbookFault;

/// What the child refuses: a code and a spot, no words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Refused {
    pub(super) why: Why,
    pub(super) at: Spot,
}

/// A place before it is known in which sheet; numbered as a [`super::Place`], row 0 for the whole file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) row: u32,
    pub(super) line: u32,
    pub(super) column: Option<u16>,
}

impl Refused {
    /// Of the whole file.
    pub(super) fn whole(why: Why) -> Self {
        Self { why, at: Spot { row: 0, line: 0, column: None } }
    }
}

/// The codes of [`Refused`]. Their position in `all` is their number between child and parent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Why {
    Nul,
    Damaged,
    OpenQuote,
    TextAfterQuote,
    TooManyBreaks,
    LongCell,
    TooManyColumns,
    TooManyRows,
    TooManyCells,
    /// A cell points at a text that the workbook does not hold.
    Dangling,
    /// A workbook with macros, or a binary one.
    OldKind,
    /// A zip that is no workbook of this kind.
    NotWorkbook,
    /// A fault of the whole workbook, or of one of its tabs.
    Book(WorkbookFault),
}

impl Why {
    const PLAIN: [Self; 12] = [
        Self::Nul,
        Self::Damaged,
        Self::OpenQuote,
        Self::TextAfterQuote,
        Self::TooManyBreaks,
        Self::LongCell,
        Self::TooManyColumns,
        Self::TooManyRows,
        Self::TooManyCells,
        Self::Dangling,
        Self::OldKind,
        Self::NotWorkbook,
    ];

    pub(super) fn all() -> impl Iterator<Item = Self> {
        Self::PLAIN.into_iter().chain(WorkbookFault::ALL.into_iter().map(Self::Book))
    }

    pub(super) fn number(self) -> u8 {
        match self {
            Self::Book(fault) => Self::PLAIN.len() as u8 + fault as u8,
            plain => Self::PLAIN.iter().position(|one| *one == plain).unwrap_or(0) as u8,
        }
    }

    #[cfg(test)]
    pub(super) fn has_a_place(self) -> bool {
        !matches!(self, Self::OldKind | Self::NotWorkbook | Self::Book(_))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_why_survives_its_number() {
        for (number, why) in Why::all().enumerate() {
            assert_eq!(usize::from(why.number()), number);
        }
    }
}
