//! What can go wrong with the store: the one error that SQLite's own stands behind.

use rusqlite::{ErrorCode, ffi};

use crate::error::ApplyError;
use crate::mapping::MappingFault;

/// The store could not be asked or written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// SQLite refused.
    #[error("the store cannot be used: {0}. If the disk is full, make room; else restore a backup.")]
    Sqlite(#[from] rusqlite::Error),
    /// The disk did not take what was to be written; nothing of it is stored, and it can be done again.
    #[error("{why}: {} free where the catalogue stands. Nothing was changed. Make room there, then do it again.", in_words(*free))]
    NoRoom {
        /// What the disk said.
        why: &'static str,
        /// Bytes that are free there, where that is known.
        free: Option<u64>,
    },
    /// The disk could not say that it keeps what was written. What it would say the next time means nothing.
    #[error(
        "the disk failed while a change was written, so nothing more is written before the program is started again. Nothing was changed. Look at the disk, then start it again; it checks the catalogue."
    )]
    DiskFailed,
    /// The file was found to be damaged while it is open: what is written now would be lost with the backup that is restored.
    #[error(
        "the catalogue on the disk is damaged, so nothing is written until a backup is restored. Nothing was changed. Stop the program; `lastbench check` says what is wrong and which backup to restore."
    )]
    KnownDamaged,
    /// The folder could not be written to when the catalogue was opened.
    #[error(
        "the folder of the catalogue cannot be written to, so it can only be looked at. Nothing was changed. Make the folder writable, then start the program again."
    )]
    ReadOnly,
    /// A row that this program would not have written.
    #[error("the store holds a {entity} \"{key}\" that cannot be understood. Restore a backup.")]
    Damaged {
        /// style or sku.
        entity: &'static str,
        /// Its key.
        key: String,
    },
    /// What is read is not what was written.
    #[error("{}", .0.join("; "))]
    Decayed(Vec<String>),
    /// A mapping that this program would not have written.
    #[error(transparent)]
    Mapping(#[from] MappingFault),
}

impl StoreError {
    /// Whether there was no room for what was to be written, which somebody can make.
    pub fn is_for_want_of_room(&self) -> bool {
        matches!(self, Self::NoRoom { .. })
            || matches!(self, Self::Sqlite(why) if why.sqlite_error_code() == Some(ErrorCode::DiskFull))
    }

    /// Whether what was to be written lies where nothing can be written.
    pub fn is_for_want_of_writing(&self) -> bool {
        matches!(self, Self::ReadOnly)
            || matches!(self, Self::Sqlite(why) if why.sqlite_error_code() == Some(ErrorCode::ReadOnly))
    }

    /// SQLite's own word on a write as what it means; `free` is asked where a lack of room is the likely reason.
    pub(super) fn of_a_write(self, free: impl FnOnce() -> Option<u64>) -> Self {
        let Self::Sqlite(rusqlite::Error::SqliteFailure(fault, _)) = &self else { return self };
        match (fault.code, fault.extended_code) {
            (ErrorCode::DiskFull, _) => Self::NoRoom { why: "disk full", free: free() },
            // A file may grow no further: a quota, or a limit of the system.
            (_, ffi::SQLITE_IOERR_WRITE) => {
                Self::NoRoom { why: "the disk did not take what was to be written", free: free() }
            }
            (_, ffi::SQLITE_IOERR_FSYNC | ffi::SQLITE_IOERR_DIR_FSYNC) => Self::DiskFailed,
            _ => self,
        }
    }
}

fn in_words(free: Option<u64>) -> String {
    free.map_or_else(
        || "an unknown number of bytes are".to_owned(),
        |bytes| format!("{} MB are", bytes / 1_000_000),
    )
}

impl From<rusqlite::Error> for ApplyError {
    fn from(error: rusqlite::Error) -> Self {
        Self::Store(StoreError::Sqlite(error))
    }
}

