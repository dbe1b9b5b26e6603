//! How the catalogue is kept: backups before sheets and at night, what they say of themselves, the health of store and
//! index, and room on the disk.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::Shop;
use crate::error::{ApplyError, StoreError};
use crate::keeping::{Backup, BackupFault, Made, Mistrust, Why, backups};
use crate::loaded::Seq;
use crate::store::DataDir;
use crate::words::Words;

/// Bytes that stay free beside a sheet.
const SPARE: u64 = 200 * 1024 * 1024;
/// What a sheet may take: itself, its lines in the ledger, the index and the backup before it.
const TIMES: u64 = 3;

/// The folder, and how its backups fare.
pub(super) struct Keeper {
    data: DataDir,
    /// Whose turn it is to make one: two at once would write the same half-made file.
    turn: Mutex<()>,
    failed: Mutex<Option<Failed>>,
    mistrust: Mutex<Option<Mistrust>>,
    /// The clock jumped: the next backup lets none go.
    doubt: Mutex<Option<Mistrust>>,
    faults: Mutex<Vec<String>>,
    /// What a test says is free.
    free: Mutex<Option<u64>>,
}

/// The last try at a backup, when it failed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failed {
    /// When, seconds since 1970.
    pub at: i64,
    /// Why, with what to do.
    pub why: String,
}

/// How the catalogue is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keeping {
    /// Where backups are.
    pub folder: PathBuf,
    /// Where they also are.
    pub second: Option<PathBuf>,
    /// The newest.
    pub newest: Option<Backup>,
    /// The newest in the second folder.
    pub newest_second: Option<Backup>,
    /// How many there are.
    pub count: usize,
    /// The last try, when it failed.
    pub failed: Option<Failed>,
    /// Why none was let go, the last time.
    pub mistrust: Option<Mistrust>,
    /// What was found wrong with the store at the last check.
    pub faults: Vec<String>,
    /// The folder cannot be written to.
    pub read_only: bool,
}

/// What a check found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Health {
    /// What is wrong with the store.
    pub faults: Vec<String>,
    /// The index on the disk was missing, damaged or behind, and was built anew.
    pub index_is_new: bool,
}

/// The disk is too full for a sheet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{} MB are free on the disk of the catalogue, and this sheet may need {} MB. Nothing was read; make room and send it again.", .free / 1_048_576, .needed / 1_048_576 + 1)]
pub struct NoRoom {
    /// Bytes that are free.
    pub free: u64,
    /// Bytes that are needed.
    pub needed: u64,
}

impl Keeper {
    pub(super) const fn of(data: DataDir) -> Self {
        Self {
            data,
            turn: Mutex::new(()),
            failed: Mutex::new(None),
            mistrust: Mutex::new(None),
            doubt: Mutex::new(None),
            faults: Mutex::new(Vec::new()),
            free: Mutex::new(None),
        }
    }

    fn back_up(&self, why: Why, at: i64) -> Result<Made, BackupFault> {
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let doubt = self.doubt.lock().unwrap_or_else(PoisonError::into_inner).take();
        let made = self.data.back_up_doubting(why, at, doubt);
        let failed = match &made {
            Ok(Made { second: Some(Err(fault)), .. }) | Err(fault) => {
                Some(Failed { at, why: fault.to_string() })
            }
            Ok(_) => None,
        };
        if let Some(failed) = &failed {
            tracing::error!(why = failed.why, "a backup failed");
        }
        set(&self.failed, failed);
        if let Ok(made) = &made {
            let mistrust = made.pruned.as_ref().err().cloned();
            if let Some(mistrust) = &mistrust {
                tracing::warn!(%mistrust, "no backup is let go");
            }
            set(&self.mistrust, mistrust);
        }
        made
    }
}

impl Shop {
    /// Makes a backup at `at`; `None` where the catalogue is in memory and nothing of it is kept.
    pub fn back_up(&self, why: Why, at: i64) -> Option<Result<Made, BackupFault>> {
        self.keeper.as_ref().map(|keeper| keeper.back_up(why, at))
    }

