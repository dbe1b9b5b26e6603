//! Putting a backup in the place of the catalogue. What stood there is kept first, whole or as the bytes it was.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use super::{Backup, BackupFault, Why, back_up, sync_folder};
use crate::store::{DataDir, Held, NotGood, close_for_good, examine, faults_of, forget};

/// What restoring a backup would bring and take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lost {
    /// What the backup holds.
    pub backup: Held,
    /// What the catalogue holds now; `None` where there is none that can be read.
    pub present: Option<Held>,
    /// The changes of the catalogue that the backup does not know: they would be gone.
    pub changes: Vec<i64>,
    /// What is wrong with the catalogue now.
    pub faults: Vec<String>,
}

/// A backup that was restored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// What it brought and took.
    pub lost: Lost,
    /// Where what stood there before is kept; `None` where nothing stood there.
    pub before: Option<PathBuf>,
}

/// What restoring `file` would bring and take. Nothing is changed.
pub fn would_restore(data: &DataDir, file: &Path) -> Result<Lost, NotGood> {
    let backup = examine(file)?;
    if !data.exists() {
        return Ok(Lost { backup, present: None, changes: Vec::new(), faults: Vec::new() });
    }
    let (faults, present) = faults_of(&data.store());
    let unknown = present.iter().flat_map(|present| &present.keys).filter(|key| !backup.keys.contains(key));
    let changes = unknown.map(|(change, _)| *change).collect();
    Ok(Lost { backup, present, changes, faults })
}

/// Restores `file`, which was found whole, while the caller holds the lock of the folder; `at` is now.
pub fn restore(data: &DataDir, file: &Path, lost: Lost, at: i64) -> Result<Restored, BackupFault> {
    let fail = |fault| BackupFault::Folder(data.path().to_owned(), fault);
    fs::create_dir_all(data.path()).map_err(fail)?;
    // Copied and proved before anything is put aside: the file may be on the stick that fails next.
    let incoming = data.path().join("restoring.partial");
    fs::copy(file, &incoming).map_err(fail)?;
    File::options().write(true).open(&incoming).and_then(|file| file.sync_all()).map_err(fail)?;
    examine(&incoming).map_err(BackupFault::NotGood)?;
    let before = keep_what_stands(data, at)?;
    remove_logs(&data.store()).map_err(fail)?;
    // Before the file is another: what was noted of the one that goes is not true of the one that comes.
    forget(&data.store()).map_err(fail)?;
    fs::rename(&incoming, data.store()).map_err(fail)?;
    sync_folder(data.path()).map_err(fail)?;
    Ok(Restored { lost, before })
}

/// A whole catalogue becomes a backup; a damaged one is kept as the bytes it is, with its log.
fn keep_what_stands(data: &DataDir, at: i64) -> Result<Option<PathBuf>, BackupFault> {
    if !data.exists() {
        return Ok(None);
    }
    if let Ok(backup) = back_up(data, &data.backups(), Why::Restore, at)
        && close_for_good(&data.store()).is_ok()
    {
        return Ok(Some(backup.path));
    }
    let fail = |fault| BackupFault::Folder(data.backups(), fault);
    let seconds = Backup::name(at, crate::loaded::Seq(0), Why::Restore).replace("catalogue-", "damaged-");
    let aside = data.backups().join(seconds);
    fs::create_dir_all(data.backups()).map_err(fail)?;
    for log in ["", "-wal"] {
        let (from, to) = (beside(&data.store(), log), beside(&aside, log));
        if from.exists() {
            fs::copy(&from, &to).map_err(fail)?;
            File::options().write(true).open(&to).and_then(|file| file.sync_all()).map_err(fail)?;
        }
    }
    sync_folder(&data.backups()).map_err(fail)?;
    Ok(Some(aside))
}

/// A log that stayed would be taken for that of the file put in its place.
fn remove_logs(store: &Path) -> std::io::Result<()> {
    for log in ["-wal", "-shm"] {
        match fs::remove_file(beside(store, log)) {
            Err(fault) if fault.kind() != std::io::ErrorKind::NotFound => return Err(fault),
            _ => {}
        }
    }
    Ok(())
}

fn beside(store: &Path, log: &str) -> PathBuf {
    let mut name = store.as_os_str().to_owned();
    name.push(log);
    name.into()
}
