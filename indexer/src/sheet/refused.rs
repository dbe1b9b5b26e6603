//! What the child refuses, in numbers; the words are the parent's.

/// What the child refuses: a code and a spot, no words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Refused {
    pub(super) why: Why,
    pub(super) at: Spot,
}

/// A place before it is known in which sheet; numbered as a [`super::Place`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) row: u32,
    pub(super) line: u32,
    pub(super) column: Option<u16>,
}

/// The codes of [`Refused`]. Their position in `ALL` is their number between child and parent.
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
}

impl Why {
    pub(super) const ALL: [Self; 9] = [
        Self::Nul,
        Self::Damaged,
        Self::OpenQuote,
        Self::TextAfterQuote,
        Self::TooManyBreaks,
        Self::LongCell,
        Self::TooManyColumns,
        Self::TooManyRows,
        Self::TooManyCells,
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_why_survives_its_number() {
        for (number, why) in Why::ALL.into_iter().enumerate() {
            assert_eq!(why as usize, number);
        }
    }
}
