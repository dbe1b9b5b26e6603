//! Sheets that were sent in and wait for the owner's decision. In memory: what is stored is only ever a change.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use indexer::mapping::MappingFile;
use indexer::shop::Understood;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::clock::Moment;

/// A sheet, understood, with when it came.
pub struct WaitingSheet {
    /// What was made of it.
    pub understood: Understood,
    /// What was said of its headings, remembered or settled here: reading it again starts from this.
    pub told: MappingFile,
    /// When it came.
    pub at: Moment,
}

/// How much may wait.
#[derive(Clone, Copy, Debug)]
pub struct WaitingLimits {
    /// Sheets at a time; the oldest makes room.
    pub sheets: usize,
    /// Bytes of their files in all; the oldest makes room, the newest always stays.
    pub bytes: usize,
    /// How long a sheet waits.
    pub life: Duration,
    /// Sheets that are taken in at the same time; further ones wait for their turn.
    pub turns: usize,
}

/// All that wait.
pub struct Waiting {
    limits: WaitingLimits,
    turns: Arc<Semaphore>,
    kept: Mutex<Kept>,
}

#[derive(Default)]
struct Kept {
    last: u64,
    sheets: BTreeMap<u64, Arc<WaitingSheet>>,
}

impl WaitingLimits {
    /// The limits of a shop.
    pub const fn standard() -> Self {
        Self { sheets: 20, bytes: 100_000_000, life: Duration::from_hours(4), turns: 4 }
    }
}

impl Default for Waiting {
    fn default() -> Self {
        Self::new(WaitingLimits::standard())
    }
}

impl Waiting {
    /// None yet.
    pub fn new(limits: WaitingLimits) -> Self {
        Self { limits, turns: Arc::new(Semaphore::new(limits.turns)), kept: Mutex::default() }
    }

    /// Waits for a turn to take a sheet in. Whoever holds one may hold a whole file in memory.
    pub async fn turn(&self) -> Option<OwnedSemaphorePermit> {
        Arc::clone(&self.turns).acquire_owned().await.ok()
    }

    /// Keeps a sheet; its number leads to it.
    pub fn keep(&self, sheet: WaitingSheet) -> u64 {
        let mut kept = self.living(sheet.at.instant);
        kept.last += 1;
        let number = kept.last;
        kept.sheets.insert(number, Arc::new(sheet));
        kept.make_room(&self.limits);
        number
    }

    /// Puts another understanding of the same sheet in its place; one that was applied or left meanwhile stays away.
    pub fn replace(&self, number: u64, sheet: Arc<WaitingSheet>, now: Instant) {
        if let Some(place) = self.living(now).sheets.get_mut(&number) {
            *place = sheet;
        }
    }

    /// The sheet of a number.
    pub fn get(&self, number: u64, now: Instant) -> Option<Arc<WaitingSheet>> {
        self.living(now).sheets.get(&number).cloned()
    }

    /// Forgets a sheet.
    pub fn leave(&self, number: u64, now: Instant) {
        self.living(now).sheets.remove(&number);
    }

    /// All of them, the newest first.
    pub fn list(&self, now: Instant) -> Vec<(u64, Arc<WaitingSheet>)> {
        let kept = self.living(now);
        kept.sheets.iter().rev().map(|(number, sheet)| (*number, Arc::clone(sheet))).collect()
    }

    /// A panic of an earlier caller leaves the sheets as they were: they hold no invariant across calls.
    fn living(&self, now: Instant) -> MutexGuard<'_, Kept> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.sheets.retain(|_, sheet| now.saturating_duration_since(sheet.at.instant) < self.limits.life);
        kept
    }
}

impl Kept {
    fn make_room(&mut self, limits: &WaitingLimits) {
        let bytes =
            |kept: &Self| kept.sheets.values().map(|sheet| sheet.understood.bytes.len()).sum::<usize>();
        while self.sheets.len() > limits.sheets || (self.sheets.len() > 1 && bytes(self) > limits.bytes) {
            self.sheets.pop_first();
        }
    }
}
