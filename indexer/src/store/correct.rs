//! What a person says of the catalogue: corrected, measured in the shop, or told by the supplier; and giving a cell
//! back to the sheets.

use rusqlite::{Connection, OptionalExtension};

use super::change::{Facts, begin};
use super::force::InForce;
use super::ledger::{Ledger, Noted};
use super::sheet_word::{SheetWord, sheet_word};
use super::tables::Tables;
use super::{ChangeId, Signed, Store, seq};
use crate::columns::Column;
use crate::draft::Value;
use crate::error::{ApplyError, StoreError};
use crate::loaded::Seq;
use crate::proposal::Entity;

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

/// Corrections that are one change.
#[derive(Clone, Copy, Debug)]
pub struct Corrections<'a> {
    /// Its word in the history: `correction`.
    pub kind: &'a str,
    /// One a cell.
    pub cells: &'a [Correction],
    /// The change at which whoever says it looked: a row that was changed since is a conflict. `None` looks at nothing.
    pub seen: Option<Seq>,
}

impl Store {
    /// Notes a value said by a person; sheets do not overwrite it.
    pub fn correct(&mut self, correction: &Correction, by: &Signed) -> Result<ChangeId, ApplyError> {
        let cells = std::slice::from_ref(correction);
        self.correct_all(&Corrections { kind: "correction", cells, seen: None }, by)
    }

    /// Notes values said by a person as one change; sheets do not overwrite them.
    pub fn correct_all(&mut self, said: &Corrections<'_>, by: &Signed) -> Result<ChangeId, ApplyError> {
        self.write(by, |transaction| {
            for cell in said.cells {
                may_be_said(transaction, (cell.entity, &cell.key, cell.column), said.seen)?;
            }
            let change = begin(transaction, by, &Facts { kind: said.kind, ..Facts::default() })?;
            let ledger = Ledger::of(transaction, change)?;
            for cell in said.cells {
                set_by_hand(&ledger, cell)?;
            }
            Ok(change)
        })
    }

    /// Gives a cell that a person has set back to the sheets: it holds what the newest sheet in force says, and the
    /// next sheet may change it.
    pub fn take_from_sheet(
        &mut self,
        cell: (Entity, &str, &'static Column),
        seen: Option<Seq>,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        self.write(by, |transaction| {
            may_be_said(transaction, cell, seen)?;
            let (entity, key, column) = cell;
            let tables = Tables(transaction);
            if !tables.is_by_hand(entity, key, column.key)? {
                return Err(ApplyError::NotByHand { column: column.headings[0], key: key.to_owned() });
            }
            let word = sheet_word(transaction, &InForce::of(transaction)?, (entity, key, column.key))?;
            let change = begin(transaction, by, &Facts { kind: TAKEN, ..Facts::default() })?;
            let before = tables.cell(entity, key, column.key)?;
            let after = word.as_ref().and_then(|word| word.value.clone());
            tables.set(entity, key, column.key, after.as_ref())?;
            tables.mark_by_hand(entity, key, column.key, false)?;
            Ledger::of(transaction, change)?.note(&Noted {
                entity,
                key,
                column: column.key,
                before: before.as_ref(),
                after: after.as_ref(),
                by_hand: false,
                place: word.as_ref().map(SheetWord::place),
                text: word.as_ref().map_or("no sheet says it", |word| &word.text),
            })?;
            Ok(change)
        })
    }

    /// The values of a row by column, those that are not known too; `None` when there is no such row.
    pub fn values(&self, entity: Entity, key: &str) -> Result<Option<Values>, StoreError> {
        let row = Tables(&self.connection).row(entity, key)?;
        Ok(row.map(|row| entity.columns().iter().copied().zip(row.values).collect()))
    }
}

/// Values of one row by column.
pub type Values = Vec<(&'static Column, Option<Value>)>;

/// The word in the history for a cell given back to the sheets.
const TAKEN: &str = "sheet's value";

fn may_be_said(
    transaction: &Connection,
    (entity, key, column): (Entity, &str, &Column),
    seen: Option<Seq>,
) -> Result<(), ApplyError> {
    if entity.names(column.key) || entity.position(column.key).is_none() {
        return Err(ApplyError::PartOfKey(column.headings[0]));
    }
    if !Tables(transaction).has(entity, key)? {
        return Err(ApplyError::NoSuchRow(key.to_owned()));
    }
    match (seen, last_changed(transaction, entity, key)?) {
        (Some(seen), Some(last)) if last > seen => {
            Err(ApplyError::ChangedSince { key: key.to_owned(), seen, now: seq(transaction)? })
        }
        _ => Ok(()),
    }
}

/// The last change that wrote into a row.
pub(super) fn last_changed(
    transaction: &Connection,
    entity: Entity,
    key: &str,
) -> rusqlite::Result<Option<Seq>> {
    let sql = "SELECT change FROM cell_change WHERE entity = ?1 AND key = ?2 ORDER BY id DESC LIMIT 1";
    let last = transaction.prepare_cached(sql)?.query_row([entity.word(), key], |row| row.get(0));
    last.optional().map(|change| change.map(Seq))
}

fn set_by_hand(ledger: &Ledger<'_>, said: &Correction) -> rusqlite::Result<()> {
    let Correction { entity, key, column, value, text } = said;
    let tables = Tables(ledger.connection);
    let before = tables.cell(*entity, key, column.key)?;
    tables.set(*entity, key, column.key, value.as_ref())?;
    tables.mark_by_hand(*entity, key, column.key, true)?;
    ledger.note(&Noted {
        entity: *entity,
        key,
        column: column.key,
        before: before.as_ref(),
        after: value.as_ref(),
        by_hand: true,
        place: None,
        text,
    })
}
