//! One error type an operation; each says what, where and what to do.

use std::path::PathBuf;

pub use crate::keeping::BackupFault;
use crate::loaded::Seq;
pub use crate::store::{Holder, StoreError};
use crate::words::WordsError;

/// The catalogue could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// The folder cannot be made or read.
    #[error("the folder {0} cannot be used: {1}. Check that it exists and may be written to.")]
    Folder(PathBuf, std::io::Error),
    /// The folder, or a file in it, belongs to somebody else.
    #[error("{0}")]
    NotOurs(String),
    /// The folder lies where other computers may write.
    #[error("the folder {} lies on a share ({kind}), where a catalogue does not stay whole when two computers open it. Name a folder on a disk of this computer with --data; if nobody else ever opens it there, say --on-a-share.", folder.display())]
    OnAShare {
        /// The folder.
        folder: PathBuf,
        /// What kind of share.
        kind: &'static str,
    },
    /// What is in the file is not what was written.
    #[error("the catalogue in {} is damaged and was not opened: {why}. Nothing was overwritten. {advice}", folder.display())]
    Damaged {
        /// The folder.
        folder: PathBuf,
        /// What is wrong.
        why: String,
        /// The newest good backup and how to restore it.
        advice: String,
    },
    /// An older program's catalogue is brought up to this one only once a copy of it is kept.
    #[error(
        "the catalogue is of an older program and was left as it is, since no copy of it could be kept: {0}"
    )]
    NoBackup(BackupFault),
    /// The file is of a newer program.
    #[error(
        "the catalogue is of version {found}, this program reads up to {known}. Use the newer program, or restore a backup of this one. Nothing was touched."
    )]
    Newer {
        /// Found in the file.
        found: i64,
        /// Known here.
        known: i64,
    },
    /// SQLite is older than the release that mended its write-ahead log.
    #[error("SQLite {0} is built in; at least 3.51.3 is needed")]
    OldSqlite(&'static str),
    /// The store cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The word index can neither be read nor built.
    #[error(transparent)]
    Words(#[from] WordsError),
}

impl OpenError {
    /// The file itself is damaged.
    pub fn is_damage(&self) -> bool {
        matches!(self, Self::Store(fault) if fault.is_damage())
    }
}

/// A change was not made; nothing of it is stored.
#[derive(Debug, thiserror::Error)]
pub enum ApplyError {
    /// The catalogue has moved on since the proposal, and the proposal would now be another.
    #[error("the catalogue has changed since this was proposed (change {} then, {} now). Look at it again, then apply.", base.0, now.0)]
    Conflict {
        /// What the proposal was made at.
        base: Seq,
        /// What the store is at.
        now: Seq,
    },
    /// The row was written since whoever speaks of it looked.
    #[error("{key} was changed while this was filled in (change {} then, {} now). Look at it again, then say it.", seen.0, now.0)]
    ChangedSince {
        /// The style or size.
        key: String,
        /// The change at which it was looked at.
        seen: Seq,
        /// What the store is at.
        now: Seq,
    },
    /// A cell that no person has set cannot be given back to the sheets.
    #[error("the {column} of {key} is not set by hand: the sheets say it already")]
    NotByHand {
        /// The column.
        column: &'static str,
        /// The style or size.
        key: String,
    },
    /// Rows are held that may list what seems missing.
    #[error(
        "{held} rows of this sheet are held, and may list what seems missing. Mend them first, or keep what is missing."
    )]
    MissingUnsure {
        /// Rows held back whole.
        held: usize,
    },
    /// It was called off before it was done.
    #[error("it was called off; nothing of it was stored")]
    Cancelled,
    /// The sheet as a whole is held.
    #[error("the sheet as a whole is held: settle its headings first")]
    Refused,
    /// There is no such change.
    #[error("there is no change {0}; `lastbench history` lists them")]
    NoSuchChange(i64),
    /// It is taken back already.
    #[error("change {0} is taken back already")]
    AlreadyUndone(i64),
    /// There is no such style or size to correct.
    #[error("the catalogue holds no {0}")]
    NoSuchRow(String),
    /// A key is made of it, and keys never change.
    #[error("the {0} is part of the key and stays as first told; import the shoe anew under the right one")]
    PartOfKey(&'static str),
    /// A sheet is applied, or taken back, only once the catalogue before it is kept.
    #[error("no backup could be made before it, so nothing was changed: {0}")]
    NoBackup(BackupFault),
    /// The store refused.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The change is stored, but no snapshot could be made of it.
    #[error("the change is stored, but cannot be shown: {0}. Restart the program.")]
    NotPublished(OpenError),
}

/// The folder is not to be had for writing.
#[derive(Debug, thiserror::Error)]
pub enum LockError {
    /// Another process holds it.
    #[error("another lastbench process{1} holds {0}.")]
    Busy(PathBuf, Holder),
    /// The lock cannot be made.
    #[error("{0}")]
    Folder(String),
}
