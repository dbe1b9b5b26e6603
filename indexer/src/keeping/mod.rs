//! Backups: made whole and proved before they bear their name, kept as long as the right ones should be, restored.
//!
//! A backup says in its name when, of which change and why it was made; there is no list beside them that could be lost.

mod files;
mod kept;
mod restore;

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

pub use files::{FileKind, Found};
pub use kept::{BEFORE_CHANGES, BEFORE_OTHERS, DAYS, Mistrust, Pruned, WEEKS};
pub use restore::{Lost, Restored, restore, would_restore};

use crate::calendar::civil;
use crate::loaded::Seq;
use crate::store::{DataDir, Held, NotGood, StoreError, examine, faults_of_catalogue, vacuum_into};

/// Seconds of a day.
const A_DAY: i64 = 86_400;

/// Why a backup was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Why {
    /// Somebody asked for it.
    Asked,
    /// Every night.
    Night,
    /// Before a sheet was applied or taken back.
    Change,
    /// Before another one was restored.
    Restore,
    /// Before the tables were brought up to a newer program.
    Upgrade,
}

/// One backup, as its name tells of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backup {
    /// Its file.
    pub path: PathBuf,
    /// When it was made, seconds since 1970.
    pub at: i64,
    /// The last change in it.
    pub seq: Seq,
    /// Why it was made.
    pub why: Why,
    /// Its size.
    pub bytes: u64,
}

/// A backup that was made.
#[derive(Debug)]
pub struct Made {
    /// It.
    pub backup: Backup,
    /// Its copy in the second folder, where there is one.
    pub second: Option<Result<Backup, BackupFault>>,
    /// What became of older ones.
    pub pruned: Result<Pruned, Mistrust>,
}

/// A backup could not be made; what was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum BackupFault {
    /// A file or folder cannot be used.
    #[error("{} cannot be written or read: {fault}. See whether its disk is full, read-only or unplugged.", .0.display(), fault = .1)]
    Folder(PathBuf, #[source] io::Error),
    /// The store cannot be copied.
    #[error("the catalogue cannot be copied to {}: {fault} See whether that disk is full, read-only or unplugged.", .0.display(), fault = .1)]
    Copy(PathBuf, #[source] StoreError),
    /// What was copied is not whole.
    #[error(
        "the copy is not whole and was thrown away: {0}. See what `lastbench check` says of the catalogue."
    )]
    NotGood(NotGood),
}

impl Why {
    const ALL: [Self; 5] = [Self::Asked, Self::Night, Self::Change, Self::Restore, Self::Upgrade];

    /// The word for it in the name of a backup.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Asked => "asked",
            Self::Night => "night",
            Self::Change => "before-change",
            Self::Restore => "before-restore",
            Self::Upgrade => "before-upgrade",
        }
    }
}

impl Backup {
    /// `catalogue-20261126T214831Z-change-12-night.sqlite`.
    fn name(at: i64, seq: Seq, why: Why) -> String {
        let (year, month, day) = civil(at.div_euclid(A_DAY));
        let of_day = at.rem_euclid(A_DAY);
        let (hour, minute, second) = (of_day / 3600, of_day / 60 % 60, of_day % 60);
        format!(
            "catalogue-{year:04}{month:02}{day:02}T{hour:02}{minute:02}{second:02}Z-change-{}-{}.sqlite",
            seq.0,
            why.word()
        )
    }

    fn of(path: PathBuf, bytes: u64) -> Option<Self> {
        let name = path.file_name()?.to_str()?.strip_prefix("catalogue-")?.strip_suffix(".sqlite")?;
        let (time, rest) = name.split_once("-change-")?;
        let (seq, why) = rest.split_once('-')?;
        let why = Why::ALL.into_iter().find(|known| known.word() == why)?;
        Some(Self { at: seconds(time)?, seq: Seq(seq.parse().ok()?), why, bytes, path })
    }

    /// `2026-11-26 21:48 UTC`.
    pub fn when(&self) -> String {
        when(self.at)
    }
}

