//! The folder of a catalogue, and the lock that lets one process write.

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

use crate::error::{LockError, OpenError};

/// The folder that holds store and index.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DataDir(PathBuf);

impl DataDir {
    /// The folder at a path; nothing is made yet.
    pub fn new(path: impl Into<PathBuf>) -> Self {
        Self(path.into())
    }

    /// Its path.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Whether it holds a catalogue.
    pub fn exists(&self) -> bool {
        self.store().exists()
    }

    /// The file of the store.
    pub fn store(&self) -> PathBuf {
        self.0.join("catalogue.sqlite")
    }

    /// The file of those who may sign in.
    pub fn staff(&self) -> PathBuf {
        self.0.join("staff.sqlite")
    }

    /// The folder of the word index, which may be deleted at any time.
    pub fn index(&self) -> PathBuf {
        self.0.join("index")
    }

    /// Removes the word index.
    pub fn remove_index(&self) -> std::io::Result<()> {
        match fs::remove_dir_all(self.index()) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(()),
            other => other,
        }
    }

    /// Makes the folder.
    pub(super) fn make(&self) -> Result<(), OpenError> {
        fs::create_dir_all(&self.0).map_err(|e| OpenError::Folder(self.0.clone(), e))
    }

    /// Takes the lock for writing; it is free again when the file is dropped, or its process dies.
    pub fn lock(&self) -> Result<File, LockError> {
        let fail = |e| LockError::Folder(self.0.clone(), e);
        fs::create_dir_all(&self.0).map_err(fail)?;
        let file = File::create(self.0.join("lock")).map_err(fail)?;
        match file.try_lock() {
            Ok(()) => Ok(file),
            Err(TryLockError::WouldBlock) => Err(LockError::Busy(self.0.clone())),
            Err(TryLockError::Error(e)) => Err(fail(e)),
        }
    }
}
