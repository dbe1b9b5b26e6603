//! How far an import has come, and whether it is still wanted.

use std::sync::atomic::{AtomicBool, AtomicU8, AtomicUsize, Ordering};

use crate::sheet::Watch;

/// Shared between whoever works and whoever looks: the one counts, the other reads the count or calls the work off.
#[derive(Debug, Default)]
pub struct Progress {
    step: AtomicU8,
    rows: AtomicUsize,
    /// How many there are in all; 0 while nobody knows.
    of: AtomicUsize,
    cancelled: AtomicBool,
    reader: Watch,
}

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The file is read in the child process.
    Reading,
    /// Its rows are understood and held against the catalogue.
    Comparing,
    /// It is applied.
    Applying,
}

impl Progress {
    /// Begins a step, counting from no row.
    pub fn begin(&self, step: Step) {
        self.begin_of(step, 0);
    }

    /// Begins a step of so many rows.
    pub fn begin_of(&self, step: Step, of: usize) {
        self.rows.store(0, Ordering::Relaxed);
        self.reader.begin();
        self.of.store(of, Ordering::Relaxed);
        self.step.store(step as u8, Ordering::Relaxed);
    }

    /// How many rows the step has in all; `None` while nobody knows.
    pub fn of(&self) -> Option<usize> {
        Some(self.of.load(Ordering::Relaxed)).filter(|of| *of > 0)
    }

    /// Says how many rows are done.
    pub fn rows_are(&self, rows: usize) {
        self.rows.store(rows, Ordering::Relaxed);
    }

    /// The step and the rows done in it.
    pub fn now(&self) -> (Step, usize) {
        let rows = self.rows.load(Ordering::Relaxed);
        match self.step.load(Ordering::Relaxed) {
            0 => (Step::Reading, self.reader.rows() as usize),
            1 => (Step::Comparing, rows),
            _ => (Step::Applying, rows),
        }
    }

    /// Calls the work off: what is not done by now is left undone.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
        self.reader.cancel();
    }

    /// What the reader of the sheet counts in and is called off by.
    pub(super) fn reader(&self) -> &Watch {
        &self.reader
    }

    /// Whether it was called off.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_step_counts_from_no_row() {
        let progress = Progress::default();
        assert_eq!(progress.now(), (Step::Reading, 0));
        progress.rows_are(7);
        progress.begin(Step::Comparing);
        assert_eq!((progress.now(), progress.of()), ((Step::Comparing, 0), None));
        progress.begin_of(Step::Applying, 40);
        assert_eq!(progress.of(), Some(40));
        assert!(!progress.is_cancelled());
    }
}
