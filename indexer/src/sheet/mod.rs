//! A supplier's sheet as text: rows and cells with their addresses, nothing typed yet.
//!
//! A sheet comes from outside and may be anything, so its bytes are read by a child process that first
//! limits itself. In reading order:
//!
//! - [`SheetReader`] (`reader`) refuses what can be refused unread, starts the child and believes nothing it says;
//! - [`worker_main`] (`worker`) is that child: own limits first, then `encoding` (bytes to text), `dialect`
//!   (which character splits the columns) and `delimited` (text to rows), or `workbook` (xlsx and ods);
//! - `request` is what the parent asks; `frames` is what the child says, `pieces` and `answer` are how it is heard;
//! - [`Unreadable`] is every way this ends without a sheet, each with a code and a sentence.

mod answer;
mod cells;
mod content;
mod delimited;
mod dialect;
mod encoding;
mod frames;
mod limits;
mod pieces;
mod place;
mod read_as;
mod reader;
mod refused;
mod request;
mod unreadable;
mod workbook;
mod workbook_fault;
mod worker;

use std::fmt;
use std::sync::Arc;

pub use cells::Cells;
pub use content::Content;
pub use dialect::{DelimiterSeen, Dialect, EncodingSeen};
pub use frames::FrameFault;
pub use limits::SheetLimits;
pub use place::{Place, column_letters};
pub use read_as::{Charset, ReadAs, Watch};
pub use reader::SheetReader;
pub use unreadable::Unreadable;
pub use workbook_fault::WorkbookFault;
pub use worker::{READ_SHEET, worker_main};

/// One file, read whole: a table of text, or a workbook with its tabs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// The file's name without its folders.
    pub name: Arc<str>,
    /// How the file was read, and why so.
    pub how: How,
    /// Its tables in the file's order; a table of text is one tab. Hidden tabs are not among them.
    pub tabs: Vec<Tab>,
    /// What stands in the file and was not taken, or only with care.
    pub remarks: Vec<Remark>,
}

/// What kind of file it is, and for text how it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// Delimited text.
    Text(Dialect),
    /// A workbook in Office Open XML, `.xlsx`.
    Xlsx,
    /// A workbook in OpenDocument, `.ods`.
    Ods,
}

/// One table: text in rows, ragged as the file has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tab {
    /// Where its places say they are: the file's name, and for a workbook the tab's, `range.xlsx, tab Stock`.
    pub label: Arc<str>,
    /// The tab's own name; `None` for a table of text.
    pub title: Option<Arc<str>>,
    /// The rows that hold at least one cell, in the file's order. Blank and hidden rows are counted, not kept.
    pub rows: Vec<Row>,
    /// Cells merged over several rows or columns; only the first of them holds text.
    pub merged: Vec<Merged>,
}

/// A block of merged cells, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Merged {
    /// Rows as in [`Row::number`].
    pub rows: (u32, u32),
    /// Columns from 0.
    pub columns: (u16, u16),
}

/// Something in the file that was not taken, or only with care.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// What it is.
    pub kind: RemarkKind,
    /// Where the first of it stands; row 0 for a whole tab or column.
    pub place: Place,
    /// How many rows or cells there are of it.
    pub count: u32,
}

/// The kinds of remarks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RemarkKind {
    /// A hidden tab: named, not taken.
    HiddenTab,
    /// Hidden rows next to each other: named, not taken.
    HiddenRows,
    /// Hidden columns of a tab that hold something: named, not taken; the place names the first.
    HiddenColumns,
    /// A formula whose result is not stored in the file, or is an error: the cell is unknown.
    NoResult,
    /// A quotation mark inside a quoted cell that is not doubled: the cell is taken as it stands between the outer ones.
    StrayQuote,
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
    pub cells: Cells,
    /// The columns whose cells a workbook keeps as numbers, in order: these are written with a decimal point,
    /// whatever the sheet's own decimal mark. None in a table of text.
    pub numbers: Vec<u16>,
}

impl Sheet {
    /// How a table of text is written; `None` for a workbook.
    pub fn dialect(&self) -> Option<&Dialect> {
        match &self.how {
            How::Text(dialect) => Some(dialect),
            How::Xlsx | How::Ods => None,
        }
    }
}

impl Tab {
    /// Where a row stands.
    pub fn row_place(&self, row: &Row) -> Place {
        Place { sheet: Arc::clone(&self.label), row: row.number, line: row.line, column: None }
    }

    /// The text of the block of merged cells that this cell belongs to; `column` counts from 0.
    pub fn merged_into(&self, row: &Row, column: u16) -> Option<&str> {
        let holds = |block: &&Merged| {
            (block.rows.0..=block.rows.1).contains(&row.number)
                && (block.columns.0..=block.columns.1).contains(&column)
        };
        let block = self.merged.iter().find(holds)?;
        let first = self.rows.binary_search_by_key(&block.rows.0, |row| row.number).ok()?;
        Some(self.rows[first].cell(block.columns.0))
    }

    /// Where a cell stands; `column` counts from 0.
    pub fn cell_place(&self, row: &Row, column: u16) -> Place {
        Place { column: Some(column), ..self.row_place(row) }
    }
}

impl Row {
    /// The text of a cell; the columns a short row does not reach are empty. `column` counts from 0.
    pub fn cell(&self, column: u16) -> &str {
        self.cells.get(usize::from(column)).unwrap_or_default()
    }

    /// Whether a workbook keeps this cell as a number.
    pub fn is_number(&self, column: u16) -> bool {
        self.numbers.binary_search(&column).is_ok()
    }
}

impl fmt::Display for How {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text(dialect) => dialect.fmt(f),
            Self::Xlsx => f.write_str("a workbook (.xlsx)"),
            Self::Ods => f.write_str("a workbook (.ods)"),
        }
    }
}

/// A table of text with these rows, for tests; blank rows are counted and not kept, as in a file.
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
        cells: cells.iter().collect(),
        numbers: Vec::new(),
    };
    let rows = (1..).zip(rows).filter(|(_, cells)| !cells.is_empty()).map(row).collect();
    let name: Arc<str> = "sheet.csv".into();
    let tab = Tab { label: Arc::clone(&name), title: None, rows, merged: Vec::new() };
    Sheet { name, how: How::Text(dialect), tabs: vec![tab], remarks: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_names_sheet_row_line_and_column() {
        let mut sheet = of_rows(&[&["a"]]);
        sheet.tabs[0].rows[0].line = 4;
        let tab = &sheet.tabs[0];
        assert_eq!(tab.cell_place(&tab.rows[0], 27).to_string(), "sheet.csv, row 1 (line 4), column AB");
        assert_eq!(tab.row_place(&tab.rows[0]).to_string(), "sheet.csv, row 1 (line 4)");
    }

    #[test]
    fn a_column_beyond_a_short_row_is_empty() {
        let row = &of_rows(&[&["a"]]).tabs[0].rows[0];
        assert_eq!((row.cell(0), row.cell(1)), ("a", ""));
    }
}
