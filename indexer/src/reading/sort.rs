//! What a row is, before its cells are read.

use std::collections::HashSet;

use foldhash::fast::RandomState;

use crate::cells::trimmed;
use crate::columns::STYLE_NUMBER;
use crate::finding::{Code, Finding};
use crate::mapping::TabMapping;
use crate::sheet::{Cells, Row, Tab};

/// What a row is.
pub(super) enum Sorted {
    Blank,
    /// A section heading, a total, a note.
    Remark,
    /// Word for word a row further up.
    Repeated,
    Data,
}

/// Sorts the rows of one tab, in their order.
pub(super) struct Sorter<'s> {
    mapping: &'s TabMapping,
    seen: HashSet<&'s Cells, RandomState>,
}

/// Words that begin a row of sums, in the six languages of the headings.
const SUMS: [&str; 16] = [
    "total",
    "totals",
    "subtotal",
    "sum",
    "summe",
    "gesamt",
    "zwischensumme",
    "somme",
    "sous-total",
    "totaal",
    "subtotaal",
    "suma",
    "totale",
    "subtotale",
    "somma",
    "totaux",
];

impl<'s> Sorter<'s> {
    pub(super) fn new(mapping: &'s TabMapping, rows: usize) -> Self {
        Self { mapping, seen: HashSet::with_capacity_and_hasher(rows, RandomState::default()) }
    }

    pub(super) fn sort(&mut self, row: &'s Row) -> Sorted {
        let mut filled = row.cells.iter().map(str::trim).filter(|cell| !cell.is_empty());
        match (filled.next(), filled.next()) {
            (None, _) => Sorted::Blank,
            (Some(_), None) if self.mapping.columns.len() > 2 => Sorted::Remark,
            (Some(first), _) if self.is_total(first, row) => Sorted::Remark,
            _ if !self.seen.insert(&row.cells) => Sorted::Repeated,
            _ => Sorted::Data,
        }
    }

    /// A row that begins with a word for a sum and names no style number.
    fn is_total(&self, first: &str, row: &Row) -> bool {
        let word = first.split([' ', ':']).next().unwrap_or_default();
        let numbered = || {
            self.mapping.of(&STYLE_NUMBER).is_some_and(|mapped| {
                let number = trimmed(row.cell(mapped.at));
                !number.is_empty() && number != first
            })
        };
        SUMS.iter().any(|sum| word.eq_ignore_ascii_case(sum)) && !numbered()
    }
}

pub(super) fn remark(tab: &Tab, row: &Row) -> Finding {
    let filled = row.cells.iter().map(trimmed).filter(|cell| !cell.is_empty());
    let text = filled.collect::<Vec<_>>().join(" · ");
    let say = format!("\"{text}\" is taken for a section, a total or a note, and left out.");
    Finding { code: Code::RowLeftOut, place: tab.row_place(row), heading: String::new(), text, say }
}

pub(super) fn repeated(tab: &Tab, row: &Row) -> Finding {
    let say = "The same row, word for word, stands further up; it counts once.".to_owned();
    let text = row.cells.join(" · ");
    Finding { code: Code::RowRepeated, place: tab.row_place(row), heading: String::new(), text, say }
}
