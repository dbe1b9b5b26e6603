//! A supplier's sheet as text: rows and cells with their addresses, nothing typed yet.
//!
//! A sheet comes from outside and may be anything, so its bytes are read by a child process that first
//! limits itself. In reading order:
//!
//! - [`SheetReader`] (`reader`) refuses what can be refused unread, starts the child and believes nothing it says;
//! - [`worker_main`] (`worker`) is that child: own limits first, then `encoding` (bytes to text), `dialect`
//!   (which character splits the columns) and `delimited` (text to rows);
//! - `request` is what the parent asks; `frames` and `answer` are what the child says and how it is heard;
//! - [`Unreadable`] is every way this ends without a sheet, each with a code and a sentence.

mod answer;
mod content;
mod delimited;
mod dialect;
mod encoding;
mod frames;
mod limits;
mod place;
mod reader;
mod refused;
mod request;
mod unreadable;
mod worker;

use std::sync::Arc;

pub use content::Content;
pub use dialect::{DelimiterSeen, Dialect, EncodingSeen};
pub use frames::FrameFault;
pub use limits::SheetLimits;
pub use place::{Place, column_letters};
pub use reader::SheetReader;
pub use unreadable::Unreadable;
pub use worker::{READ_SHEET, worker_main};

/// One sheet, read whole: text in rows, ragged as the file has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// The file's name without its folders.
    pub name: Arc<str>,
    /// How the file was read, and why so.
    pub dialect: Dialect,
    /// The rows that hold at least one cell, in the file's order. Blank lines are counted, not kept.
    pub rows: Vec<Row>,
}

/// One row of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The row as a spreadsheet numbers it: from 1, with title rows, blank lines and a `sep=` line counted.
    pub number: u32,
    /// The physical line the row begins on, as a text editor numbers it; ahead of `number` once a quoted cell
    /// above has held a line break.
    pub line: u32,
    /// The cells from the left, exactly as written. A short row has fewer.
    pub cells: Vec<Box<str>>,
}

impl Sheet {
    /// Where a row stands.
    pub fn row_place(&self, row: &Row) -> Place {
        Place { sheet: Arc::clone(&self.name), row: row.number, line: row.line, column: None }
    }

    /// Where a cell stands; `column` counts from 0.
    pub fn cell_place(&self, row: &Row, column: u16) -> Place {
        Place { column: Some(column), ..self.row_place(row) }
    }
}

impl Row {
    /// The text of a cell; the columns a short row does not reach are empty. `column` counts from 0.
    pub fn cell(&self, column: u16) -> &str {
        self.cells.get(usize::from(column)).map_or("", |cell| cell)
    }
}

/// A sheet of these rows, for tests; blank rows are counted and not kept, as in a file.
#[cfg(test)]
pub(crate) fn of_rows(rows: &[&[&str]]) -> Sheet {
    let dialect = Dialect {
        encoding: "UTF-8",
        encoding_seen: EncodingSeen::Valid,
        delimiter: ',',
        delimiter_seen: DelimiterSeen::OneColumn,
    };
    let row = |(number, cells): (u32, &&[&str])| Row {
        number,
        line: number,
        cells: cells.iter().map(|cell| (*cell).into()).collect(),
    };
    let rows = (1..).zip(rows).filter(|(_, cells)| !cells.is_empty()).map(row).collect();
    Sheet { name: "sheet.csv".into(), dialect, rows }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet() -> Sheet {
        let dialect = Dialect {
            encoding: "UTF-8",
            encoding_seen: EncodingSeen::Valid,
            delimiter: ',',
            delimiter_seen: DelimiterSeen::OneColumn,
        };
        let row = Row { number: 2, line: 4, cells: vec!["a".into()] };
        Sheet { name: "stock.csv".into(), dialect, rows: vec![row] }
    }

    #[test]
    fn a_place_names_sheet_row_line_and_column() {
        let sheet = sheet();
        let place = sheet.cell_place(&sheet.rows[0], 27);
        assert_eq!(place.to_string(), "stock.csv, row 2 (line 4), column AB");
        assert_eq!(sheet.row_place(&sheet.rows[0]).to_string(), "stock.csv, row 2 (line 4)");
    }

    #[test]
    fn a_column_beyond_a_short_row_is_empty() {
        let sheet = sheet();
        assert_eq!(sheet.rows[0].cell(0), "a");
        assert_eq!(sheet.rows[0].cell(1), "");
    }
}
