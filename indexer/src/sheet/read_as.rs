//! What the owner says about a file, and a hand on its reading while it goes on.

use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use encoding_rs::Encoding;

/// What the owner says about a table of text instead of leaving it to the evidence; a workbook needs none of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ReadAs {
    /// The character between two cells: a tab or ASCII punctuation, no quotation mark.
    pub delimiter: Option<char>,
    /// The encoding.
    pub encoding: Option<Charset>,
}

/// An encoding of the WHATWG Encoding Standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Charset(pub(super) &'static Encoding);

impl Charset {
    /// By any of its labels: `latin1`, `windows-1252`.
    pub fn of_label(label: &str) -> Option<Self> {
        Encoding::for_label(label.as_bytes()).map(Self)
    }

    /// Its name in the standard.
    pub fn name(self) -> &'static str {
        self.0.name()
    }
}

/// Progress of one reading, to be looked at and stopped from another thread.
#[derive(Debug, Default)]
pub struct Watch {
    rows: AtomicU32,
    cancelled: AtomicBool,
}

impl Watch {
    /// Rows that have come so far.
    pub fn rows(&self) -> u32 {
        self.rows.load(Ordering::Relaxed)
    }

    /// Stops the reading; it ends with [`super::Unreadable::Cancelled`].
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// Counts from no row again, for another reading of the same file.
    pub(crate) fn begin(&self) {
        self.rows.store(0, Ordering::Relaxed);
    }

    pub(super) fn count(&self) {
        self.rows.fetch_add(1, Ordering::Relaxed);
    }

    pub(super) fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}
