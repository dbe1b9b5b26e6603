//! The cells of one row, kept as one text: a sheet has millions of them, and most are a few bytes long.

use std::fmt;
use std::ops::Range;

/// The cells of a row from the left, exactly as written.
#[derive(Clone, Default, PartialEq, Eq, Hash)]
pub struct Cells {
    /// All of them, one behind the other.
    text: Box<str>,
    /// Where each ends in the text, in bytes.
    ends: Box<[u32]>,
}

impl Cells {
    /// Cells that stand in one text, each ending where the next begins; `None` where an end is not in order or splits a
    /// character.
    pub(super) fn of(text: &str, ends: Box<[u32]>) -> Option<Self> {
        let in_text = ends.iter().all(|end| text.is_char_boundary(*end as usize));
        let whole = ends.last().map_or(0, |end| *end as usize) == text.len();
        (in_text && whole && ends.is_sorted()).then(|| Self { text: text.into(), ends })
    }

    /// The text of a cell; `None` beyond the last. `column` counts from 0.
    pub fn get(&self, column: usize) -> Option<&str> {
        let end = *self.ends.get(column)?;
        self.text.get(self.begin(column) as usize..end as usize)
    }

    /// Whether these columns hold the same here and there, cell by cell; a row that is too short for them does not.
    pub(crate) fn alike(&self, other: &Self, columns: Range<usize>) -> bool {
        let parts = self.part(columns.clone()).zip(other.part(columns));
        parts.is_some_and(|((text, lengths), (its, its_lengths))| text == its && lengths.eq(its_lengths))
    }

    /// The bytes of some columns, and how long each is up to and with its own.
    fn part(&self, columns: Range<usize>) -> Option<(&[u8], impl Iterator<Item = u32>)> {
        let begin = self.begin(columns.start);
        let ends = self.ends.get(columns)?;
        let text = self.text.as_bytes().get(begin as usize..*ends.last()? as usize)?;
        Some((text, ends.iter().map(move |end| end - begin)))
    }

    /// Where a cell begins.
    fn begin(&self, column: usize) -> u32 {
        column.checked_sub(1).map_or(0, |before| self.ends.get(before).copied().unwrap_or_default())
    }

    /// How many there are; a short row has fewer.
    pub fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// From the left.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &str> + ExactSizeIterator + Clone {
        (0..self.len()).map(|column| self.get(column).unwrap_or_default())
    }

    /// All of them in one text, for people.
    pub fn join(&self, between: &str) -> String {
        self.iter().collect::<Vec<_>>().join(between)
    }

    /// All of them, one behind the other, and where each ends.
    pub(super) fn parts(&self) -> (&str, &[u32]) {
        (&self.text, &self.ends)
    }
}

impl<S: AsRef<str>> FromIterator<S> for Cells {
    fn from_iter<I: IntoIterator<Item = S>>(cells: I) -> Self {
        let (mut text, mut ends) = (String::new(), Vec::new());
        for cell in cells {
            text.push_str(cell.as_ref());
            ends.push(text.len() as u32);
        }
        Self { text: text.into(), ends: ends.into() }
    }
}

impl fmt::Debug for Cells {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.iter()).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_come_back_as_they_were_put_in() {
        let cells: Cells = ["a", "", "é"].into_iter().collect();
        assert_eq!(cells.iter().collect::<Vec<_>>(), ["a", "", "é"]);
        assert_eq!((cells.len(), cells.get(2), cells.get(3)), (3, Some("é"), None));
    }

    #[test]
    fn cells_that_differ_in_their_ends_alone_differ() {
        let of = |cells: [&str; 2]| Cells::from_iter(cells);
        assert_ne!(of(["ab", "c"]), of(["a", "bc"]));
    }

    #[test]
    fn columns_are_alike_cell_by_cell_wherever_they_stand_in_the_text() {
        let of = |cells: &[&str]| Cells::from_iter(cells);
        let row = of(&["xyz", "ab", "c", "d"]);
        assert!(row.alike(&of(&["", "ab", "c", "other"]), 1..3));
        assert!(!row.alike(&of(&["", "a", "bc", "d"]), 1..3), "the same text, parted otherwise");
        assert!(!row.alike(&of(&["", "ab", "e", "d"]), 1..3));
        assert!(!row.alike(&of(&["", "ab"]), 1..3), "too short");
    }

    #[test]
    fn ends_out_of_order_beyond_or_inside_a_character_make_no_cells() {
        for ends in [[2, 1], [1, 4], [1, 2], [0, 0]] {
            assert_eq!(Cells::of("aé", ends.into()), None, "{ends:?}");
        }
        assert_eq!(Cells::of("aé", [1, 3].into()), Some(["a", "é"].into_iter().collect()));
    }
}
