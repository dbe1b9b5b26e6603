//! The child's answer: its form, and the child's hand in it. The parent reads it in `answer`.
//!
//! ```text
//! answer  = magic, version: u8, (text | book), (end | refused), end of file
//! text    = dialect, row*
//! book    = workbook, (tab, row+, merged* | remark)*        remarks may stand anywhere after the first frame
//! frame   = tag: u8, length: u32, body
//! dialect = 'D': encoding seen: u8, delimiter: u8, delimiter seen: u8, agreeing, of, columns: u16, encoding
//! workbook = 'W': 1 for .xlsx, 2 for .ods: u8
//! tab     = 'T': title in UTF-8
//! row     = 'R': number: u32, line: u32, cells: u16, (length: u32)*, their text in UTF-8, (column that is a number: u16)*
//! merged  = 'M': first row, last row: u32, first column, last column: u16
//! remark  = 'N': kind: u8, row: u32, column: u16, count: u32, title of its tab in UTF-8
//! end     = 'E': rows: u32, cells that are not empty: u32, checksum of all bytes before this frame: u32
//! refused = 'U': code: u8, row: u32, line: u32, column: u16, title of its tab in UTF-8
//! ```
//! Numbers are little-endian. The checksum notices a broken answer; a lying one is the reader's business.

use std::io::{self, ErrorKind, Write};

use super::refused::Refused;
use super::request::Kind;
use super::{DelimiterSeen, Dialect, EncodingSeen, Merged, RemarkKind, Row};

pub(super) const MAGIC: [u8; 7] = *b"LBSHEET";
pub(super) const VERSION: u8 = 3;
pub(super) const NO_COLUMN: u16 = u16::MAX;
pub(super) const ENCODINGS_SEEN: [EncodingSeen; 5] = [
    EncodingSeen::Mark,
    EncodingSeen::ZeroBytes,
    EncodingSeen::Valid,
    EncodingSeen::Guessed,
    EncodingSeen::Said,
];
pub(super) const REMARK_KINDS: [RemarkKind; 5] = [
    RemarkKind::HiddenTab,
    RemarkKind::HiddenRows,
    RemarkKind::HiddenColumns,
    RemarkKind::NoResult,
    RemarkKind::StrayQuote,
];

/// A remark before it is known in which file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Noted {
    pub(super) kind: RemarkKind,
    /// From 1; 0 for a whole tab or column.
    pub(super) row: u32,
    pub(super) column: Option<u16>,
    pub(super) count: u32,
}

/// What is wrong with an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FrameFault {
    /// It does not begin as an answer does: some other program spoke.
    #[error("the answer does not begin with its mark")]
    Magic,
    /// Another version of the program spoke.
    #[error("the answer is of version {0}")]
    Version(u8),
    /// It ends too early.
    #[error("the answer is cut short")]
    CutShort,
    /// It goes on after its end.
    #[error("the answer goes on after its end")]
    Extra,
    /// More bytes than a sheet within its limits can need.
    #[error("the answer is longer than allowed")]
    TooLong,
    /// A frame that is none, or not here.
    #[error("frame {0} is unknown or out of place")]
    Frame(u8),
    /// A frame whose body is not what its tag says.
    #[error("frame {0} is malformed")]
    Body(u8),
    /// More than the limits it was given.
    #[error("the answer goes beyond the limits it was given")]
    Limits,
    /// Counts or checksum are not those of the rows that came.
    #[error("counts or checksum do not match")]
    Sum,
    /// The pipe failed.
    #[error("the answer could not be received: {0}")]
    Pipe(ErrorKind),
}

/// Writes an answer frame by frame.
pub(super) struct AnswerWriter<W> {
    out: W,
    sum: Checksum,
    body: Vec<u8>,
}

impl<W: Write> AnswerWriter<W> {
    pub(super) fn begin(out: W) -> io::Result<Self> {
        let mut writer = Self { out, sum: Checksum::new(), body: Vec::new() };
        writer.put(&MAGIC)?;
        writer.put(&[VERSION])?;
        Ok(writer)
    }

