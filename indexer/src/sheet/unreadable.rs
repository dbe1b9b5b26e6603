//! Every way a file ends without a sheet: what, where, what to do.

use std::io;
use std::sync::Arc;
use std::time::Duration;

use super::frames::FrameFault;
use super::refused::{Refused, Spot, Why};
use super::{Content, Place, SheetLimits, WorkbookFault};

/// Why a file could not be read as a sheet. Nothing of it is kept.
#[derive(Debug, thiserror::Error)]
pub enum Unreadable {
    /// More bytes than a sheet may have.
    #[error(
        "The file has {} MB; a sheet may have {} MB. Split it into several files, or delete unused columns.", megabytes(*.bytes), megabytes(*.limit)
    )]
    TooLarge {
        /// Bytes of the file.
        bytes: u64,
        /// Bytes allowed.
        limit: u64,
    },
    /// The file's name is empty, too long, or holds control characters.
    #[error(
        "The file's name cannot be used: it must have 1 to {limit} characters and no control characters. Rename the file."
    )]
    Name {
        /// Characters allowed.
        limit: usize,
    },
    /// A workbook that is not read as it is.
    #[error("{sheet}: {fault}.")]
    Workbook {
        /// The file's name, and the tab's where the fault stands in one.
        sheet: Arc<str>,
        /// What is wrong.
        fault: WorkbookFault,
    },
    /// A workbook of a kind never read: old, binary, or with macros.
    #[error(
        "“{name}” is a workbook of a kind that is not read: old, binary or with macros. Open it and save as .xlsx or .csv."
    )]
    OldWorkbook {
        /// The file's name.
        name: Arc<str>,
    },
    /// An ending that no sheet has.
    #[error(
        "“{name}” does not end in .xlsx, .ods, .csv, .tsv or .txt. Save the sheet as .xlsx or CSV (UTF-8)."
    )]
    Kind {
        /// The file's name.
        name: Arc<str>,
    },
    /// The content is not what the name says.
    #[error("“{name}” is {content}, whatever its name says. {}.", content.advice())]
    Disguised {
        /// The file's name.
        name: Arc<str>,
        /// What its first bytes are.
        content: Content,
    },
    /// A character was said to split the columns that cannot.
    #[error("‘{0}’ cannot split columns. Choose comma, semicolon, tab or vertical bar.")]
    Delimiter(char),
    /// No row at all.
    #[error("“{name}” holds no rows. Check that the right sheet was saved.")]
    Empty {
        /// The file's name.
        name: Arc<str>,
    },
    /// A NUL: not plain text.
    #[error(
        "{0}: a NUL byte stands in the text, so this is not a plain text file. Save the sheet again as CSV (UTF-8)."
    )]
    Nul(Place),
    /// Bytes that mean nothing in the file's encoding.
    #[error("{0}: some characters are damaged and cannot be read. Save the sheet again as CSV (UTF-8).")]
    Damaged(Place),
    /// A quotation mark opened and never closed.
    #[error(
        "{0}: a quote opened here is never closed, so the rest of the file would be one cell. Close or delete the quotation mark."
    )]
    OpenQuote(Place),
    /// A quoted cell over several lines that goes on after its closing quote.
    #[error(
        "{0}: a quote opened here is closed on a later line in the middle of a cell, so rows would be lost. Close or delete the quotation mark."
    )]
    TextAfterQuote(Place),
    /// A cell over too many lines.
    #[error(
        "{place}: a quote opened here runs over more than {limit} line breaks. Close the quotation mark, or shorten the cell."
    )]
    TooManyBreaks {
        /// Where the cell begins.
        place: Place,
        /// Line breaks allowed in a cell.
        limit: u32,
    },
    /// A cell too long.
    #[error(
        "{place}: the cell is longer than {limit} bytes. Shorten it; if it runs over several rows, close its quotation mark."
    )]
    LongCell {
        /// Where the cell begins.
        place: Place,
        /// Bytes allowed in a cell.
        limit: u32,
    },
    /// A row too wide.
    #[error("{place}: the row has more than {limit} columns. Delete the columns that are not needed.")]
    TooManyColumns {
        /// The row.
        place: Place,
        /// Columns allowed.
        limit: u16,
    },
    /// Too many rows.
    #[error("{place}: the sheet has more than {limit} rows. Split it into several files.")]
    TooManyRows {
        /// The first row too many.
        place: Place,
        /// Rows allowed.
        limit: u32,
    },
    /// Too many cells.
    #[error(
        "{place}: the sheet has more than {limit} cells that are not empty. Split it into several files."
    )]
    TooManyCells {
        /// The row that went over.
        place: Place,
        /// Cells allowed.
        limit: u32,
    },
    /// A cell points at a text that the workbook does not hold.
    #[error(
        "{0}: the cell points at a text that is not in the file. Open it in a spreadsheet and save it again."
    )]
    Dangling(Place),
    /// Someone stopped it.
    #[error("Reading the sheet was cancelled. Nothing was taken from it.")]
    Cancelled,
    /// The reading program could not be started.
    #[error(
        "The program that reads sheets could not be started. Try again; if it goes on, restart Lastbench."
    )]
    NotStarted(#[source] io::Error),
    /// The reading program took too long and was stopped.
    #[error("Reading the sheet took longer than {} seconds and was stopped. Split it into several files, or save it again as CSV (UTF-8).", .0.as_secs_f32())]
    TooSlow(Duration),
    /// The reading program ended before its last word.
    #[error(
        "Reading the sheet took more memory or time than allowed and was stopped. Split it into several files, or save it again as CSV (UTF-8)."
    )]
    Died,
    /// The reading program answered what cannot be true; nothing of it was believed.
    #[error(
        "The program that reads sheets gave an answer that cannot be right; nothing was taken from it. Save the sheet again as CSV (UTF-8)."
    )]
    Distrusted(#[source] FrameFault),
}

