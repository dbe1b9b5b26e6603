//! One change: who makes it and when, its line in the table of changes, and the one transaction it is made in.

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

use super::Store;
use super::apply::Import;
use super::digest::Watch;
use crate::error::{ApplyError, StoreError};

/// The number of a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ChangeId(pub i64);

/// Who makes a change, when, and the key under which doing it again is the same change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// Who.
    pub actor: String,
    /// When, seconds since 1970.
    pub at: i64,
    /// The idempotency key.
    pub key: String,
}

/// What the change table keeps beside who and when.
#[derive(Default)]
pub(super) struct Facts<'a> {
    pub(super) kind: &'a str,
    pub(super) import: Option<&'a Import<'a>>,
    pub(super) original: Option<&'a str>,
    pub(super) undoes: Option<ChangeId>,
    /// Why, in the words of whoever makes it.
    pub(super) why: Option<&'a str>,
    /// It counts pairs, and so renews the age of the stock figures.
    pub(super) tells_stock: bool,
}

/// Why nothing more is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Closed {
    /// The disk has failed in the middle of a write.
    DiskFailed,
    /// The file was found to be damaged.
    Damaged,
    /// The folder cannot be written to.
    ReadOnly,
}

impl Store {
    /// The change already made under a key.
    pub fn made_under(&self, key: &str) -> Result<Option<ChangeId>, StoreError> {
        Ok(made_under(&self.connection, key)?)
    }

    /// Runs `act` in one transaction and seals the change it makes; one already made under this key is given back instead.
    pub(super) fn write(
        &mut self,
        by: &Signed,
        act: impl FnOnce(&Transaction<'_>) -> Result<ChangeId, ApplyError>,
    ) -> Result<ChangeId, ApplyError> {
        let (change, state) = self.in_one_transaction(|transaction, watch| {
            if let Some(done) = made_under(transaction, &by.key)? {
                return Ok((done, None));
            }
            let change = act(transaction)?;
            Ok((change, Some(watch.seal(transaction, change)?)))
        })?;
        if let (Some(last), Some(state)) = (&mut self.last, state) {
            last.keep(change, state);
        }
        Ok(change)
    }

    /// Runs `act`, which is no change of the catalogue, in one transaction.
    pub(super) fn note(
        &mut self,
        act: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<()>,
    ) -> Result<(), StoreError> {
        let noted = self.in_one_transaction(|transaction, watch| {
            act(transaction)?;
            Ok(watch.keep(transaction)?)
        });
        noted.map_err(|fault| match fault {
            ApplyError::Store(why) => why,
            // Nothing else comes out of SQLite.
            other => StoreError::Decayed(vec![other.to_string()]),
        })
    }

    /// The one door of all writing. While the store is closed nothing is begun; after a sync that failed it is closed: the
    /// system has forgotten what it could not keep, and a second sync would lie.
    fn in_one_transaction<T>(
        &mut self,
        act: impl FnOnce(&Transaction<'_>, &Watch) -> Result<T, ApplyError>,
    ) -> Result<T, ApplyError> {
        self.may_be_written()?;
        let done = self.committed(act);
        done.map_err(|fault| match fault {
            ApplyError::Store(why) => {
                let why = why.of_a_write(|| self.free());
                if matches!(why, StoreError::DiskFailed) {
                    self.closed = Some(Closed::DiskFailed);
                }
                ApplyError::Store(why)
            }
            other => other,
        })
    }

    fn committed<T>(
        &mut self,
        act: impl FnOnce(&Transaction<'_>, &Watch) -> Result<T, ApplyError>,
    ) -> Result<T, ApplyError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        self.watch.begin(&transaction)?;
        let done = act(&transaction, &self.watch)?;
        transaction.commit()?;
        Ok(done)
    }

    /// Why nothing may be written at the moment, if so.
    pub fn may_be_written(&self) -> Result<(), StoreError> {
        match self.closed {
            None => Ok(()),
            Some(Closed::DiskFailed) => Err(StoreError::DiskFailed),
            Some(Closed::Damaged) => Err(StoreError::KnownDamaged),
            Some(Closed::ReadOnly) => Err(StoreError::ReadOnly),
        }
    }

    /// Whether it is only looked at.
    pub(crate) fn is_read_only(&self) -> bool {
        self.closed == Some(Closed::ReadOnly)
    }

    /// Damage is known, or no longer: nothing is written on top of it. What is closed for another reason stays closed.
    pub(crate) fn is_damaged(&mut self, is_so: bool) {
        if matches!(self.closed, None | Some(Closed::Damaged)) {
            self.closed = is_so.then_some(Closed::Damaged);
        }
    }

    /// Bytes that are free where the store stands.
    fn free(&self) -> Option<u64> {
        let there = rustix::fs::statvfs(self.connection.path()?).ok()?;
        Some(there.f_bavail.saturating_mul(there.f_frsize))
    }
}

fn made_under(connection: &Connection, key: &str) -> rusqlite::Result<Option<ChangeId>> {
    let sql = "SELECT id FROM change WHERE key = ?1";
    connection.prepare_cached(sql)?.query_row([key], |row| row.get(0)).optional().map(|id| id.map(ChangeId))
}

/// Writes the line of the change itself.
pub(super) fn begin(transaction: &Connection, by: &Signed, facts: &Facts<'_>) -> rusqlite::Result<ChangeId> {
    let counts = facts.import.map(|import| import.proposal.counts);
    let count = |of: fn(&crate::proposal::Counts) -> usize| counts.as_ref().map(|counts| of(counts) as i64);
    let sql = "INSERT INTO change (kind, actor, at, key, supplier, sheet, original, undoes, rows, new, changed, unchanged, held, missing,
            missing_policy, tells_stock, why)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)";
    transaction.prepare_cached(sql)?.execute(params![
        facts.kind,
        by.actor,
        by.at,
        by.key,
        facts.import.map(|import| &import.reading.supplier),
        facts.import.map(|import| &import.reading.sheet),
        facts.original,
        facts.undoes.map(|change| change.0),
        count(|c| c.data_rows),
        count(|c| c.new),
        count(|c| c.changed),
        count(|c| c.unchanged),
        count(|c| c.held),
        count(|c| c.missing),
        facts.import.filter(|import| import.proposal.counts.missing > 0).map(|import| import.missing.word()),
        facts.tells_stock,
        facts.why.filter(|why| !why.is_empty()),
    ])?;
    Ok(ChangeId(transaction.last_insert_rowid()))
}
