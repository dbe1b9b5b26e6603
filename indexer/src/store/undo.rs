//! Taking a change back: every cell that still holds what the change wrote gets what the changes still in force say
//! of it. A cell that was changed since is kept, and named, and so is the name of what later changes rest on. An undo
//! is a change like any other and can be taken back too.

use std::fmt;

use rusqlite::{Connection, OptionalExtension, Row};

use super::change::{Facts, Ledger, Noted, ROW, begin};
use super::force::{InForce, Told};
use super::tables::Tables;
use super::{ChangeId, Signed, Store};
use crate::columns::NAME;
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
    after: Option<Value>,
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
            let in_force = InForce::of(transaction)?;
            for line in lines {
                if !take_back(&ledger, &in_force, &line)? {
                    kept.push(Kept { key: line.key, column: line.column });
                }
            }
            if let Some(root) = root_of(transaction, change)? {
                settle(&ledger, &in_force, root)?;
            }
            Ok(ledger.change)
        })?;
        Ok(Undone { change: undo, kept })
    }
}

/// The change that a chain of undos began with; `None` when `change` is no undo.
fn root_of(connection: &Connection, change: ChangeId) -> rusqlite::Result<Option<ChangeId>> {
    let sql = "WITH RECURSIVE chain (id, undoes) AS (
            SELECT id, undoes FROM change WHERE id = ?1
            UNION ALL SELECT change.id, change.undoes FROM change JOIN chain ON change.id = chain.undoes)
        SELECT id FROM chain WHERE undoes IS NULL AND id <> ?1";
    let root = connection.prepare_cached(sql)?.query_row([change.0], |row| row.get(0)).optional()?;
    Ok(root.map(ChangeId))
}

/// Taking back an undo puts its root in force again, or out of it. The undo may have left cells alone that a later
/// change held at the time; each cell of the root is now what the changes in force say.
fn settle(ledger: &Ledger<'_>, in_force: &InForce, root: ChangeId) -> rusqlite::Result<()> {
    let tables = Tables(ledger.connection);
    for cell in lines(ledger.connection, root)?.into_iter().filter(|line| line.column != ROW) {
        let Line { entity, key, column, .. } = &cell;
        let before = tables.cell(*entity, key, column)?;
        let Told { value, by_hand } = in_force.told(ledger.connection, *entity, key, column)?;
        let would_unname = value.is_none() && is_name(*entity, column);
        if before == value || would_unname || !tables.has(*entity, key)? {
            continue;
        }
        give_back(ledger, &cell, before.as_ref(), &Told { value, by_hand })?;
    }
    Ok(())
}

fn may_be_undone(connection: &Connection, change: ChangeId) -> Result<(), ApplyError> {
    if !connection.prepare_cached("SELECT 1 FROM change WHERE id = ?1")?.exists([change.0])? {
        return Err(ApplyError::NoSuchChange(change.0));
    }
    if !InForce::of(connection)?.holds(change) {
        return Err(ApplyError::AlreadyUndone(change.0));
    }
    Ok(())
}

/// The lines of a change, last first: sizes before the styles they stand under. Of what a row is named by, last of
/// its row, so that it is known whether anything else of the row stays.
fn lines(connection: &Connection, change: ChangeId) -> rusqlite::Result<Vec<Line>> {
    let sql =
        "SELECT entity, key, \"column\", after, text FROM cell_change WHERE change = ?1 ORDER BY id DESC";
    let lines =
        connection.prepare_cached(sql)?.query_map([change.0], line)?.collect::<Result<Vec<_>, _>>()?;
    let makes = |line: &Line| line.column == ROW && line.after.is_none();
    if lines.iter().any(makes) {
        return Ok(lines); // an undo that removed rows: they come back before their cells
    }
    let rank = |line: &Line| match line.column.as_str() {
        ROW => 2,
        column => u8::from(is_name(line.entity, column)),
    };
    let mut lines = lines;
    lines.sort_by_key(|line| (line.entity == Entity::Style, rank(line)));
    Ok(lines)
}

/// Whether a row without it could not be shown: the parts of its key, and the name of a style.
fn is_name(entity: Entity, column: &str) -> bool {
    entity.names(column) || (entity == Entity::Style && column == NAME.key)
}

fn line(row: &Row<'_>) -> rusqlite::Result<Line> {
    let entity: String = row.get(0)?;
    Ok(Line {
        entity: if entity == Entity::Style.word() { Entity::Style } else { Entity::Sku },
        key: row.get(1)?,
        column: row.get(2)?,
        after: row.get(3)?,
        beside: row.get::<_, Option<String>>(4)?.unwrap_or_default(),
    })
}

/// Takes one line back; `false` when it was changed since, or something later rests on it.
fn take_back(ledger: &Ledger<'_>, in_force: &InForce, line: &Line) -> rusqlite::Result<bool> {
    if line.column == ROW {
        return if line.after.is_some() { remove(ledger, line) } else { bring_back(ledger, line) };
    }
    let tables = Tables(ledger.connection);
    if tables.cell(line.entity, &line.key, &line.column)? != line.after {
        return Ok(false);
    }
    let Told { value, by_hand } = in_force.told(ledger.connection, line.entity, &line.key, &line.column)?;
    if value.is_none() && is_name(line.entity, &line.column) && is_rested_on(&tables, line)? {
        return Ok(false);
    }
    give_back(ledger, line, line.after.as_ref(), &Told { value, by_hand })?;
    Ok(true)
}

/// Writes what the changes in force say of a cell.
fn give_back(ledger: &Ledger<'_>, cell: &Line, before: Option<&Value>, told: &Told) -> rusqlite::Result<()> {
    let tables = Tables(ledger.connection);
    tables.set(cell.entity, &cell.key, &cell.column, told.value.as_ref())?;
    tables.mark_by_hand(cell.entity, &cell.key, &cell.column, told.by_hand)?;
    ledger.note(&Noted {
        entity: cell.entity,
        key: &cell.key,
        column: &cell.column,
        before,
        after: told.value.as_ref(),
        by_hand: false,
        place: None,
        text: "taken back",
    })
}

/// Whether the row of a line has values or sizes of other changes, and so must stay and keep its name.
fn is_rested_on(tables: &Tables<'_>, line: &Line) -> rusqlite::Result<bool> {
    let has_values = tables.has_values(line.entity, &line.key, |column| !is_name(line.entity, column))?;
    Ok(has_values || (line.entity == Entity::Style && tables.has_sizes(&line.key)?))
}

/// Removes a row that the change had made, unless something of it is still in use.
fn remove(ledger: &Ledger<'_>, line: &Line) -> rusqlite::Result<bool> {
    let tables = Tables(ledger.connection);
    let in_use = tables.has_values(line.entity, &line.key, |_| true)?
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