impl StoreError {
    /// The file itself is damaged: making room or trying again does not help.
    pub fn is_damage(&self) -> bool {
        match self {
            Self::Sqlite(fault) => {
                let code = fault.sqlite_error_code();
                matches!(code, Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase))
                    || matches!(
                        fault,
                        rusqlite::Error::FromSqlConversionFailure(..)
                            | rusqlite::Error::InvalidColumnType(..)
                            | rusqlite::Error::IntegralValueOutOfRange(..)
                            | rusqlite::Error::Utf8Error(..)
                    )
            }
            Self::Damaged { .. } | Self::Decayed(_) => true,
            Self::Mapping(_)
            | Self::NoRoom { .. }
            | Self::DiskFailed
            | Self::KnownDamaged
            | Self::ReadOnly => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{Signed, Store};

    fn signed(key: &str) -> Signed {
        Signed { actor: "owner".to_owned(), at: 1_000, key: key.to_owned() }
    }

    fn failing(code: i32) -> StoreError {
        StoreError::Sqlite(rusqlite::Error::SqliteFailure(ffi::Error::new(code), None))
    }

    #[test]
    fn what_the_disk_says_of_a_write_is_told_as_what_it_means() {
        let meant = |code| failing(code).of_a_write(|| Some(2_500_000));
        assert!(meant(ffi::SQLITE_FULL).to_string().starts_with("disk full: 2 MB are free"));
        assert!(meant(ffi::SQLITE_IOERR_WRITE).is_for_want_of_room());
        assert!(matches!(meant(ffi::SQLITE_IOERR_FSYNC), StoreError::DiskFailed));
        assert!(matches!(meant(ffi::SQLITE_CORRUPT), StoreError::Sqlite(_)));
        assert!(
            failing(ffi::SQLITE_FULL).is_for_want_of_room()
                && !meant(ffi::SQLITE_IOERR_FSYNC).is_for_want_of_room()
        );
    }

    #[test]
    fn after_a_sync_that_failed_nothing_more_is_tried() {
        let mut store = Store::in_memory().unwrap();
        let failed = store.write(&signed("1"), |_| Err(failing(ffi::SQLITE_IOERR_FSYNC).into()));
        assert!(matches!(failed, Err(ApplyError::Store(StoreError::DiskFailed))));
        let again = store.write(&signed("2"), |_| panic!("it was tried again"));
        assert!(matches!(again, Err(ApplyError::Store(StoreError::DiskFailed))));
    }

    #[test]
    fn while_damage_is_known_nothing_is_written_and_a_check_that_finds_none_opens_it_again() {
        let mut store = Store::in_memory().unwrap();
        let line = [(crate::store::Counted::Wanted, "fennick.fm-310 EU 43".to_owned())];
        store.is_damaged(true);
        let refused = store.write(&signed("1"), |_| panic!("it was tried"));
        assert!(matches!(refused, Err(ApplyError::Store(StoreError::KnownDamaged))));
        assert!(matches!(store.tally(&line, 0), Err(StoreError::KnownDamaged)));
        assert!(matches!(store.settle(line[0].0, &line[0].1), Err(StoreError::KnownDamaged)));
        store.is_damaged(false);
        store.tally(&line, 0).unwrap();
    }

    #[test]
    fn a_disk_that_failed_stays_closed_whatever_a_check_finds() {
        let mut store = Store::in_memory().unwrap();
        let _ = store.write(&signed("1"), |_| Err(failing(ffi::SQLITE_IOERR_FSYNC).into()));
        store.is_damaged(true);
        store.is_damaged(false);
        assert!(matches!(store.may_be_written(), Err(StoreError::DiskFailed)));
        let line = [(crate::store::Counted::Wanted, "fennick.fm-310 EU 43".to_owned())];
        assert!(matches!(store.tally(&line, 0), Err(StoreError::DiskFailed)), "a tally is a write too");
    }

    #[test]
    fn a_change_without_room_is_taken_once_there_is_room() {
        let mut store = Store::in_memory().unwrap();
        let full = store.write(&signed("1"), |_| Err(failing(ffi::SQLITE_FULL).into()));
        assert!(matches!(full, Err(ApplyError::Store(StoreError::NoRoom { .. }))));
        let facts = crate::store::change::Facts { kind: "import", ..Default::default() };
        let taken =
            store.write(&signed("1"), |open| Ok(crate::store::change::begin(open, &signed("1"), &facts)?));
        assert!(taken.is_ok(), "{taken:?}");
    }
}
