//! Workbooks: a zip of XML parts, read by the child alone.
//!
//! In reading order: `archive` is the zip, checked whole before a byte is unpacked; `xml` is a part, piece by
//! piece; `xlsx` and `ods` know the two formats; `number` and `format` make text of what is stored; `taker` takes
//! row after row, holds them against the limits and tells them to the parent. Nothing is kept but one row (and an
//! `.xlsx`'s table of texts), so neither a million blank rows nor a cell repeated a million times costs memory.

mod archive;
mod format;
mod number;
mod ods;
mod ods_cell;
mod taker;
mod xlsx;
mod xlsx_sheet;
mod xlsx_styles;
mod xlsx_texts;
mod xml;

use std::io::{self, Write};

use super::frames::AnswerWriter;
use super::refused::{Refused, Why};
use super::request::Kind;
use super::{SheetLimits, WorkbookFault};
use archive::Archive;
use taker::Taker;

/// Why reading ended early.
pub(super) enum Halt {
    Refused(Refused),
    /// The parent no longer listens.
    Pipe(io::Error),
}

/// Reads a workbook and answers with what it holds.
pub(super) fn answer<W: Write>(
    kind: Kind,
    bytes: &[u8],
    limits: SheetLimits,
    mut answer: AnswerWriter<W>,
) -> io::Result<()> {
    let mut taker = Taker::of(&mut answer, limits);
    let (ended, title) = (read(kind, bytes, &mut taker), taker.title().to_owned());
    let (rows, cells) = taker.counts();
    match ended {
        Ok(()) => answer.end(rows, cells),
        Err(Halt::Refused(refused)) => answer.refused(refused, &title),
        Err(Halt::Pipe(error)) => Err(error),
    }
}

fn read<W: Write>(kind: Kind, bytes: &[u8], taker: &mut Taker<'_, W>) -> Result<(), Halt> {
    let archive = Archive::open(bytes)?;
    match kind {
        Kind::Ods => ods::read(&archive, taker),
        _ => xlsx::read(&archive, taker),
    }
}

impl From<Refused> for Halt {
    fn from(refused: Refused) -> Self {
        Self::Refused(refused)
    }
}

/// Of the whole file.
impl From<Why> for Halt {
    fn from(why: Why) -> Self {
        Self::Refused(Refused::whole(why))
    }
}

impl From<WorkbookFault> for Halt {
    fn from(fault: WorkbookFault) -> Self {
        Why::Book(fault).into()
    }
}

impl From<io::Error> for Halt {
    fn from(error: io::Error) -> Self {
        Self::Pipe(error)
    }
}
