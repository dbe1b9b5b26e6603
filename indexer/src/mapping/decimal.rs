//! The decimal mark of each column of numbers, decided from its own cells, with the evidence.

use std::cmp::Ordering;
use std::fmt;

use super::{MappedColumn, MappingFile};
use crate::sheet::Row;

/// A decimal mark and why.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// `.` or `,`; `None` when the cells do not tell and one of them could be read both ways.
    pub decimal: Option<char>,
    /// Why.
    pub seen: MarkSeen,
}

/// Evidence for a decimal mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkSeen {
    /// The owner has said.
    Said,
    /// So many cells of the column can only be read so.
    Cells {
        /// Cells that can only be read so.
        agreeing: u32,
        /// Cells with a mark.
        of: u32,
    },
    /// The other columns of the table write it so.
    Others,
    /// No cell has a mark, so that it does not matter.
    NoMark,
    /// Some cells can only be read with a point, others only with a comma.
    Mixed {
        /// Cells with a decimal point.
        points: u32,
        /// Cells with a decimal comma.
        commas: u32,
    },
    /// Cells such as `1.234` may be read both ways, and nothing tells which, or the other cells of the column speak
    /// against the nearer reading.
    Open,
}

/// Of the cells with a mark, how many must agree for the others to be taken for slips: nine in ten.
const MOST: (u32, u32) = (9, 10);

impl Default for Mark {
    fn default() -> Self {
        Self { decimal: Some('.'), seen: MarkSeen::NoMark }
    }
}

impl fmt::Display for MarkSeen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Said => f.write_str("as you said"),
            Self::Cells { agreeing, of } => {
                write!(f, "{agreeing} of {of} cells with a mark can only be read so")
            }
            Self::Others => f.write_str("as in the other columns"),
            Self::NoMark => f.write_str("no cell has a mark"),
            Self::Mixed { points, commas } => {
                write!(f, "cells with a decimal point: {points}, with a decimal comma: {commas}")
            }
            Self::Open => f.write_str("cells such as 1.234 can be read both ways"),
        }
    }
}

/// Cells by what their marks can mean.
#[derive(Clone, Copy, Default)]
struct Evidence {
    points: u32,
    commas: u32,
    /// Such as `1.234`.
    open_points: u32,
    /// Such as `1,234`.
    open_commas: u32,
}

/// Decides for every column of numbers.
pub(super) fn decide(columns: &mut [MappedColumn], rows: &[Row], file: Option<&MappingFile>) {
    let evidence: Vec<Evidence> = columns.iter().map(|mapped| evidence(mapped, rows)).collect();
    let mut whole = Evidence::default();
    for own in &evidence {
        whole.points += own.points;
        whole.commas += own.commas;
    }
    for (mapped, own) in columns.iter_mut().zip(evidence) {
        let said =
            file.and_then(|f| f.heading(mapped).and_then(|said| said.decimal_mark()).or(f.decimal_mark));
        mapped.mark = match said {
            Some(mark) => Mark { decimal: Some(mark), seen: MarkSeen::Said },
            None => own.mark(whole),
        };
    }
}

fn evidence(mapped: &MappedColumn, rows: &[Row]) -> Evidence {
    let mut evidence = Evidence::default();
    if mapped.column().is_some_and(|column| column.is_number()) {
        for row in rows.iter().filter(|row| !row.is_number(mapped.at)) {
            evidence.count(row.cell(mapped.at));
        }
    }
    evidence
}

impl Evidence {
    /// Counts the number that a text begins with. With two marks the last is the decimal one; with one it is, unless
    /// exactly three digits stand behind it and one to three before.
    fn count(&mut self, text: &str) {
        let text = text.trim().trim_start_matches(|c: char| !c.is_ascii_digit());
        let number =
            &text[..text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(text.len())];
        let number = number.trim_end_matches(['.', ',']);
        let Some(last) = number.rfind(['.', ',']) else { return };
        let (whole, fraction) = (&number[..last], &number[last + 1..]);
        let mark = number[last..].chars().next().unwrap_or('.');
        let other = if mark == '.' { ',' } else { '.' };
        if whole.contains(mark) {
            // 1.234.567: thousands, so the other one is decimal.
            self.certain(other);
        } else if whole.contains(other) || fraction.len() != 3 || whole.len() > 3 || whole.starts_with('0') {
            self.certain(mark);
        } else if mark == '.' {
            self.open_points += 1;
        } else {
            self.open_commas += 1;
        }
    }

    fn certain(&mut self, mark: char) {
        if mark == '.' { self.points += 1 } else { self.commas += 1 }
    }

    fn mark(self, whole: Self) -> Mark {
        let Self { points, commas, open_points, open_commas } = self;
        let (mark, agreeing) = if commas > points { (',', commas) } else { ('.', points) };
        let of = points + commas + open_points + open_commas;
        if points > 0 && commas > 0 && agreeing * MOST.1 < (points + commas) * MOST.0 {
            return Mark { decimal: None, seen: MarkSeen::Mixed { points, commas } };
        }
        let of_others = match whole.points.cmp(&whole.commas) {
            Ordering::Greater => Some('.'),
            Ordering::Less => Some(','),
            Ordering::Equal => None,
        };
        let (decided, seen) = if agreeing > 0 {
            (Some(mark), MarkSeen::Cells { agreeing, of })
        } else if of == 0 {
            (of_others.or(Some('.')), MarkSeen::NoMark)
        } else {
            (of_others, MarkSeen::Others)
        };
        // 1.234 under a decimal comma is a thousand or a slip: which, only the owner knows.
        let against = if decided == Some(',') { open_points } else { open_commas };
        if decided.is_none() || against > 0 {
            return Mark { decimal: None, seen: MarkSeen::Open };
        }
        Mark { decimal: decided, seen }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(cells: &[&str]) -> (Option<char>, MarkSeen) {
        let mut evidence = Evidence::default();
        for cell in cells {
            evidence.count(cell);
        }
        let mark = evidence.mark(evidence);
        (mark.decimal, mark.seen)
    }

    #[test]
    fn a_mark_is_decided_by_the_cells_that_can_only_be_read_so() {
        assert_eq!(mark(&["9,5", "1,234", "8"]), (Some(','), MarkSeen::Cells { agreeing: 1, of: 2 }));
        assert_eq!(mark(&["139.90", "€ 1,299.00"]), (Some('.'), MarkSeen::Cells { agreeing: 2, of: 2 }));
        assert_eq!(mark(&["1.299.000"]).0, Some(','), "thousands twice");
        assert_eq!(mark(&["0,435"]).0, Some(','), "no thousand begins with 0");
    }

    #[test]
    fn cells_that_can_be_read_both_ways_decide_nothing() {
        assert_eq!(mark(&["1.234", "2.345"]), (None, MarkSeen::Open));
        assert_eq!(mark(&["1.234", "101,5"]), (None, MarkSeen::Open));
        assert_eq!(mark(&["8", "10"]), (Some('.'), MarkSeen::NoMark));
    }

    #[test]
    fn a_column_with_both_marks_is_left_open_unless_one_is_a_slip() {
        assert_eq!(mark(&["9,5", "9.5"]), (None, MarkSeen::Mixed { points: 1, commas: 1 }));
        let mut cells = vec!["9,5"; 19];
        cells.push("9.5");
        assert_eq!(mark(&cells).0, Some(','));
    }
}
