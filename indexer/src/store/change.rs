//! One change: who makes it and when, its line in the table of changes, and the one transaction it is made in.

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

use super::Store;
use super::apply::Import;
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

impl Store {
    /// The change already made under a key.
    pub fn made_under(&self, key: &str) -> Result<Option<ChangeId>, StoreError> {
        Ok(made_under(&self.connection, key)?)
    }

    /// Runs `act` in one transaction; a change already made under this key is given back instead. After a sync that
    /// failed nothing more is written: the system has forgotten what it could not keep, and a second sync would lie.
    pub(super) fn write(
        &mut self,
        by: &Signed,
        act: impl FnOnce(&Transaction<'_>) -> Result<ChangeId, ApplyError>,
    ) -> Result<ChangeId, ApplyError> {
        if self.closed {
            return Err(StoreError::DiskFailed.into());
        }
        let done = self.in_one_transaction(by, act);
        done.map_err(|fault| match fault {
            ApplyError::Store(why) => {
                let why = why.of_a_write(|| self.free());
                self.closed |= matches!(why, StoreError::DiskFailed);
                ApplyError::Store(why)
            }
            other => other,
        })
    }

    /// Bytes that are free where the store stands.
    fn free(&self) -> Option<u64> {
        let there = rustix::fs::statvfs(self.connection.path()?).ok()?;
        Some(there.f_bavail.saturating_mul(there.f_frsize))
    }

    fn in_one_transaction(
        &mut self,
        by: &Signed,
        act: impl FnOnce(&Transaction<'_>) -> Result<ChangeId, ApplyError>,
    ) -> Result<ChangeId, ApplyError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        if let Some(done) = made_under(&transaction, &by.key)? {
            return Ok(done);
        }
        self.watch.forget();
        let change = act(&transaction)?;
        self.watch.seal(&transaction, change)?;
        transaction.commit()?;
        Ok(change)
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
