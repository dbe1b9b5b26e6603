//! Applying: one transaction, all of it or nothing, with a line in the ledger for every cell.

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};

use super::tables::Tables;
use super::{Store, propose, seq};
use crate::columns::Column;
use crate::draft::{Reading, Value};
use crate::error::ApplyError;
use crate::hash::sha256;
use crate::loaded::Seq;
use crate::mapping::Mapping;
use crate::proposal::{CellChange, Entity, Proposal, RowChange};

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

/// A value said by a person: corrected, or measured in the shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Correction {
    /// A style or a size.
    pub entity: Entity,
    /// Its key.
    pub key: String,
    /// The column.
    pub column: &'static Column,
    /// The value; `None` says that it is not known.
    pub value: Option<Value>,
    /// Where it comes from, in words: `measured in the shop`.
    pub text: String,
}

/// What the change table keeps beside who and when.
#[derive(Default)]
pub(super) struct Facts<'a> {
    pub(super) kind: &'a str,
    pub(super) reading: Option<(&'a Reading, &'a Proposal)>,
    pub(super) original: Option<&'a str>,
    pub(super) undoes: Option<ChangeId>,
}

impl Store {
    /// Applies a proposal made of `reading` by `mapping`; keeps the file and remembers the mapping. Doing it again
    /// under the same key does nothing more.
    pub fn apply(
        &mut self,
        proposal: &Proposal,
        reading: &Reading,
        mapping: &Mapping,
        bytes: &[u8],
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        if proposal.is_refused() {
            return Err(ApplyError::Refused);
        }
        self.write(by, |transaction| {
            let now = seq(transaction)?;
            still_stands(transaction, proposal, reading, now)?;
            let original = keep_original(transaction, &reading.sheet, bytes)?;
            let facts = Facts {
                kind: "import",
                reading: Some((reading, proposal)),
                original: Some(&original),
                undoes: None,
            };
            let change = begin(transaction, by, &facts)?;
            let ledger = Ledger { connection: transaction, change };
            for row in &proposal.changes {
                ledger.row(row, &reading.supplier)?;
            }
            remember(transaction, mapping, by)?;
            Ok(change)
        })
    }

    /// Notes a value said by a person; sheets do not overwrite it.
    pub fn correct(&mut self, correction: &Correction, by: &Signed) -> Result<ChangeId, ApplyError> {
        self.write(by, |transaction| {
            let Correction { entity, key, column, value, text } = correction;
            let tables = Tables(transaction);
            if entity.names(column.key) {
                return Err(ApplyError::PartOfKey(column.headings[0]));
            }
            if !tables.has(*entity, key)? {
                return Err(ApplyError::NoSuchRow(key.clone()));
            }
            let before = tables.cell(*entity, key, column.key)?;
            let change = begin(transaction, by, &Facts { kind: "correction", ..Facts::default() })?;
            tables.set(*entity, key, column.key, value.as_ref())?;
            tables.mark_by_hand(*entity, key, column.key, true)?;
            let ledger = Ledger { connection: transaction, change };
            ledger.note(&Noted {
                entity: *entity,
                key,
                column: column.key,
                before: before.as_ref(),
                after: value.as_ref(),
                by_hand: true,
                place: None,
                text,
            })?;
            Ok(change)
        })
    }

    /// Runs `act` in one transaction; a change already made under this key is given back instead.
    pub(super) fn write(
        &mut self,
        by: &Signed,
        act: impl FnOnce(&Transaction<'_>) -> Result<ChangeId, ApplyError>,
    ) -> Result<ChangeId, ApplyError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        if let Some(done) = made_under(&transaction, &by.key)? {
            return Ok(done);
        }
        let change = act(&transaction)?;
        transaction.commit()?;
        Ok(change)
    }
}

fn made_under(connection: &Connection, key: &str) -> rusqlite::Result<Option<ChangeId>> {
    let sql = "SELECT id FROM change WHERE key = ?1";
    connection.prepare_cached(sql)?.query_row([key], |row| row.get(0)).optional().map(|id| id.map(ChangeId))
}

/// A proposal stands when the store has not moved on, or when it would be the same now.
fn still_stands(
    transaction: &Connection,
    proposal: &Proposal,
    reading: &Reading,
    now: Seq,
) -> Result<(), ApplyError> {
    if now == proposal.base || propose(transaction, reading)?.digest == proposal.digest {
        return Ok(());
    }
    Err(ApplyError::Conflict { base: proposal.base, now })
}

fn keep_original(transaction: &Connection, name: &str, bytes: &[u8]) -> rusqlite::Result<String> {
    let hash = sha256(bytes);
    let sql = "INSERT OR IGNORE INTO original (hash, name, bytes) VALUES (?1, ?2, ?3)";
    transaction.prepare_cached(sql)?.execute(params![hash, name, bytes])?;
    Ok(hash)
}