impl Unreadable {
    /// A name for programs, never changed once given.
    pub fn code(&self) -> &'static str {
        match self {
            Self::TooLarge { .. } => "sheet-too-large",
            Self::Name { .. } => "sheet-name",
            Self::Workbook { fault, .. } => fault.code(),
            Self::Delimiter(_) => "sheet-delimiter",
            Self::Dangling(_) => "sheet-dangling-text",
            Self::Cancelled => "sheet-cancelled",
            Self::OldWorkbook { .. } => "sheet-old-workbook",
            Self::Kind { .. } => "sheet-kind",
            Self::Disguised { .. } => "sheet-disguised",
            Self::Empty { .. } => "sheet-empty",
            Self::Nul(_) => "sheet-nul",
            Self::Damaged(_) => "sheet-damaged",
            Self::OpenQuote(_) => "sheet-open-quote",
            Self::TextAfterQuote(_) => "sheet-text-after-quote",
            Self::TooManyBreaks { .. } => "sheet-too-many-breaks",
            Self::LongCell { .. } => "sheet-long-cell",
            Self::TooManyColumns { .. } => "sheet-too-many-columns",
            Self::TooManyRows { .. } => "sheet-too-many-rows",
            Self::TooManyCells { .. } => "sheet-too-many-cells",
            Self::NotStarted(_) => "sheet-reader-not-started",
            Self::TooSlow(_) => "sheet-reader-too-slow",
            Self::Died => "sheet-reader-died",
            Self::Distrusted(_) => "sheet-reader-distrusted",
        }
    }

    /// The sentence for what the child refused; `sheet` names the tab as well, `name` the file alone.
    pub(super) fn of(refused: Refused, name: &Arc<str>, sheet: &Arc<str>, limits: &SheetLimits) -> Self {
        let Spot { row, line, column } = refused.at;
        let place = Place { sheet: Arc::clone(sheet), row, line, column };
        match refused.why {
            Why::Nul => Self::Nul(place),
            Why::Damaged => Self::Damaged(place),
            Why::OpenQuote => Self::OpenQuote(place),
            Why::TextAfterQuote => Self::TextAfterQuote(place),
            Why::TooManyBreaks => Self::TooManyBreaks { place, limit: limits.cell_breaks },
            Why::LongCell => Self::LongCell { place, limit: limits.cell_bytes },
            Why::TooManyColumns => Self::TooManyColumns { place, limit: limits.columns },
            Why::TooManyRows => Self::TooManyRows { place, limit: limits.rows },
            Why::TooManyCells => Self::TooManyCells { place, limit: limits.cells },
            Why::Dangling => Self::Dangling(place),
            Why::OldKind => Self::OldWorkbook { name: Arc::clone(name) },
            Why::NotWorkbook => Self::Disguised { name: Arc::clone(name), content: Content::Zip },
            Why::Book(fault) => Self::Workbook { sheet: Arc::clone(sheet), fault },
        }
    }
}

/// Rounded up: a file over a limit is never said to be at it.
fn megabytes(bytes: u64) -> u64 {
    bytes.div_ceil(1_000_000)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_refusal_has_a_code_of_its_own_and_says_where_and_what_to_do() {
        let sheet: Arc<str> = "stock.csv".into();
        let at = Spot { row: 12, line: 14, column: Some(2) };
        let mut codes = BTreeSet::new();
        for why in Why::all() {
            let refused = if why.has_a_place() { Refused { why, at } } else { Refused::whole(why) };
            let unreadable = Unreadable::of(refused, &sheet, &sheet, &SheetLimits::standard());
            let sentence = unreadable.to_string();
            let begins =
                if why.has_a_place() { "stock.csv, row 12 (line 14), column C: " } else { "stock.csv" };
            assert!(sentence.trim_start_matches('“').starts_with(begins), "{sentence}");
            assert!(sentence.matches(". ").count() == 1 && sentence.ends_with('.'), "{sentence}");
            codes.insert(unreadable.code());
        }
        assert_eq!(codes.len(), Why::all().count());
    }
}
