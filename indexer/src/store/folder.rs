//! The folder of a catalogue, and the lock that lets one process write.

use std::fs::{self, File, TryLockError};
use std::io::{Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::{fmt, process};

use crate::error::{LockError, OpenError};

/// The folder that holds store and index.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DataDir {
    path: PathBuf,
    second: Option<PathBuf>,
    shared: bool,
}

impl DataDir {
    /// The folder at a path; nothing is made yet.
    pub fn new(path: impl Into<PathBuf>) -> Self {
        Self { path: path.into(), second: None, shared: false }
    }

    /// Its path.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether it holds a catalogue.
    pub fn exists(&self) -> bool {
        self.store().exists()
    }

    /// The file of the store.
    pub fn store(&self) -> PathBuf {
        self.path.join("catalogue.sqlite")
    }

    /// The file of those who may sign in.
    pub fn staff(&self) -> PathBuf {
        self.path.join("staff.sqlite")
    }

    /// The folder of the word index, which may be deleted at any time.
    pub fn index(&self) -> PathBuf {
        self.path.join("index")
    }

    /// Removes the word index.
    pub fn remove_index(&self) -> std::io::Result<()> {
        match fs::remove_dir_all(self.index()) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(()),
            other => other,
        }
    }

    /// The folder of its backups.
    pub fn backups(&self) -> PathBuf {
        self.path.join("backups")
    }

    /// The further folder that every backup is also written to.
    pub fn second(&self) -> Option<&Path> {
        self.second.as_deref()
    }

    /// The same folder, with a further one for backups.
    pub fn also_to(self, second: Option<PathBuf>) -> Self {
        Self { second, ..self }
    }

    /// The same folder; whether it may lie on a share, since nobody else opens it there.
    pub fn on_a_share(self, shared: bool) -> Self {
        Self { shared, ..self }
    }

    pub(super) const fn may_be_shared(&self) -> bool {
        self.shared
    }

    /// Makes the folder.
    pub(super) fn make(&self) -> Result<(), OpenError> {
        fs::create_dir_all(&self.path).map_err(|_| self.may_not_be_used())
    }

    /// Has the disk keep what a killed program wrote into its log, a whole change perhaps, and had no time to sync: it is
    /// read and told of from now on.
    pub(super) fn keep_log(&self) -> std::io::Result<()> {
        match File::open(self.path.join("catalogue.sqlite-wal")) {
            Ok(log) => log.sync_all().and_then(|()| File::open(&self.path)?.sync_all()),
            // None is there, as a rule; one that cannot be read is told of when the store is opened.
            Err(_) => Ok(()),
        }
    }

    /// Takes the lock for writing; it is free again when the file is dropped, or its process dies. Who holds it is
    /// written into it.
    pub fn lock(&self) -> Result<File, LockError> {
        let fail = |_| LockError::Folder(self.may_not_be_used().to_string());
        fs::create_dir_all(&self.path).map_err(fail)?;
        let path = self.path.join("lock");
        let options = || File::options().create(true).truncate(false).write(true).read(true).open(&path);
        let file = options().map_err(fail)?;
        match file.try_lock() {
            Ok(()) => {
                // Who cannot be named is held all the same.
                let _ = file
                    .set_len(0)
                    .and_then(|()| (&file).write_all(format!("{}\n", process::id()).as_bytes()));
                Ok(file)
            }
            Err(TryLockError::WouldBlock) => Err(LockError::Busy(self.path.clone(), Holder::read(&path))),
            Err(TryLockError::Error(e)) => Err(fail(e)),
        }
    }

    /// Why it cannot be written to, and what mends it.
    pub fn why_shut(&self) -> String {
        self.may_not_be_used().to_string()
    }

    /// Who may not write where, and what mends it.
    pub(super) fn may_not_be_used(&self) -> OpenError {
        let folder = std::path::absolute(&self.path).unwrap_or_else(|_| self.path.clone());
        let user = rustix::process::geteuid().as_raw();
        let mut shut: Vec<String> = Vec::new();
        for name in ["", "catalogue.sqlite", "catalogue.sqlite-wal", "catalogue.sqlite-shm", "lock"] {
            let path = if name.is_empty() { folder.clone() } else { folder.join(name) };
            let access = rustix::fs::Access::READ_OK | rustix::fs::Access::WRITE_OK;
            if path.exists() && rustix::fs::access(&path, access).is_err() {
                shut.push(path.display().to_string());
            }
        }
        let is_read_only = rustix::fs::statvfs(&folder)
            .is_ok_and(|found| found.f_flag.contains(rustix::fs::StatVfsMountFlags::RDONLY));
        let shut = if shut.is_empty() { folder.display().to_string() } else { shut.join(", ") };
        let mend = if is_read_only {
            "Its disk is read-only: mount it for writing, or name another folder with --data.".to_owned()
        } else if folder.exists() {
            format!(
                "To mend it: sudo chown -R {user} {0} && chmod -R u+rwX {0}; or name another folder with --data.",
                folder.display()
            )
        } else {
            format!(
                "It cannot be made. To make it: sudo mkdir -p {0} && sudo chown -R {user} {0}; or name another folder with --data.",
                folder.display()
            )
        };
        OpenError::NotOurs(format!("user {user} may not read and write {shut}. {mend}"))
    }
}

/// Who holds a lock, as far as its file says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Holder {
    process: Option<u32>,
    address: Option<String>,
}

impl Holder {
    pub(super) fn read(lock: &Path) -> Self {
        let said = fs::read_to_string(lock).unwrap_or_default();
        let mut lines = said.lines();
        let process = lines.next().and_then(|line| line.trim().parse().ok());
        Self { process, address: lines.next().map(str::to_owned) }
    }

    /// Writes the address that a server answers on beside its process, for whoever finds the lock held.
    pub fn serves(mut lock: &File, address: &str) {
        // Who cannot be named is held all the same.
        let _ = lock.seek(SeekFrom::End(0)).and_then(|_| writeln!(lock, "{address}"));
    }
}

impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.process, &self.address) {
            (Some(process), Some(address)) => write!(f, " ({process}, on {address})"),
            (Some(process), None) => write!(f, " ({process})"),
            (None, _) => Ok(()),
        }
    }
}
