//! Sheets that were sent in and wait for the owner's decision. In memory: what is stored is only ever a change.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use indexer::shop::Understood;

/// The most sheets that wait at a time; the oldest makes room.
const MOST: usize = 20;

/// A sheet, understood, with when it came.
pub struct WaitingSheet {
    /// What was made of it.
    pub understood: Understood,
    /// When it came, seconds since 1970.
    pub at: i64,
}

/// All that wait.
#[derive(Default)]
pub struct Waiting {
    sheets: Mutex<(u64, BTreeMap<u64, Arc<WaitingSheet>>)>,
}

impl Waiting {
    /// Keeps a sheet; its number leads to it.
    pub fn keep(&self, sheet: WaitingSheet) -> u64 {
        let mut sheets = self.sheets();
        sheets.0 += 1;
        let number = sheets.0;
        sheets.1.insert(number, Arc::new(sheet));
        while sheets.1.len() > MOST {
            sheets.1.pop_first();
        }
        number
    }

    /// Puts another understanding of the same sheet in its place.
    pub fn replace(&self, number: u64, sheet: WaitingSheet) {
        self.sheets().1.insert(number, Arc::new(sheet));
    }

    /// The sheet of a number.
    pub fn get(&self, number: u64) -> Option<Arc<WaitingSheet>> {
        self.sheets().1.get(&number).cloned()
    }

    /// Forgets a sheet.
    pub fn leave(&self, number: u64) {
        self.sheets().1.remove(&number);
    }

    /// All of them, the newest first.
    pub fn list(&self) -> Vec<(u64, Arc<WaitingSheet>)> {
        self.sheets().1.iter().rev().map(|(number, sheet)| (*number, Arc::clone(sheet))).collect()
    }

    fn sheets(&self) -> MutexGuard<'_, (u64, BTreeMap<u64, Arc<WaitingSheet>>)> {
        self.sheets.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
