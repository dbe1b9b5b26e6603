//! How much of a sheet is read before it is refused, and what the child that reads it may use.

use std::time::Duration;

use rlimit::Resource;

/// What one sheet may hold and how long reading it may take. *Opinion*: ten times the largest supplier sheet
/// we expect, small enough for a shop's old computer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetLimits {
    /// Bytes of the file.
    pub file_bytes: u64,
    /// Rows kept.
    pub rows: u32,
    /// Columns of the widest row.
    pub columns: u16,
    /// Cells that are not empty, in the whole sheet.
    pub cells: u32,
    /// Bytes of one cell in UTF-8.
    pub cell_bytes: u32,
    /// Tabs of a workbook that hold rows.
    pub tabs: u16,
    /// Merged blocks of a workbook.
    pub merged: u32,
    /// Line breaks inside one cell.
    pub cell_breaks: u32,
    /// Characters of the file's name, and of a tab's.
    pub name_chars: usize,
    /// From starting the child to its last word.
    pub wall: Duration,
    /// Bytes the child may answer.
    pub answer_bytes: u64,
}

impl SheetLimits {
    /// The limits of the shop.
    pub const fn standard() -> Self {
        Self {
            file_bytes: 40_000_000,
            rows: 200_000,
            columns: 200,
            cells: 4_000_000,
            cell_bytes: 4_096,
            tabs: 20,
            merged: 100_000,
            cell_breaks: 8,
            name_chars: 200,
            wall: Duration::from_secs(20),
            answer_bytes: 128_000_000,
        }
    }

    /// Limits small enough for a test to cross by hand.
    pub const fn small() -> Self {
        Self {
            file_bytes: 10_000,
            rows: 10,
            columns: 5,
            cells: 20,
            cell_bytes: 40,
            tabs: 2,
            merged: 3,
            cell_breaks: 2,
            name_chars: 20,
            answer_bytes: 4_000,
            ..Self::standard()
        }
    }
}

/// What the child sets on itself before it reads a byte: memory in bytes, processor time in seconds, no file
/// written, a few descriptors, no process of its own, no core dump with a supplier's prices in it.
/// The parent cannot loosen these.
pub(super) const CHILD: [(Resource, u64); 6] = [
    (Resource::AS, 768 << 20),
    (Resource::CPU, 10),
    (Resource::FSIZE, 0),
    (Resource::NOFILE, 16),
    (Resource::NPROC, 0),
    (Resource::CORE, 0),
];
