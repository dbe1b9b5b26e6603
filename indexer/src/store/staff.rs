//! Who works in the shop: a file of its own beside the catalogue, so that a backup of the catalogue that is restored
//! brings back no password and nobody who has left.

use std::path::{Path, PathBuf};
use std::{fs, io};

use rusqlite::{Connection, OptionalExtension, Row};

use super::folder::DataDir;
use super::to_look_at::look_at;
use super::{StoreError, set_up};
use crate::error::OpenError;

/// What somebody may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Fits customers.
    Fitter,
    /// Keeps the catalogue, and may do what a fitter does.
    Owner,
}

/// One who may sign in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The name, unique whatever its case.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The hash of the password, as a PHC string.
    pub password: String,
    /// Since when, in seconds since 1970.
    pub since: i64,
}

/// The accounts of a shop.
pub struct StaffBook {
    connection: Connection,
    /// Where the file is to be, as long as nobody was added: looking makes none.
    unmade: Option<PathBuf>,
    /// The folder cannot be written to.
    read_only: bool,
}

const TABLE: &str = "CREATE TABLE IF NOT EXISTS account (
    name TEXT PRIMARY KEY COLLATE NOCASE,
    role TEXT NOT NULL CHECK (role IN ('fitter', 'owner')),
    password TEXT NOT NULL,
    since INTEGER NOT NULL
) STRICT";

const COLUMNS: &str = "SELECT name, role, password, since FROM account";

impl StaffBook {
    /// The accounts of the catalogue in a folder; none when nobody was ever added.
    ///
    /// # Errors
    /// The file cannot be used.
    pub fn open(data: &DataDir) -> Result<Self, OpenError> {
        let file = data.staff();
        if data.is_read_only() {
            let connection = if file.exists() { look_at(&file) } else { Connection::open_in_memory() };
            let connection = connection.map_err(StoreError::from)?;
            if !file.exists() {
                connection.execute_batch(TABLE).map_err(StoreError::from)?;
            }
            return Ok(Self { connection, unmade: None, read_only: true });
        }
        if file.exists() {
            return Ok(Self::over(Connection::open(file).map_err(StoreError::from)?)?);
        }
        Ok(Self { unmade: Some(file), ..Self::in_memory()? })
    }

    /// Accounts that last as long as the process, for the sample and for tests.
    ///
    /// # Errors
    /// SQLite cannot be started.
    pub fn in_memory() -> Result<Self, OpenError> {
        Ok(Self::over(Connection::open_in_memory().map_err(StoreError::from)?)?)
    }

    fn over(connection: Connection) -> Result<Self, StoreError> {
        set_up(&connection)?;
        connection.execute_batch(TABLE)?;
        Ok(Self { connection, unmade: None, read_only: false })
    }

    /// All accounts, by name.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn all(&self) -> Result<Vec<Account>, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!("{COLUMNS} ORDER BY name"))?;
        let accounts = statement.query_map([], account)?.collect::<Result<_, _>>()?;
        Ok(accounts)
    }

    /// The account of a name, whatever its case.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn of(&self, name: &str) -> Result<Option<Account>, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!("{COLUMNS} WHERE name = ?1"))?;
        Ok(statement.query_row([name], account).optional()?)
    }

    /// Whether nobody may sign in yet.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn is_empty(&self) -> Result<bool, StoreError> {
        let any: bool =
            self.connection.query_row("SELECT EXISTS (SELECT 1 FROM account)", [], |row| row.get(0))?;
        Ok(!any)
    }

    /// Adds an account; `false` when the name is taken.
    ///
    /// # Errors
    /// The file cannot be written; nothing is changed then.
    pub fn add(&mut self, account: &Account) -> Result<bool, StoreError> {
        self.may_be_written()?;
        if let Some(file) = &self.unmade {
            // Nobody else on this computer has to read it, hashes or not.
            for_its_owner_alone(file).map_err(|fault| unwritable(&fault))?;
            *self = Self::over(Connection::open(file)?)?;
        }
        let added = self.connection.execute(
            "INSERT INTO account (name, role, password, since) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING",
            (&account.name, account.role.word(), &account.password, account.since),
        )?;
        Ok(added == 1)
    }

    /// Gives an account another password; `false` when there is no such account.
    ///
    /// # Errors
    /// The file cannot be written; nothing is changed then.
    pub fn set_password(&self, name: &str, password: &str) -> Result<bool, StoreError> {
        self.may_be_written()?;
        let set =
            self.connection.execute("UPDATE account SET password = ?2 WHERE name = ?1", (name, password))?;
        self.overwritten()?;
        Ok(set == 1)
    }

    /// Removes an account, but the last owner only when it is the last account: somebody must be able to let others
    /// in. `false` when it was not removed.
    ///
    /// # Errors
    /// The file cannot be written; nothing is changed then.
    pub fn remove(&self, name: &str) -> Result<bool, StoreError> {
        self.may_be_written()?;
        let removed = self.connection.execute(
            "DELETE FROM account WHERE name = ?1 AND (
                 EXISTS (SELECT 1 FROM account WHERE role = 'owner' AND name <> ?1)
                 OR NOT EXISTS (SELECT 1 FROM account WHERE name <> ?1))",
            [name],
        )?;
        self.overwritten()?;
        Ok(removed == 1)
    }

    /// What was deleted is overwritten in the file (`secure_delete`) and goes out of the log beside it too.
    fn overwritten(&self) -> Result<(), StoreError> {
        Ok(self.connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?)
    }

    fn may_be_written(&self) -> Result<(), StoreError> {
        if self.read_only { Err(StoreError::ReadOnly) } else { Ok(()) }
    }
}

