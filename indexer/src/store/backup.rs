//! A copy of the whole store while others write, and what a copy holds once it is proved.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::Path;

use rusqlite::Connection;

use super::StoreError;
use super::digest::state;
use super::to_look_at::look_at;
use super::verify::all_faults;
use crate::hash::hex;
use crate::loaded::Seq;

/// What a whole store holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Its last change.
    pub seq: Seq,
    /// When that was made, seconds since 1970; `None` when there is none.
    pub changed: Option<i64>,
    /// Styles.
    pub styles: usize,
    /// Sizes.
    pub skus: usize,
    /// The hash of all that it holds, the same wherever it is held; `None` of an older program's store.
    pub state: Option<String>,
    /// The key of each change, by its number: two stores share the changes of which both know the key.
    pub keys: Vec<(i64, String)>,
}

/// Why a file is not a whole store.
#[derive(Debug, thiserror::Error)]
pub enum NotGood {
    /// It cannot be asked.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// It is not as it was written.
    #[error("{}", .0.join("; "))]
    Decayed(Vec<String>),
}

impl From<rusqlite::Error> for NotGood {
    fn from(fault: rusqlite::Error) -> Self {
        Self::Store(fault.into())
    }
}

/// Copies the store as it stands now. A reader's lock is enough: a server may go on writing.
pub(crate) fn vacuum_into(store: &Path, to: &Path) -> Result<(), StoreError> {
    let to = to.to_str().ok_or_else(|| rusqlite::Error::InvalidPath(to.to_owned()))?;
    look_at(store)?.execute("VACUUM INTO ?1", [to])?;
    Ok(())
}

/// Proves a store and says what it holds.
pub(crate) fn examine(path: &Path) -> Result<Held, NotGood> {
    let connection = look_at(path)?;
    let faults = all_faults(&connection);
    if !faults.is_empty() {
        return Err(NotGood::Decayed(faults));
    }
    Ok(held(&connection)?)
}

/// What is wrong with a store, whole as it may be; and what it holds as far as that can be read.
pub(crate) fn faults_of(path: &Path) -> (Vec<String>, Option<Held>) {
    match look_at(path) {
        Ok(connection) => (all_faults(&connection), held(&connection).ok()),
        Err(fault) => (vec![fault.to_string()], None),
    }
}

/// What is wrong with the store of a catalogue, which may have lost what was noted beside it.
pub(crate) fn faults_of_catalogue(path: &Path) -> (Vec<String>, Option<Held>) {
    let kept = super::last::read(path);
    let (mut faults, held) = faults_of(path);
    if faults.is_empty() && kept.is_some() {
        let lost =
            look_at(path).map_err(StoreError::from).and_then(|now| super::missing(kept.as_ref(), &now, path));
        faults.extend(lost.unwrap_or_else(|fault| Some(fault.to_string())));
    }
    (faults, held)
}

fn held(connection: &Connection) -> rusqlite::Result<Held> {
    let count = |sql: &str| connection.query_row(sql, [], |row| row.get::<_, i64>(0)).map(|n| n as usize);
    let mut changes = connection.prepare("SELECT id, key, at FROM change ORDER BY id")?;
    let changes = changes.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    let changes = changes.collect::<rusqlite::Result<Vec<(i64, String, i64)>>>()?;
    let last = changes.last().map(|(id, _, at)| (*id, *at));
    Ok(Held {
        seq: Seq(last.map_or(0, |(id, _)| id)),
        changed: last.map(|(_, at)| at),
        state: kept_state(connection)?,
        styles: count("SELECT count(*) FROM style")?,
        skus: count("SELECT count(*) FROM sku")?,
        keys: changes.into_iter().map(|(id, key, _)| (id, key)).collect(),
    })
}

fn kept_state(connection: &Connection) -> rusqlite::Result<Option<String>> {
    let knows = connection.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'digest'")?.exists([])?;
    knows.then(|| state(connection).map(|state| hex(&state))).transpose()
}

/// Brings what stands in the write-ahead log into the file and does away with the log, so that it cannot be taken for
/// the log of another file that is put in its place.
pub(crate) fn close_for_good(store: &Path) -> Result<(), StoreError> {
    let connection = Connection::open(store)?;
    connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
    connection.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
    Ok(())
}

/// The version of the tables as the file itself has it, read without SQLite; 0 where there is no file. Newer pages may
/// stand in the write-ahead log.
///
/// Source: the SQLite file format, section 1.3: the user version is the four bytes at 60.
pub(super) fn version_written(store: &Path) -> i64 {
    let read = || -> io::Result<i64> {
        let mut bytes = [0; 4];
        let mut file = File::open(store)?;
        let mut begin = [0; 16];
        file.read_exact(&mut begin)?;
        if begin != *b"SQLite format 3\0" {
            return Ok(0);
        }
        file.seek(SeekFrom::Start(60))?;
        file.read_exact(&mut bytes)?;
        Ok(u32::from_be_bytes(bytes).into())
    };
    // What cannot be read here is told by SQLite in a moment.
    read().unwrap_or(0)
}