    pub(super) fn dialect(&mut self, dialect: &Dialect) -> io::Result<()> {
        let (tag, [agreeing, of, columns]) = match dialect.delimiter_seen {
            DelimiterSeen::SepLine => (0, [0; 3]),
            DelimiterSeen::Rows { agreeing, of, columns } => (1, [agreeing, of, columns]),
            DelimiterSeen::OneColumn => (2, [0; 3]),
            DelimiterSeen::Said => (3, [0; 3]),
        };
        self.body.extend([dialect.encoding_seen as u8, dialect.delimiter as u8, tag]);
        self.body.extend([agreeing, of, columns].into_iter().flat_map(u16::to_le_bytes));
        self.body.extend(dialect.encoding.as_bytes());
        self.frame(b'D')
    }

    pub(super) fn workbook(&mut self, kind: Kind) -> io::Result<()> {
        self.body.push(kind as u8);
        self.frame(b'W')
    }

    pub(super) fn tab(&mut self, title: &str) -> io::Result<()> {
        self.body.extend(title.as_bytes());
        self.frame(b'T')
    }

    pub(super) fn merged(&mut self, merged: Merged) -> io::Result<()> {
        let Merged { rows: (top, bottom), columns: (left, right) } = merged;
        self.body.extend([top, bottom].into_iter().flat_map(u32::to_le_bytes));
        self.body.extend([left, right].into_iter().flat_map(u16::to_le_bytes));
        self.frame(b'M')
    }

    pub(super) fn remark(&mut self, noted: &Noted, title: &str) -> io::Result<()> {
        self.body.push(noted.kind as u8);
        self.body.extend(noted.row.to_le_bytes());
        self.body.extend(noted.column.unwrap_or(NO_COLUMN).to_le_bytes());
        self.body.extend(noted.count.to_le_bytes());
        self.body.extend(title.as_bytes());
        self.frame(b'N')
    }

    pub(super) fn row(&mut self, row: &Row) -> io::Result<()> {
        self.body.extend(row.number.to_le_bytes());
        self.body.extend(row.line.to_le_bytes());
        self.body.extend((row.cells.len() as u16).to_le_bytes());
        self.body.extend(row.cells.iter().flat_map(|cell| (cell.len() as u32).to_le_bytes()));
        self.body.extend(row.cells.parts().0.as_bytes());
        self.body.extend(row.numbers.iter().flat_map(|column| column.to_le_bytes()));
        self.frame(b'R')
    }

    pub(super) fn end(mut self, rows: u32, cells: u32) -> io::Result<()> {
        self.body.extend(rows.to_le_bytes());
        self.body.extend(cells.to_le_bytes());
        self.body.extend(self.sum.value().to_le_bytes());
        self.frame(b'E')?;
        self.out.flush()
    }

    /// `title`: of the tab being read, empty for a table of text.
    pub(super) fn refused(mut self, refused: Refused, title: &str) -> io::Result<()> {
        self.body.push(refused.why.number());
        self.body.extend(refused.at.row.to_le_bytes());
        self.body.extend(refused.at.line.to_le_bytes());
        self.body.extend(refused.at.column.unwrap_or(NO_COLUMN).to_le_bytes());
        self.body.extend(title.as_bytes());
        self.frame(b'U')?;
        self.out.flush()
    }

    fn frame(&mut self, tag: u8) -> io::Result<()> {
        let body = std::mem::take(&mut self.body);
        let [a, b, c, d] = (body.len() as u32).to_le_bytes();
        self.put(&[tag, a, b, c, d])?;
        self.put(&body)?;
        self.body = body;
        self.body.clear();
        Ok(())
    }

    fn put(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.sum.add(bytes);
        self.out.write_all(bytes)
    }
}

/// CRC-32 as in ISO-HDLC and zip: enough to notice an accident.
#[derive(Clone)]
pub(super) struct Checksum(crc32fast::Hasher);

impl Checksum {
    pub(super) fn new() -> Self {
        Self(crc32fast::Hasher::new())
    }

    pub(super) fn add(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// Of all bytes so far.
    pub(super) fn value(&self) -> u32 {
        self.0.clone().finalize()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Williams, A Painless Guide to CRC Error Detection Algorithms (1993), section 15: the check value of CRC-32 is
    // that of the text "123456789".
    #[test]
    fn the_checksum_is_crc_32_however_the_bytes_come() {
        for pieces in [&["123456789"][..], &["1234", "", "56789"]] {
            let mut checksum = Checksum::new();
            for piece in pieces {
                checksum.add(piece.as_bytes());
            }
            assert_eq!(checksum.value(), 0xCBF4_3926);
        }
    }
}