/// `2026-11-26 21:48 UTC`.
pub fn when(at: i64) -> String {
    let (year, month, day) = civil(at.div_euclid(A_DAY));
    let of_day = at.rem_euclid(A_DAY);
    format!("{year:04}-{month:02}-{day:02} {:02}:{:02} UTC", of_day / 3600, of_day / 60 % 60)
}

/// Seconds since 1970 of `20261126T214831Z`.
fn seconds(time: &str) -> Option<i64> {
    let digits = |from: usize, to: usize| time.get(from..to)?.parse::<i64>().ok();
    let (year, month, day) = (digits(0, 4)?, digits(4, 6)?, digits(6, 8)?);
    // From the first day that it may be: a calendar turned round is a calendar to be tested twice.
    let from = (year - 1970) * 365;
    let is_it = |days: &i64| civil(*days) == (year, month as u32, day as u32);
    let days = (from..from + 1_000).find(is_it)?;
    Some(days * A_DAY + digits(9, 11)? * 3600 + digits(11, 13)? * 60 + digits(13, 15)?)
}

/// The backups in a folder, the newest first; none where there is no such folder.
pub fn backups(folder: &Path) -> io::Result<Vec<Backup>> {
    let entries = match fs::read_dir(folder) {
        Err(fault) if fault.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut found = Vec::new();
    for entry in entries {
        let entry = entry?;
        found.extend(Backup::of(entry.path(), entry.metadata()?.len()));
    }
    found.sort_by_key(|backup| (std::cmp::Reverse(backup.at), std::cmp::Reverse(backup.seq.0)));
    Ok(found)
}

/// Makes a backup of a store in a folder: copied beside, synced, proved, and only then given its name.
pub fn back_up(data: &DataDir, folder: &Path, why: Why, at: i64) -> Result<Backup, BackupFault> {
    let fail = |fault| BackupFault::Folder(folder.to_owned(), fault);
    fs::create_dir_all(folder).map_err(fail)?;
    sweep(folder);
    let partial = partial(folder);
    let made =
        vacuum_into(&data.store(), &partial).map_err(|fault| BackupFault::Copy(folder.to_owned(), fault));
    let named = made.and_then(|()| prove_and_name(&partial, folder, why, at));
    if named.is_err() {
        // Half a copy is of no use; if it cannot be removed now, the next one sweeps it.
        let _ = fs::remove_file(&partial);
    }
    named
}

impl DataDir {
    /// Makes a backup in the folder's own place and in the second, and lets old ones go.
    pub fn back_up(&self, why: Why, at: i64) -> Result<Made, BackupFault> {
        self.back_up_doubting(why, at, None)
    }

    /// As [`Self::back_up`]; while a clock is in `doubt`, none is let go.
    pub fn back_up_doubting(&self, why: Why, at: i64, doubt: Option<Mistrust>) -> Result<Made, BackupFault> {
        let backup = back_up(self, &self.backups(), why, at)?;
        let second = self.second().map(|second| copy_of(&backup, second));
        if let Some(doubt) = doubt {
            return Ok(Made { backup, second, pruned: Err(doubt) });
        }
        let mut pruned = kept::prune(&self.backups(), at);
        if let (Some(Ok(_)), Some(second)) = (&second, self.second()) {
            pruned = pruned.and_then(|own| kept::prune(second, at).map(|theirs| own.and(theirs)));
        }
        Ok(Made { backup, second, pruned })
    }

    /// The newest backup that is whole, in either folder.
    pub fn newest_good(&self) -> Option<Backup> {
        let folders = [Some(self.backups()), self.second().map(Path::to_owned)];
        let mut all: Vec<Backup> =
            folders.into_iter().flatten().filter_map(|folder| backups(&folder).ok()).flatten().collect();
        all.sort_by_key(|backup| (std::cmp::Reverse(backup.at), std::cmp::Reverse(backup.seq.0)));
        all.into_iter().find(|backup| examine(&backup.path).is_ok())
    }

    /// What is wrong with the catalogue, and what it holds as far as that can be read.
    pub fn check(&self) -> (Vec<String>, Option<Held>) {
        faults_of_catalogue(&self.store())
    }

    /// What somebody whose catalogue is damaged does next.
    pub fn what_to_restore(&self) -> String {
        let data = self.path().display();
        match self.newest_good() {
            Some(backup) => {
                let path = backup.path.display();
                format!(
                    "The newest good backup is of {}, change {}. See what it would bring back with `lastbench restore {path} --data {data} --dry-run`, and restore it with `lastbench restore {path} --data {data}`.",
                    backup.when(),
                    backup.seq.0
                )
            }
            None => format!(
                "There is no good backup in {}. If one is kept elsewhere, restore it with `lastbench restore FILE --data {data}`.",
                self.backups().display()
            ),
        }
    }
}

/// The copy of a backup in another folder, proved there.
fn copy_of(backup: &Backup, folder: &Path) -> Result<Backup, BackupFault> {
    let fail = |fault| BackupFault::Folder(folder.to_owned(), fault);
    fs::create_dir_all(folder).map_err(fail)?;
    sweep(folder);
    let partial = partial(folder);
    let copied = fs::copy(&backup.path, &partial).map(|_| ()).map_err(fail);
    let named = copied.and_then(|()| prove_and_name(&partial, folder, backup.why, backup.at));
    if named.is_err() {
        let _ = fs::remove_file(&partial);
    }
    named
}

fn prove_and_name(partial: &Path, folder: &Path, why: Why, at: i64) -> Result<Backup, BackupFault> {
    let fail = |fault| BackupFault::Folder(folder.to_owned(), fault);
    let file = File::options().write(true).open(partial).map_err(fail)?;
    file.sync_all().map_err(fail)?;
    let bytes = file.metadata().map_err(fail)?.len();
    drop(file);
    let held = examine(partial).map_err(BackupFault::NotGood)?;
    let path = folder.join(Backup::name(at, held.seq, why));
    fs::rename(partial, &path).map_err(fail)?;
    sync_folder(folder).map_err(fail)?;
    Ok(Backup { path, at, seq: held.seq, why, bytes })
}

/// A rename is on the disk once its folder is.
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Beside the others, so that the rename stays on one disk; by process, so that two programs do not meet.
fn partial(folder: &Path) -> PathBuf {
    folder.join(format!("{}{PARTIAL}", std::process::id()))
}

const PARTIAL: &str = ".partial";

/// Removes what a killed program left half made. What cannot be removed does no harm.
fn sweep(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let Some(process) =
            name.to_str().and_then(|name| name.split_once(PARTIAL)).map(|(process, _)| process)
        else {
            continue;
        };
        let is_ours = process == std::process::id().to_string();
        let is_gone = !Path::new("/proc").join(process).exists();
        if is_ours || is_gone {
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_when_of_which_change_and_why_and_is_read_back() {
        for (at, why) in [
            (0, Why::Night),
            (951_782_400, Why::Change),
            (1_795_729_711, Why::Asked),
            (4_102_444_799, Why::Restore),
        ] {
            let name = Backup::name(at, Seq(12), why);
            let read = Backup::of(name.clone().into(), 7).unwrap();
            assert_eq!((read.at, read.seq, read.why, read.bytes), (at, Seq(12), why, 7), "{name}");
        }
        assert_eq!(
            Backup::name(951_782_400, Seq(3), Why::Upgrade),
            "catalogue-20000229T000000Z-change-3-before-upgrade.sqlite"
        );
    }

    #[test]
    fn what_is_no_backup_is_passed_over() {
        for name in [
            "catalogue.sqlite",
            "catalogue-x-change-1-night.sqlite",
            "12.partial",
            "catalogue-20260230T000000Z-change-1-night.sqlite",
        ] {
            assert_eq!(Backup::of(name.into(), 0), None, "{name}");
        }
    }
}
