//! The files in the folder of a catalogue, and what each of them is.

use std::fs;
use std::io;
use std::path::Path;
use std::time::UNIX_EPOCH;

use super::Backup;
use crate::store::DataDir;

/// What a file in the folder is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// The catalogue, and what SQLite writes beside it.
    Store,
    /// Those who may sign in, and what SQLite writes beside it.
    Staff,
    /// The word index.
    Index,
    /// Backups, whole, damaged or half made.
    Backups,
    /// The number of the last change, which tells when a log was taken away.
    LastChange,
    /// Which process has the folder.
    Lock,
    /// A backup on its way to become the catalogue.
    Restoring,
    /// Nothing that this program has put there.
    Other,
}

/// The files of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Of which kind.
    pub kind: FileKind,
    /// Their names below the folder, by the alphabet.
    pub names: Vec<String>,
    /// Their bytes.
    pub bytes: u64,
    /// When the oldest of them was made, if it is a backup, or else written last; seconds since 1970.
    pub oldest: Option<i64>,
    /// The newest.
    pub newest: Option<i64>,
}

impl FileKind {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Store,
        Self::Staff,
        Self::Index,
        Self::Backups,
        Self::LastChange,
        Self::Lock,
        Self::Restoring,
        Self::Other,
    ];

    /// What a file of this name below the folder is.
    pub fn of(name: &str) -> Self {
        let beside = |file: &str| {
            ["", "-wal", "-shm", "-journal"].iter().any(|end| name.strip_suffix(end) == Some(file))
        };
        match name {
            "lock" => Self::Lock,
            "catalogue.last" => Self::LastChange,
            "restoring.partial" => Self::Restoring,
            _ if beside("catalogue.sqlite") => Self::Store,
            _ if beside("staff.sqlite") => Self::Staff,
            _ if name.starts_with("index/") => Self::Index,
            _ if name.starts_with("backups/") => Self::Backups,
            _ => Self::Other,
        }
    }

    /// What all names of this kind begin with; blank of those that are not ours.
    pub const fn begins(self) -> &'static str {
        match self {
            Self::Store => "catalogue.sqlite",
            Self::Staff => "staff.sqlite",
            Self::Index => "index/",
            Self::Backups => "backups/",
            Self::LastChange => "catalogue.last",
            Self::Lock => "lock",
            Self::Restoring => "restoring.partial",
            Self::Other => "",
        }
    }
}

impl DataDir {
    /// What is in the folder, by kind; kinds without a file have no names.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn files(&self) -> io::Result<Vec<Found>> {
        let none = |kind| Found { kind, names: Vec::new(), bytes: 0, oldest: None, newest: None };
        let mut found: Vec<Found> = FileKind::ALL.map(none).into();
        look(self.path(), "", &mut found)?;
        for found in &mut found {
            found.names.sort_unstable();
        }
        Ok(found)
    }
}

fn look(folder: &Path, before: &str, found: &mut [Found]) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        // What goes away while it is looked at is not there.
        let Ok(about) = entry.metadata() else { continue };
        if about.is_dir() {
            look(&entry.path(), &format!("{name}/"), found)?;
            continue;
        }
        let kind = FileKind::of(&name);
        let at = Backup::of(entry.path(), 0).map(|backup| backup.at).or_else(|| written(&about));
        if let Some(found) = found.iter_mut().find(|found| found.kind == kind) {
            found.names.push(name);
            found.bytes += about.len();
            found.oldest = found.oldest.into_iter().chain(at).min();
            found.newest = found.newest.into_iter().chain(at).max();
        }
    }
    Ok(())
}

fn written(about: &fs::Metadata) -> Option<i64> {
    let since = about.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    i64::try_from(since.as_secs()).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_file_is_known_by_its_name_and_what_is_not_ours_is_said_to_be_so() {
        let folder = tempfile::tempdir().unwrap();
        for below in ["index/3-ab", "backups"] {
            fs::create_dir_all(folder.path().join(below)).unwrap();
        }
        let night = "backups/catalogue-19700102T000000Z-change-3-night.sqlite";
        for name in [
            "catalogue.sqlite",
            "catalogue.sqlite-wal",
            "index/3-ab/seal",
            night,
            "catalogue.last",
            "letter.txt",
        ] {
            fs::write(folder.path().join(name), "four").unwrap();
        }
        let found = DataDir::new(folder.path()).files().unwrap();
        let of = |kind| found.iter().find(|found| found.kind == kind).unwrap();
        assert_eq!(of(FileKind::Store).names, ["catalogue.sqlite", "catalogue.sqlite-wal"]);
        assert_eq!((of(FileKind::Store).bytes, of(FileKind::Staff).names.len()), (8, 0));
        assert_eq!(of(FileKind::Backups).oldest, Some(86_400), "by its name");
        assert_eq!(of(FileKind::LastChange).names, ["catalogue.last"]);
        assert_eq!(of(FileKind::Other).names, ["letter.txt"]);
        for found in &found {
            assert!(found.names.iter().all(|name| name.starts_with(found.kind.begins())), "{found:?}");
        }
    }
}
