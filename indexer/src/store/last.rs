//! The last change that was kept, in a small file beside the store: a store that knows less than this has lost its log, or
//! is another one. SQLite alone would open it, older by some changes, without a word.
//!
//! It is written once a change is on the disk, and not synced: after a pulled plug it may speak of an earlier change or of
//! none, never of one that is not there. Taking it away is allowed, and is how an older state is accepted.

use std::fs::{self, File};
use std::io;
use std::os::unix::fs::FileExt;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension};

use super::{ChangeId, seq};
use crate::hash::hex;

/// The file that speaks of the last change kept in a store.
pub(super) struct Last {
    file: PathBuf,
    kept: i64,
}

/// What it says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Noted {
    change: i64,
    /// The seal of the store after it.
    state: String,
}

impl Last {
    /// Of the store in this file.
    pub(super) fn beside(store: &Path) -> Self {
        Self { file: path(store), kept: 0 }
    }

    /// Notes a change that is on the disk. A note that cannot be made leaves an earlier one, which is true too.
    pub(super) fn keep(&mut self, change: ChangeId, state: [u8; 16]) {
        if change.0 <= self.kept {
            return;
        }
        let line = format!("{:012} {}\n", change.0, hex(&state));
        // Twice, so that half a note is none.
        let note = line.repeat(2);
        let open = File::options().write(true).create(true).truncate(false).open(&self.file);
        match open.and_then(|file| file.write_all_at(note.as_bytes(), 0)) {
            Ok(()) => self.kept = change.0,
            Err(fault) => tracing::warn!(%fault, "the last change could not be noted beside the store"),
        }
    }
}

/// What is noted beside a store; to be read before the store is, so that what is kept meanwhile is no surprise.
pub(super) fn read(store: &Path) -> Option<Noted> {
    let note = fs::read_to_string(path(store)).ok()?;
    let (first, second) = note.strip_suffix('\n')?.split_once('\n')?;
    let (change, state) = (first == second).then_some(first)?.split_once(' ')?;
    Some(Noted { change: change.parse().ok()?, state: state.to_owned() })
}

/// Forgets it: another store comes in the place of this one.
pub(crate) fn forget(store: &Path) -> io::Result<()> {
    match fs::remove_file(path(store)) {
        Err(fault) if fault.kind() != io::ErrorKind::NotFound => Err(fault),
        _ => Ok(()),
    }
}

impl Noted {
    /// The store knows of no change at all.
    pub(super) fn all_is_missing(&self, store: &Path) -> String {
        let (change, note) = (self.change, path(store).display().to_string());
        format!(
            "change {change} was kept, and the file is gone, empty or an older program's (to begin with nothing, remove {note})"
        )
    }

    /// What is missing in a store that it should know.
    pub(super) fn missing_in(
        &self,
        connection: &Connection,
        store: &Path,
    ) -> rusqlite::Result<Option<String>> {
        let known = seq(connection)?.0;
        let accept = format!("to go on from it as it is, remove {}", path(store).display());
        if known < self.change {
            return Ok(Some(format!(
                "change {} was kept, and the file knows {known}: its log (catalogue.sqlite-wal) was taken away, or an older file was put in its place ({accept})",
                self.change
            )));
        }
        let sealed = "SELECT state FROM seal WHERE change = ?1";
        let state: Option<Option<[u8; 16]>> =
            connection.prepare(sealed)?.query_row([self.change], |row| row.get(0)).optional()?;
        if state.flatten().is_none_or(|state| hex(&state) == self.state) {
            return Ok(None);
        }
        Ok(Some(format!(
            "change {} is another than the one that was kept: a file or a log of another catalogue was put in its place ({accept})",
            self.change
        )))
    }
}

fn path(store: &Path) -> PathBuf {
    store.with_extension("last")
}

#[cfg(test)]
mod tests {
    use super::*;

    const STATE: [u8; 16] = [0xab; 16];

    #[test]
    fn what_is_noted_is_read_back_and_half_a_note_is_none() {
        let folder = tempfile::tempdir().unwrap();
        let store = folder.path().join("catalogue.sqlite");
        assert_eq!(read(&store), None);
        let mut last = Last::beside(&store);
        last.keep(ChangeId(17), STATE);
        assert_eq!(read(&store), Some(Noted { change: 17, state: "ab".repeat(16) }));
        last.keep(ChangeId(16), [0; 16]);
        assert_eq!(read(&store).unwrap().change, 17, "an earlier one says nothing new");
        let note = fs::read(folder.path().join("catalogue.last")).unwrap();
        for cut in 0..note.len() {
            fs::write(folder.path().join("catalogue.last"), &note[..cut]).unwrap();
            assert_eq!(read(&store), None, "{cut}");
        }
        forget(&store).unwrap();
        forget(&store).unwrap();
    }

    #[test]
    fn a_note_that_cannot_be_made_costs_nothing() {
        Last::beside(Path::new("/nowhere/catalogue.sqlite")).keep(ChangeId(1), STATE);
    }
}
