//! Applying a sheet: one transaction, all of it or nothing. What a full sheet leaves out is kept, marked out of stock
//! or retired, and never deleted.

use std::collections::HashSet;

use rusqlite::{Connection, params};

use super::change::{Facts, begin};
use super::force::InForce;
use super::ledger::{Ledger, Noted};
use super::tables::Tables;
use super::{ChangeId, Signed, Store, by_hand, known, propose, seq};
use crate::columns::{QUANTITY, STATUS};
use crate::draft::{Reading, Value};
use crate::error::{ApplyError, StoreError};
use crate::hash::sha256;
use crate::loaded::Seq;
use crate::mapping::Mapping;
use crate::proposal::{Entity, Missing, Proposal};
use crate::reading::read_rows;
use crate::shop::Progress;

/// A sheet that is to be applied.
#[derive(Clone, Copy)]
pub struct Import<'a> {
    /// What it would change.
    pub proposal: &'a Proposal,
    /// What became of its rows.
    pub reading: &'a Reading,
    /// How its headings were understood.
    pub mapping: &'a Mapping,
    /// The file's bytes, kept with the change.
    pub bytes: &'a [u8],
    /// What becomes of what a full sheet leaves out.
    pub missing: Missing,
    /// How far it is, and whether it is still wanted.
    pub progress: &'a Progress,
}

impl Store {
    /// Applies a proposal made of `reading` by `mapping`, and keeps what a full sheet leaves out as it is.
    pub fn apply(
        &mut self,
        proposal: &Proposal,
        reading: &Reading,
        mapping: &Mapping,
        bytes: &[u8],
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        self.import(
            &Import {
                proposal,
                reading,
                mapping,
                bytes,
                missing: Missing::Keep,
                progress: &Progress::default(),
            },
            by,
        )
    }

    /// Applies a sheet; keeps the file and remembers the mapping. Doing it again under the same key does nothing more.
    pub fn import(&mut self, import: &Import<'_>, by: &Signed) -> Result<ChangeId, ApplyError> {
        may_be_applied(import)?;
        let Import { proposal, reading, .. } = import;
        self.write(by, |transaction| {
            let now = seq(transaction)?;
            still_stands(transaction, import, now)?;
            let original = keep_original(transaction, &reading.sheet, import.bytes)?;
            let facts = Facts {
                kind: "import",
                import: Some(import),
                original: Some(&original),
                tells_stock: proposal.tells_stock,
                ..Facts::default()
            };
            let ledger = Ledger::of(transaction, begin(transaction, by, &facts)?)?;
            for (done, row) in proposal.changes.iter().enumerate() {
                still_wanted(import.progress, done)?;
                ledger.row(row, reading)?;
            }
            for said in &proposal.beside_hands {
                ledger.beside_hand(said, reading)?;
            }
            deal_with_missing(&ledger, import)?;
            remember(transaction, import.mapping, by)?;
            Ok(ledger.change)
        })
    }

    /// The newest change in force that these very bytes were imported as, and its day, such as `2026-11-03`.
    pub fn seen(&self, bytes: &[u8]) -> Result<Option<(ChangeId, String)>, StoreError> {
        let sql = "SELECT id, strftime('%Y-%m-%d', at, 'unixepoch') FROM change WHERE original = ?1 ORDER BY id DESC";
        let mut statement = self.connection.prepare_cached(sql)?;
        let in_force = InForce::of(&self.connection)?;
        let mut changes = statement.query([sha256(bytes)])?;
        while let Some(row) = changes.next()? {
            let change = ChangeId(row.get(0)?);
            if in_force.holds(change) {
                return Ok(Some((change, row.get::<_, Option<String>>(1)?.unwrap_or_default())));
            }
        }
        Ok(None)
    }
}

/// Ends the transaction when the import was called off: nothing of it is kept.
fn still_wanted(progress: &Progress, done: usize) -> Result<(), ApplyError> {
    progress.rows_are(done);
    if progress.is_cancelled() { Err(ApplyError::Cancelled) } else { Ok(()) }
}

/// A row that is held may speak of the very size that seems left out: nothing is marked before it is mended.
fn may_be_applied(import: &Import<'_>) -> Result<(), ApplyError> {
    let Import { proposal, reading, missing, .. } = import;
    if proposal.is_refused() {
        return Err(ApplyError::Refused);
    }
    if *missing != Missing::Keep && proposal.counts.missing > 0 && reading.held_rows > 0 {
        return Err(ApplyError::MissingUnsure { held: reading.held_rows });
    }
    Ok(())
}

/// A proposal stands when the store has not moved on, or when the sheet, its rows read anew, would change the same now.
fn still_stands(transaction: &Connection, import: &Import<'_>, now: Seq) -> Result<(), ApplyError> {
    let Import { proposal, reading, mapping, .. } = import;
    if now == proposal.base {
        return Ok(());
    }
    let drafts = read_rows(&reading.source, mapping, &known(transaction)?);
    if propose(transaction, &drafts)?.digest == proposal.digest {
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

/// The text of a cell that a full sheet has marked by leaving its row out.
const NOT_LISTED: &str = "not listed";

/// The retired styles of a supplier of which the last word in force is that a full sheet did not list them.
pub(super) fn not_listed(connection: &Connection, supplier: &str) -> rusqlite::Result<HashSet<String>> {
    let sql = "SELECT key FROM style WHERE supplier = ?1 AND status = 'retired'";
    let in_force = InForce::of(connection)?;
    let mut statement = connection.prepare_cached(sql)?;
    let mut retired = statement.query_map([supplier], |row| row.get::<_, String>(0))?;
    retired.try_fold(HashSet::new(), |mut keys, key| {
        let key = key?;
        if in_force.told(connection, Entity::Style, &key, STATUS.key)?.text == NOT_LISTED {
            keys.insert(key);
        }
        Ok(keys)
    })
}

/// Marks what the sheet leaves out, as the owner chose.
fn deal_with_missing(ledger: &Ledger<'_>, import: &Import<'_>) -> rusqlite::Result<()> {
    let left_out = &import.proposal.missing;
    let (entity, keys, column, value) = match import.missing {
        Missing::Keep => return Ok(()),
        Missing::OutOfStock => (Entity::Sku, &left_out.sizes, QUANTITY.key, "0"),
        Missing::Retire => (Entity::Style, &left_out.styles, STATUS.key, "retired"),
    };
    let hands = by_hand(ledger.connection)?;
    let value = Value::Text(value.into());
    for key in keys {
        // A status that a person has set stays, as against any other word of a sheet.
        let by_a_hand = hands.contains(&(entity, key.clone(), column.to_owned()));
        if entity == Entity::Sku || !by_a_hand {
            mark(ledger, (entity, key, column), &value)?;
        }
    }
    Ok(())
}

fn mark(ledger: &Ledger<'_>, cell: (Entity, &str, &str), value: &Value) -> rusqlite::Result<()> {
    let (entity, key, column) = cell;
    let tables = Tables(ledger.connection);
    let before = tables.cell(entity, key, column)?;
    if before.as_ref() == Some(value) {
        return Ok(());
    }
    tables.set(entity, key, column, Some(value))?;
    ledger.note(&Noted {
        entity,
        key,
        column,
        before: before.as_ref(),
        after: Some(value),
        by_hand: false,
        place: None,
        text: NOT_LISTED,
    })
}
