//! Every way a file ends without a sheet: what, where, what to do.

use std::fmt;
use std::io;
use std::sync::Arc;
use std::time::Duration;

use super::frames::FrameFault;
use super::{Place, SheetLimits};

/// Why a file could not be read as a sheet. Nothing of it is kept.
#[derive(Debug, thiserror::Error)]
pub enum Unreadable {
    /// More bytes than a sheet may have.
    #[error(
        "The file has {bytes} bytes; a sheet may have {limit}. Split it into several files, or delete pictures and unused columns."
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
    /// A workbook of the kind read later.
    #[error(
        "“{name}” is a workbook: workbooks are read from a later version; save the sheet as CSV (UTF-8)."
    )]
    Workbook {
        /// The file's name.
        name: Arc<str>,
    },
    /// A workbook of a kind never read: old, binary, or with macros.
    #[error("“{name}” is a workbook of a kind that is not read: save as .xlsx or .csv.")]
    OldWorkbook {
        /// The file's name.
        name: Arc<str>,
    },
    /// An ending that no sheet has.
    #[error("“{name}” does not end in .csv, .tsv or .txt. Save the sheet as CSV (UTF-8).")]
    Kind {
        /// The file's name.
        name: Arc<str>,
    },
    /// The content is not what the name says.
    #[error(
        "“{name}” is {content}, whatever its name says. Open it in a spreadsheet and save the sheet as CSV (UTF-8)."
    )]
    Disguised {
        /// The file's name.
        name: Arc<str>,
        /// What its first bytes are.
        content: Content,
    },
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
            Self::Workbook { .. } => "sheet-workbook",
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

    /// The sentence for what the child refused.
    pub(super) fn of(refused: Refused, sheet: &Arc<str>, limits: &SheetLimits) -> Self {
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
        }
    }
}

/// What a file's first bytes say it is, when that is no sheet of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Content {
    /// Zip: an archive or a workbook.
    Zip,
    /// Gzip.
    Gzip,
    /// The container of old office documents and of encrypted workbooks.
    OldOffice,
    /// PDF.
    Pdf,
    /// HTML.
    WebPage,
}

impl Content {
    /// Looks at the first bytes only.
    pub(super) fn of(bytes: &[u8]) -> Option<Self> {
        let page =
            |start: &str| bytes.get(..start.len()).is_some_and(|b| b.eq_ignore_ascii_case(start.as_bytes()));
        match bytes {
            [b'P', b'K', 3, 4, ..] | [b'P', b'K', 5, 6, ..] => Some(Self::Zip),
            [0x1F, 0x8B, ..] => Some(Self::Gzip),
            [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1, ..] => Some(Self::OldOffice),
            [b'%', b'P', b'D', b'F', b'-', ..] => Some(Self::Pdf),
            _ if page("<!doctype html") || page("<html") => Some(Self::WebPage),
            _ => None,
        }
    }
}

impl fmt::Display for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Zip => "a workbook or a zip archive",
            Self::Gzip => "a gzip archive",
            Self::OldOffice => "an old or encrypted office document",
            Self::Pdf => "a PDF",
            Self::WebPage => "a web page",
        })
    }
}

/// What the child refuses: a code and a spot, no words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Refused {
    pub(super) why: Why,
    pub(super) at: Spot,
}

/// A place before it is known in which sheet; numbered as [`Place`].
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
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_refusal_has_a_code_of_its_own_and_says_where_and_what_to_do() {
        let sheet: Arc<str> = "stock.csv".into();
        let at = Spot { row: 12, line: 14, column: Some(2) };
        let mut codes = BTreeSet::new();
        for why in Why::ALL {
            let unreadable = Unreadable::of(Refused { why, at }, &sheet, &SheetLimits::standard());
            let sentence = unreadable.to_string();
            assert!(sentence.starts_with("stock.csv, row 12 (line 14), column C: "), "{sentence}");
            assert!(sentence.matches(". ").count() == 1 && sentence.ends_with('.'), "{sentence}");
            codes.insert(unreadable.code());
        }
        assert_eq!(codes.len(), Why::ALL.len());
    }

    #[test]
    fn a_why_survives_its_number() {
        for (number, why) in Why::ALL.into_iter().enumerate() {
            assert_eq!(why as usize, number);
        }
    }

    // Signatures: PKWARE APPNOTE 4.3.7 and 4.3.16, RFC 1952 section 2.3.1, MS-CFB 2.2, ISO 32000 7.5.2.
    #[test]
    fn content_is_known_by_its_first_bytes() {
        let cases: [(&[u8], Option<Content>); 7] = [
            (b"PK\x03\x04rest", Some(Content::Zip)),
            (b"\x1F\x8B\x08", Some(Content::Gzip)),
            (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Some(Content::OldOffice)),
            (b"%PDF-1.7", Some(Content::Pdf)),
            (b"<!DOCTYPE HTML><table>", Some(Content::WebPage)),
            (b"PK,drop\n", None),
            (b"", None),
        ];
        for (bytes, content) in cases {
            assert_eq!(Content::of(bytes), content);
        }
    }
}