impl Role {
    /// The word it is kept and typed as.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fitter => "fitter",
            Self::Owner => "owner",
        }
    }

    /// The role of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Fitter, Self::Owner].into_iter().find(|role| role.word() == word)
    }
}

#[cfg(unix)]
fn for_its_owner_alone(file: &Path) -> io::Result<()> {
    use std::os::unix::fs::OpenOptionsExt;
    fs::OpenOptions::new().write(true).create(true).truncate(false).mode(0o600).open(file).map(|_| ())
}

#[cfg(not(unix))]
fn for_its_owner_alone(_file: &Path) -> io::Result<()> {
    Ok(())
}

/// SQLite's own word for a file that cannot be made.
fn unwritable(fault: &io::Error) -> StoreError {
    let failed = rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_CANTOPEN);
    rusqlite::Error::SqliteFailure(failed, Some(fault.to_string())).into()
}

fn account(row: &Row<'_>) -> rusqlite::Result<Account> {
    let word: String = row.get(1)?;
    // The table holds no other word; whoever wrote one by hand may not do more by it.
    let role = Role::from_word(&word).unwrap_or(Role::Fitter);
    Ok(Account { name: row.get(0)?, role, password: row.get(2)?, since: row.get(3)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn book(people: &[(&str, Role)]) -> StaffBook {
        let mut book = StaffBook::in_memory().unwrap();
        for (name, role) in people {
            assert!(book.add(&named(name, *role)).unwrap());
        }
        book
    }

    fn named(name: &str, role: Role) -> Account {
        Account { name: name.to_owned(), role, password: "hash".to_owned(), since: 7 }
    }

    #[test]
    fn a_name_is_one_account_whatever_its_case() {
        let mut book = book(&[("Mara", Role::Owner)]);
        assert!(!book.add(&named("mara", Role::Fitter)).unwrap());
        assert_eq!(book.of("MARA").unwrap(), Some(named("Mara", Role::Owner)));
        assert_eq!(book.of("Nobody").unwrap(), None);
    }

    #[test]
    fn the_last_owner_stays_while_there_are_fitters() {
        let book = book(&[("Mara", Role::Owner), ("Jonte", Role::Fitter)]);
        assert!(!book.remove("mara").unwrap());
        assert!(book.remove("Jonte").unwrap() && book.remove("Mara").unwrap());
        assert!(book.is_empty().unwrap());
    }

    #[test]
    fn accounts_outlive_the_process_in_a_file_beside_the_catalogue() {
        let folder = tempfile::tempdir().unwrap();
        let data = DataDir::new(folder.path());
        StaffBook::open(&data).unwrap().add(&named("Mara", Role::Owner)).unwrap();
        assert_eq!(StaffBook::open(&data).unwrap().all().unwrap(), [named("Mara", Role::Owner)]);
        assert!(!data.exists(), "the catalogue is another file");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            for file in fs::read_dir(folder.path()).unwrap().map(Result::unwrap) {
                let mode = file.metadata().unwrap().permissions().mode() & 0o777;
                assert_eq!(mode, 0o600, "{}", file.path().display());
            }
        }
    }

    #[test]
    fn looking_at_who_may_sign_in_makes_no_file() {
        let folder = tempfile::tempdir().unwrap();
        let book = StaffBook::open(&DataDir::new(folder.path())).unwrap();
        assert!(book.is_empty().unwrap());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }

    #[test]
    fn of_somebody_who_left_no_byte_stays_in_the_files() {
        let folder = tempfile::tempdir().unwrap();
        let mut book = StaffBook::open(&DataDir::new(folder.path())).unwrap();
        book.add(&named("Mara", Role::Owner)).unwrap();
        let hash = "a hash like no other".to_owned();
        book.add(&Account { password: hash.clone(), ..named("Xanthippe", Role::Fitter) }).unwrap();
        let holds = |text: &str| {
            let files =
                fs::read_dir(folder.path()).unwrap().map(|file| fs::read(file.unwrap().path()).unwrap());
            files.into_iter().any(|bytes| bytes.windows(text.len()).any(|part| part == text.as_bytes()))
        };
        assert!(holds("Xanthippe") && holds(&hash));
        book.set_password("Xanthippe", "another hash").unwrap();
        assert!(!holds(&hash), "the password before");
        assert!(book.remove("Xanthippe").unwrap());
        assert!(!holds("Xanthippe") && !holds("another hash") && holds("Mara"));
    }

    #[test]
    fn another_password_replaces_the_one_before() {
        let book = book(&[("Mara", Role::Owner)]);
        assert!(book.set_password("mara", "other").unwrap());
        assert!(!book.set_password("nobody", "other").unwrap());
        assert_eq!(book.of("Mara").unwrap().unwrap().password, "other");
    }
}
