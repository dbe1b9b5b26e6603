//! What a row is, before its cells are read.

use std::collections::HashSet;

use crate::columns::STYLE_NUMBER;
use crate::finding::{Code, Finding};
use crate::mapping::TabMapping;
use crate::sheet::{Row, Tab};

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
    seen: HashSet<&'s [Box<str>]>,
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
    pub(super) fn new(mapping: &'s TabMapping) -> Self {
        Self { mapping, seen: HashSet::new() }
    }

    pub(super) fn sort(&mut self, row: &'s Row) -> Sorted {
        let filled = row.cells.iter().filter(|cell| !cell.trim().is_empty()).count();
        match filled {
            0 => Sorted::Blank,
            1 if self.mapping.columns.len() > 2 => Sorted::Remark,
            _ if self.is_total(row) => Sorted::Remark,
            _ if !self.seen.insert(&row.cells) => Sorted::Repeated,
            _ => Sorted::Data,
        }
    }

    /// A row that begins with a word for a sum and names no style number.
    fn is_total(&self, row: &Row) -> bool {
        let mut cells = row.cells.iter().map(|cell| cell.trim());
        let first = cells.find(|cell| !cell.is_empty()).unwrap_or_default();
        let word = first.split([' ', ':']).next().unwrap_or_default();
        let numbered = || {
            self.mapping.of(&STYLE_NUMBER).is_some_and(|mapped| {
                let number = row.cell(mapped.at).trim();
                !number.is_empty() && number != first
            })
        };
        SUMS.iter().any(|sum| word.eq_ignore_ascii_case(sum)) && !numbered()
    }
}

pub(super) fn remark(tab: &Tab, row: &Row) -> Finding {
    let filled = row.cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
    let text = filled.collect::<Vec<_>>().join(" · ");
    let say = format!("\"{text}\" is taken for a section, a total or a note, and left out.");
    Finding { code: Code::RowLeftOut, place: tab.row_place(row), heading: String::new(), text, say }
}

pub(super) fn repeated(tab: &Tab, row: &Row) -> Finding {
    let say = "The same row, word for word, stands further up; it counts once.".to_owned();
    let text = row.cells.join(" · ");
    Finding { code: Code::RowRepeated, place: tab.row_place(row), heading: String::new(), text, say }
}
