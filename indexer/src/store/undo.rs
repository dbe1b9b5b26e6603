//! Taking a change back: every cell that still holds what the change wrote gets back what it held before. A cell that
//! was changed since is kept, and named. An undo is a change like any other and can be taken back too.

use std::fmt;

use rusqlite::{Connection, OptionalExtension, Row};

use super::change::{Facts, Ledger, Noted, ROW, begin};
use super::tables::Tables;
use super::{ChangeId, Signed, Store};
use crate::draft::Value;
use crate::error::ApplyError;
use crate::proposal::Entity;

/// What an undo did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Undone {
    /// The change that the undo is.
    pub change: ChangeId,
    /// What was kept, since it was changed later.
    pub kept: Vec<Kept>,
}

/// A cell or row that was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The key of its style or size.
    pub key: String,
    /// The column; the row itself where it is `key`.
    pub column: String,
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.column.as_str() {
            ROW => write!(f, "{}", self.key),
            column => write!(f, "{} of {}", column.replace('_', " "), self.key),
        }
    }
}

/// A line of the ledger that is taken back.
struct Line {
    entity: Entity,
    key: String,
    column: String,
    before: Option<Value>,
    after: Option<Value>,
    by_hand: bool,
    beside: String,
}

impl Store {
    /// Takes a change back.
    pub fn undo(&mut self, change: ChangeId, by: &Signed) -> Result<Undone, ApplyError> {
        let mut kept = Vec::new();
        let undo = self.write(by, |transaction| {
            may_be_undone(transaction, change)?;
            let lines = lines(transaction, change)?;
            let facts = Facts { kind: "undo", undoes: Some(change), ..Facts::default() };
            let ledger = Ledger { connection: transaction, change: begin(transaction, by, &facts)? };
            for line in lines {
                if !take_back(&ledger, &line)? {
                    kept.push(Kept { key: line.key, column: line.column });
                }
            }
            Ok(ledger.change)
        })?;
        Ok(Undone { change: undo, kept })
    }
}

fn may_be_undone(connection: &Connection, change: ChangeId) -> Result<(), ApplyError> {
    if !connection.prepare_cached("SELECT 1 FROM change WHERE id = ?1")?.exists([change.0])? {
        return Err(ApplyError::NoSuchChange(change.0));
    }
    if is_undone(connection, change)? {
        return Err(ApplyError::AlreadyUndone(change.0));
    }
    Ok(())
}

/// Whether a change is taken back, and that undo not taken back in its turn.
pub(super) fn is_undone(connection: &Connection, change: ChangeId) -> rusqlite::Result<bool> {
    let sql = "SELECT id FROM change WHERE undoes = ?1 ORDER BY id DESC LIMIT 1";
    let by: Option<i64> =
        connection.prepare_cached(sql)?.query_row([change.0], |row| row.get(0)).optional()?;
    by.map_or(Ok(false), |by| is_undone(connection, ChangeId(by)).map(|undone| !undone))
}

/// The lines of a change, last first.
fn lines(connection: &Connection, change: ChangeId) -> rusqlite::Result<Vec<Line>> {
    let sql = "SELECT entity, key, \"column\", before, after, by_hand, text FROM cell_change WHERE change = ?1 ORDER BY id DESC";
    connection.prepare_cached(sql)?.query_map([change.0], line)?.collect()
}

fn line(row: &Row<'_>) -> rusqlite::Result<Line> {
    let entity: String = row.get(0)?;
    Ok(Line {
        entity: if entity == Entity::Style.word() { Entity::Style } else { Entity::Sku },
        key: row.get(1)?,
        column: row.get(2)?,
        before: row.get(3)?,
        after: row.get(4)?,
        by_hand: row.get(5)?,
        beside: row.get::<_, Option<String>>(6)?.unwrap_or_default(),
    })
}

/// Takes one line back; `false` when it was changed since.
fn take_back(ledger: &Ledger<'_>, line: &Line) -> rusqlite::Result<bool> {
    if line.column == ROW {
        return if line.after.is_some() { remove(ledger, line) } else { bring_back(ledger, line) };
    }
    let tables = Tables(ledger.connection);
    if tables.cell(line.entity, &line.key, &line.column)? != line.after {
        return Ok(false);
    }
    tables.set(line.entity, &line.key, &line.column, line.before.as_ref())?;
    if line.by_hand {
        let sql = "DELETE FROM by_hand WHERE entity = ?1 AND key = ?2 AND \"column\" = ?3";
        ledger.connection.prepare_cached(sql)?.execute([line.entity.word(), &line.key, &line.column])?;
    }
    ledger.note(&Noted {
        entity: line.entity,
        key: &line.key,
        column: &line.column,
        before: line.after.as_ref(),
        after: line.before.as_ref(),
        by_hand: false,
        place: None,
        text: "taken back",
    })?;
    Ok(true)
}

/// Removes a row that the change had made, unless something of it is still in use.
fn remove(ledger: &Ledger<'_>, line: &Line) -> rusqlite::Result<bool> {
    let tables = Tables(ledger.connection);
    let row = tables.row(line.entity, &line.key).ok().flatten();
    let in_use = row.is_some_and(|row| row.values.iter().any(Option::is_some))
        || (line.entity == Entity::Style && tables.has_sizes(&line.key)?);
    if in_use {
        return Ok(false);
    }
    tables.remove(line.entity, &line.key)?;
    ledger.went(line.entity, &line.key, &line.beside)?;
    Ok(true)
}

/// Brings back a row that an undo had removed, unless it is there again.
fn bring_back(ledger: &Ledger<'_>, line: &Line) -> rusqlite::Result<bool> {
    let tables = Tables(ledger.connection);
    if tables.has(line.entity, &line.key)? {
        return Ok(false);
    }
    tables.insert_empty(line.entity, &line.key, &line.beside)?;
    ledger.came(line.entity, &line.key, &line.beside)?;
    Ok(true)
}