    /// How the catalogue is kept; `None` where it is in memory.
    pub fn keeping(&self) -> Option<Keeping> {
        let keeper = self.keeper.as_ref()?;
        let (folder, second) = (keeper.data.backups(), keeper.data.second().map(Path::to_owned));
        // A folder that cannot be listed shows no backup, which is what matters.
        let all = backups(&folder).unwrap_or_default();
        let newest_second = second.as_ref().and_then(|second| backups(second).ok()?.into_iter().next());
        Some(Keeping {
            count: all.len(),
            newest: all.into_iter().next(),
            newest_second,
            folder,
            second,
            failed: get(&keeper.failed),
            mistrust: get(&keeper.mistrust),
            faults: get(&keeper.faults),
            read_only: self.is_read_only(),
        })
    }

    /// The folder of the catalogue; `None` in memory.
    pub fn folder(&self) -> Option<&DataDir> {
        self.keeper.as_ref().map(|keeper| &keeper.data)
    }

    /// Notes that the clock cannot be believed at the moment: the next backup lets none go.
    pub fn mistrusts(&self, mistrust: Mistrust) {
        if let Some(keeper) = &self.keeper {
            set(&keeper.doubt, Some(mistrust));
        }
    }

    /// Checks the whole store with a connection of its own, and the index on the disk, while everything goes on. An index
    /// that is missing, damaged or behind is built anew there; the one in memory goes on answering.
    pub fn check(&self) -> Option<Health> {
        let keeper = self.keeper.as_ref()?;
        let (faults, _) = keeper.data.check();
        for fault in &faults {
            tracing::error!(fault, "the store is damaged; `lastbench check` says what to do");
        }
        set(&keeper.faults, faults.clone());
        self.store().is_damaged(!faults.is_empty());
        let loaded = self.ask(|store| store.load());
        let words = loaded.ok().map(|loaded| Words::open_or_build(Some(&keeper.data.index()), &loaded));
        let index_is_new = match words {
            Some(Ok(words)) => words.is_new(),
            Some(Err(fault)) => {
                tracing::warn!(%fault, "the word index could not be written");
                true
            }
            None => false,
        };
        Some(Health { faults, index_is_new })
    }

    /// Says how many bytes are free: for tests.
    pub fn with_free_bytes(self, free: u64) -> Self {
        if let Some(keeper) = &self.keeper {
            set(&keeper.free, Some(free));
        }
        self
    }

    /// Whether the disk has room for a sheet of so many bytes.
    pub(super) fn has_room_for(&self, bytes: usize) -> Result<(), NoRoom> {
        let Some(keeper) = &self.keeper else { return Ok(()) };
        // There it can only be looked what a sheet would change.
        if self.is_read_only() {
            return Ok(());
        }
        let needed = TIMES * bytes as u64 + SPARE;
        // A file system that does not say how much is free is tried.
        let free = get(&keeper.free).or_else(|| free_bytes(keeper.data.path())).unwrap_or(u64::MAX);
        if free < needed { Err(NoRoom { free, needed }) } else { Ok(()) }
    }

    /// A backup of the catalogue as it stands, unless there is one of this very change.
    pub(super) fn keep_before(&self, at: i64) -> Result<(), ApplyError> {
        let Some(keeper) = &self.keeper else { return Ok(()) };
        let seq = self.ask(|store| store.may_be_written().and_then(|()| store.seq()))?;
        let newest = backups(&keeper.data.backups()).ok().and_then(|all| all.into_iter().next());
        if seq == Seq(0) || newest.is_some_and(|newest| newest.seq == seq) {
            return Ok(());
        }
        keeper.back_up(Why::Change, at).map(|_| ()).map_err(ApplyError::NoBackup)
    }

    /// The time of the newest change, seconds since 1970.
    pub fn changed_at(&self) -> Result<Option<i64>, StoreError> {
        Ok(self.ask(|store| store.history(1))?.first().map(|change| change.at))
    }
}

fn free_bytes(folder: &Path) -> Option<u64> {
    rustix::fs::statvfs(folder).ok().map(|found| found.f_bavail.saturating_mul(found.f_frsize))
}

fn get<T: Clone>(kept: &Mutex<T>) -> T {
    kept.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

fn set<T>(kept: &Mutex<T>, value: T) {
    *kept.lock().unwrap_or_else(PoisonError::into_inner) = value;
}
