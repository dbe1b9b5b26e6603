//! Applying a count: one transaction, with a line in the ledger for every size counted.

use rusqlite::{Connection, OptionalExtension, params};

use super::change::{Facts, begin};
use super::ledger::{Ledger, Noted};
use super::tables::Tables;
use super::{ChangeId, Counted, Signed, Store, seq};
use crate::columns::{PLACE, QUANTITY};
use crate::count::{Count, Written};
use crate::draft::Value;
use crate::error::{ApplyError, StoreError};
use crate::loaded::Seq;
use crate::proposal::Entity;

/// What a count of the ledger did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Receipt {
    /// Which change it is.
    pub change: ChangeId,
    /// Sizes counted, those found to be none among them.
    pub sizes: u64,
    /// Of these, sizes whose number changed.
    pub changed: u64,
    /// Pairs in all.
    pub pairs: u64,
}

impl Store {
    /// Applies the count that `counted` makes at the number of the last change. Doing it again under the same key does
    /// nothing more.
    pub fn count(
        &mut self,
        by: &Signed,
        counted: impl FnOnce(Seq) -> Result<Count, ApplyError>,
    ) -> Result<ChangeId, ApplyError> {
        self.write(by, |transaction| {
            let count = counted(seq(transaction)?)?;
            let tells_stock = count.written().next().is_some();
            let change = begin(transaction, by, &Facts { kind: "count", tells_stock, ..Facts::default() })?;
            let ledger = Ledger::of(transaction, change)?;
            for cell in count.written() {
                write(&ledger, &cell)?;
                found(transaction, cell.key.as_str())?;
            }
            Ok(change)
        })
    }

    /// What a count did; `None` for a change that is none.
    pub fn receipt(&self, change: ChangeId) -> Result<Option<Receipt>, StoreError> {
        let sql = "SELECT count(cell.id), coalesce(sum(cell.before IS NOT cell.after), 0),
                coalesce(sum(CAST(cell.after AS INTEGER)), 0)
            FROM change LEFT JOIN cell_change AS cell ON cell.change = change.id AND cell.\"column\" = ?2
            WHERE change.id = ?1 AND change.kind = 'count' GROUP BY change.id";
        let receipt =
            self.connection.prepare_cached(sql)?.query_row(params![change.0, QUANTITY.key], |row| {
                let number = |at: usize| row.get::<_, i64>(at).map(i64::unsigned_abs);
                Ok(Receipt { change, sizes: number(0)?, changed: number(1)?, pairs: number(2)? })
            });
        Ok(receipt.optional()?)
    }
}

/// Pairs always, so that the ledger says when they were last seen; the shelf where it is another.
fn write(ledger: &Ledger<'_>, written: &Written<'_>) -> rusqlite::Result<()> {
    let pairs = Value::Text(written.pairs.to_string().into());
    cell(ledger, written, QUANTITY.key, &pairs)?;
    let Some(place) = written.place else { return Ok(()) };
    let place = Value::Text(place.into());
    let stands = Tables(ledger.connection).cell(Entity::Sku, written.key.as_str(), PLACE.key)?;
    if stands.as_ref() == Some(&place) { Ok(()) } else { cell(ledger, written, PLACE.key, &place) }
}

/// Whatever was looked for on the shelf in vain has been counted now.
fn found(transaction: &Connection, sku: &str) -> rusqlite::Result<()> {
    let sql = "DELETE FROM tally WHERE kind = ?1 AND \"key\" = ?2";
    transaction.prepare_cached(sql)?.execute([Counted::NotOnShelf.word(), sku])?;
    Ok(())
}

/// A count is a fact of its day: the next stock sheet may change it, also where the cell was set by hand before.
fn cell(ledger: &Ledger<'_>, written: &Written<'_>, column: &str, after: &Value) -> rusqlite::Result<()> {
    let (tables, key) = (Tables(ledger.connection), written.key.as_str());
    let before = tables.cell(Entity::Sku, key, column)?;
    tables.set(Entity::Sku, key, column, Some(after))?;
    tables.mark_by_hand(Entity::Sku, key, column, false)?;
    ledger.note(&Noted {
        entity: Entity::Sku,
        key,
        column,
        before: before.as_ref(),
        after: Some(after),
        by_hand: false,
        place: None,
        text: &written.text,
    })
}