/// Remembers how a supplier's headings were read.
fn remember(transaction: &Connection, mapping: &Mapping, by: &Signed) -> rusqlite::Result<()> {
    let sql = "INSERT INTO mapping (supplier, fingerprint, toml, at) VALUES (?1, ?2, ?3, ?4)
        ON CONFLICT (supplier, fingerprint) DO UPDATE SET toml = excluded.toml, at = excluded.at";
    let (fingerprint, toml) = (mapping.fingerprint(), mapping.to_file().to_toml());
    transaction.prepare_cached(sql)?.execute(params![mapping.supplier, fingerprint, toml, by.at])?;
    Ok(())
}

/// Writes the line of the change itself.
pub(super) fn begin(transaction: &Connection, by: &Signed, facts: &Facts<'_>) -> rusqlite::Result<ChangeId> {
    let counts = facts.reading.map(|(_, proposal)| proposal.counts);
    let count = |of: fn(&crate::proposal::Counts) -> usize| counts.as_ref().map(|counts| of(counts) as i64);
    let sql = "INSERT INTO change (kind, actor, at, key, supplier, sheet, original, undoes, rows, new, changed, unchanged, held, missing)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)";
    transaction.prepare_cached(sql)?.execute(params![
        facts.kind,
        by.actor,
        by.at,
        by.key,
        facts.reading.map(|(reading, _)| &reading.supplier),
        facts.reading.map(|(reading, _)| &reading.sheet),
        facts.original,
        facts.undoes.map(|change| change.0),
        count(|c| c.data_rows),
        count(|c| c.new),
        count(|c| c.changed),
        count(|c| c.unchanged),
        count(|c| c.held),
        count(|c| c.missing),
    ])?;
    Ok(ChangeId(transaction.last_insert_rowid()))
}

/// The ledger, while one change is written.
pub(super) struct Ledger<'c> {
    pub(super) connection: &'c Connection,
    pub(super) change: ChangeId,
}

/// One line of the ledger.
pub(super) struct Noted<'a> {
    pub(super) entity: Entity,
    pub(super) key: &'a str,
    pub(super) column: &'a str,
    pub(super) before: Option<&'a Value>,
    pub(super) after: Option<&'a Value>,
    pub(super) by_hand: bool,
    pub(super) place: Option<(u32, u32, Option<u16>)>,
    pub(super) text: &'a str,
}

/// The column that stands for the row itself.
pub(super) const ROW: &str = "key";

impl Ledger<'_> {
    fn row(&self, row: &RowChange, supplier: &str) -> rusqlite::Result<()> {
        let tables = Tables(self.connection);
        if row.new {
            tables.insert(row, supplier)?;
            let beside = if row.entity == Entity::Style { supplier } else { &row.style };
            self.came(row.entity, &row.key, beside)?;
        }
        for cell in &row.cells {
            if !row.new {
                tables.set(row.entity, &row.key, cell.column.key, cell.after.as_ref())?;
            }
            self.cell(row, cell)?;
        }
        Ok(())
    }

    fn cell(&self, row: &RowChange, cell: &CellChange) -> rusqlite::Result<()> {
        self.note(&Noted {
            entity: row.entity,
            key: &row.key,
            column: cell.column.key,
            before: cell.before.as_ref(),
            after: cell.after.as_ref(),
            by_hand: false,
            place: Some((cell.place.row, cell.place.line, cell.place.column)),
            text: &cell.text,
        })
    }

    /// Notes that a row came.
    pub(super) fn came(&self, entity: Entity, key: &str, beside: &str) -> rusqlite::Result<()> {
        let after = Value::Text(key.to_owned());
        self.note(&Noted {
            entity,
            key,
            column: ROW,
            before: None,
            after: Some(&after),
            by_hand: false,
            place: None,
            text: beside,
        })
    }

    /// Notes that a row went.
    pub(super) fn went(&self, entity: Entity, key: &str, beside: &str) -> rusqlite::Result<()> {
        let before = Value::Text(key.to_owned());
        self.note(&Noted {
            entity,
            key,
            column: ROW,
            before: Some(&before),
            after: None,
            by_hand: false,
            place: None,
            text: beside,
        })
    }

    pub(super) fn note(&self, noted: &Noted<'_>) -> rusqlite::Result<()> {
        let sql = "INSERT INTO cell_change (change, entity, key, \"column\", before, after, by_hand, sheet_row, sheet_line, sheet_column, text)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)";
        let (row, line, column) =
            noted.place.map_or((None, None, None), |(row, line, column)| (Some(row), Some(line), column));
        self.connection.prepare_cached(sql)?.execute(params![
            self.change.0,
            noted.entity.word(),
            noted.key,
            noted.column,
            noted.before,
            noted.after,
            noted.by_hand,
            row,
            line,
            column,
            noted.text
        ])?;
        Ok(())
    }
}
