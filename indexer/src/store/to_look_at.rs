//! A store that is only looked at: a backup, a store beside the one that writes, and the catalogue of a folder that cannot
//! be written to.

use std::fmt::Write as _;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::Path;

use rusqlite::{Connection, OpenFlags};

use super::change::Closed;
use super::digest::Watch;
use super::folder::DataDir;
use super::migrate::{VERSION, version};
use super::{Holder, Store, StoreError, backup, is_still_there, last, missing, not_newer, unopened};
use crate::error::{LockError, OpenError};

impl DataDir {
    /// Whether it holds a catalogue that can be read, while the folder itself cannot be written to: a disk mounted
    /// read-only, a folder made immutable or lent by somebody else.
    pub fn is_read_only(&self) -> bool {
        let may_be_read = rustix::fs::access(self.store(), rustix::fs::Access::READ_OK).is_ok();
        may_be_read && is_shut(self.path())
    }

    /// The lock of a folder that cannot be written to, as long as it is looked at; `None` where there is no file to lock.
    /// Whoever can write there, by another way, holds the same lock.
    ///
    /// # Errors
    /// Somebody else holds it, or may hold it.
    pub fn lock_to_look(&self) -> Result<Option<File>, LockError> {
        let path = self.path().join("lock");
        let file = match File::open(&path) {
            Ok(file) => file,
            Err(fault) if fault.kind() == io::ErrorKind::NotFound => return Ok(None),
            // Somebody else may be writing.
            Err(_) => return Err(LockError::Folder(self.why_shut())),
        };
        match file.try_lock() {
            Ok(()) => Ok(Some(file)),
            Err(TryLockError::WouldBlock) => {
                Err(LockError::Busy(self.path().to_owned(), Holder::read(&path)))
            }
            // A disk without locks is one that nobody writes on.
            Err(TryLockError::Error(_)) => Ok(None),
        }
    }
}

impl Store {
    /// Opens the store of a folder that cannot be written to; whatever would be written is refused. It is checked as any
    /// other.
    pub(super) fn open_to_look(data: &DataDir) -> Result<Self, OpenError> {
        let file = data.store();
        let kept = last::read(&file);
        not_newer(backup::version_written(&file))?;
        is_still_there(data)?;
        let connection = look_at(&file).map_err(StoreError::from)?;
        let found = match version(&connection) {
            Err(StoreError::Sqlite(fault)) => return Err(unopened(data, fault)),
            other => other?,
        };
        not_newer(found)?;
        if found < VERSION {
            let why = format!(
                "the catalogue is of version {found} and has to be brought up to {VERSION} before it can be read: {}",
                data.may_not_be_used()
            );
            return Err(OpenError::NotOurs(why));
        }
        let watch = Watch::over(&connection).map_err(StoreError::from)?;
        let store = Self { connection, watch, closed: Some(Closed::ReadOnly), last: None };
        let mut faults = store.faults_shown();
        faults.extend(missing(kept.as_ref(), &store.connection, &file)?);
        if faults.is_empty() { Ok(store) } else { Err(StoreError::Decayed(faults).into()) }
    }
}

/// Opens a file that is only looked at. What is wrong with it is found by [`super::verify::all_faults`], not here.
///
/// In a folder that cannot be written to SQLite finds no place for what readers share. Without changes in a log none is
/// needed: nothing can change such a file. With them what readers share may have been left there; else it says so.
pub(super) fn look_at(path: &Path) -> rusqlite::Result<Connection> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let connection =
        match path.to_str().filter(|_| is_shut(folder.unwrap_or(Path::new("."))) && !has_log(path)) {
            Some(name) => Connection::open_with_flags(unchanging(name), flags | OpenFlags::SQLITE_OPEN_URI)?,
            None => Connection::open_with_flags(path, flags)?,
        };
    connection.busy_timeout(std::time::Duration::from_secs(5))?;
    Ok(connection)
}

fn is_shut(folder: &Path) -> bool {
    folder.is_dir() && rustix::fs::access(folder, rustix::fs::Access::WRITE_OK).is_err()
}

fn has_log(store: &Path) -> bool {
    let mut log = store.as_os_str().to_owned();
    log.push("-wal");
    fs::metadata(log).is_ok_and(|log| log.len() > 0)
}

/// The address of a file that nobody changes, as SQLite reads it.
fn unchanging(path: &str) -> String {
    let mut address = "file:".to_owned();
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'/' | b'.' | b'-' | b'_' => address.push(byte.into()),
            // Writing into a text does not fail.
            other => drop(write!(address, "%{other:02x}")),
        }
    }
    // Two slashes at the beginning would be a machine.
    address.replacen("file://", "file:///", 1) + "?immutable=1"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_becomes_an_address_whatever_is_in_it() {
        assert_eq!(unchanging("/shop a/b?c#d.sqlite"), "file:/shop%20a/b%3fc%23d.sqlite?immutable=1");
        assert_eq!(unchanging("rel/ü"), "file:rel/%c3%bc?immutable=1");
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a % b?immutable=0#.sqlite");
        Connection::open(&path).unwrap().execute_batch("CREATE TABLE t (id INTEGER)").unwrap();
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
        let opened = Connection::open_with_flags(unchanging(path.to_str().unwrap()), flags).unwrap();
        assert!(opened.prepare("SELECT id FROM t").is_ok());
    }
}
