//! Taking a change back: every cell that the change still holds gets what the changes still in force say of it. A cell
//! that a later change owns is kept, and named with that change, and so is the name of what later changes rest on. An
//! undo is a change like any other and can be taken back too.

use std::collections::HashSet;
use std::fmt;

use rusqlite::{Connection, OptionalExtension, Row};

use super::change::{Facts, begin};
use super::force::{InForce, Told};
use super::ledger::{Ledger, Noted, ROW};
use super::tables::{Tables, entity_of};
use super::{ChangeId, LedgerLine, Signed, Store};
use crate::columns::NAME;
use crate::draft::Value;
use crate::error::ApplyError;
use crate::proposal::Entity;

/// What an undo did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Undone {
    /// The change that the undo is.
    pub change: ChangeId,
    /// Lines it wrote: cells that went back, and rows that came or went.
    pub back: usize,
    /// What was kept, since it was changed later.
    pub kept: Vec<Kept>,
}

/// What an undo would do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Undoing {
    /// Lines it would write: cells that go back, and rows that come or go.
    pub back: usize,
    /// The first of them.
    pub first: Vec<LedgerLine>,
    /// What stays, since it was changed later.
    pub kept: Vec<Kept>,
}

/// A cell or row that was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// A style or a size.
    pub entity: Entity,
    /// Its key.
    pub key: String,
    /// The column; the row itself where it is `key`.
    pub column: String,
    /// The later change whose value it holds; `None` where it stays because other values rest on it.
    pub later: Option<ChangeId>,
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.column.as_str() {
            ROW => write!(f, "{}", self.key)?,
            column => write!(f, "{} of {}", column.replace('_', " "), self.key)?,
        }
        match self.later {
            Some(later) => write!(f, ", later value from change {}", later.0),
            None => Ok(()),
        }
    }
}

/// A line of the ledger that is taken back.
struct Line {
    entity: Entity,
    key: String,
    column: String,
    /// It left a value, or a row.
    has_after: bool,
    beside: String,
}

impl Line {
    fn is_row(&self) -> bool {
        self.column == ROW
    }

    fn cell(&self) -> (Entity, &str, &str) {
        (self.entity, &self.key, &self.column)
    }
}

impl Store {
    /// Takes a change back.
    pub fn undo(&mut self, change: ChangeId, by: &Signed) -> Result<Undone, ApplyError> {
        let undo = self.write(by, |transaction| take_all_back(transaction, change, by))?;
        Ok(Undone { change: undo, back: self.count_lines(undo)?, kept: self.kept_by(undo)? })
    }

    /// What taking a change back would do, of which the first `shown` cells are listed: it is done, looked at, and
    /// never committed.
    pub fn would_undo(&self, change: ChangeId, shown: usize) -> Result<Undoing, ApplyError> {
        // Dropped at the end, and rolled back with it.
        let transaction = self.connection.unchecked_transaction()?;
        let nobody = Signed { actor: String::new(), at: 0, key: "never committed".to_owned() };
        let undo = take_all_back(&transaction, change, &nobody)?;
        let first = self.lines_of(undo, 0, shown)?;
        Ok(Undoing { back: self.count_lines(undo)?, first, kept: self.kept_by(undo)? })
    }
}

fn take_all_back(transaction: &Connection, change: ChangeId, by: &Signed) -> Result<ChangeId, ApplyError> {
    may_be_undone(transaction, change)?;
    let root = root_of(transaction, change)?;
    let lines_of_change = lines(transaction, change)?;
    let facts = Facts { kind: "undo", undoes: Some(change), ..Facts::default() };
    let ledger = Ledger::of(transaction, begin(transaction, by, &facts)?)?;
    let made = lines_of_change.iter().filter(|line| line.is_row() && line.has_after);
    let made = made.map(|line| line.key.clone()).collect();
    let taking = Taking { in_force: InForce::of(transaction)?, root: root.unwrap_or(change), made, ledger };
    for line in &lines_of_change {
        taking.line(line)?;
    }
    if let Some(root) = root {
        taking.settle(&lines(transaction, root)?, &lines_of_change)?;
    }
    Ok(taking.ledger.change)
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
    if lines.iter().any(|line| line.is_row() && !line.has_after) {
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
    Ok(Line {
        entity: entity_of(&row.get::<_, String>(0)?),
        key: row.get(1)?,
        column: row.get(2)?,
        has_after: row.get::<_, Option<Value>>(3)?.is_some(),
        beside: row.get::<_, Option<String>>(4)?.unwrap_or_default(),
    })
}

/// An undo while it is made.
struct Taking<'c> {
    in_force: InForce,
    /// The change that is no undo, from which the chain of undos began.
    root: ChangeId,
    /// Keys of the rows that it made: what they are named by stays or goes with them.
    made: HashSet<String>,
    ledger: Ledger<'c>,
}

impl Taking<'_> {
    fn tables(&self) -> Tables<'_> {
        Tables(self.ledger.connection)
    }

    /// Takes one line back, or notes why it stays.
    fn line(&self, line: &Line) -> rusqlite::Result<()> {
        match (line.is_row(), line.has_after) {
            (true, true) => self.remove(line),
            (true, false) => self.bring_back(line),
            (false, _) => {
                let told = self.told(line)?;
                self.cell(line, &told)
            }
        }
    }

    /// Taking back an undo puts its root in force again, or out of it. The undo may have left cells alone that a later
    /// change held at the time: each cell of the root is now what the changes in force say.
    fn settle(&self, of_root: &[Line], done: &[Line]) -> rusqlite::Result<()> {
        let done: HashSet<_> = done.iter().map(Line::cell).collect();
        for line in of_root.iter().filter(|line| !line.is_row() && !done.contains(&line.cell())) {
            let tables = self.tables();
            let Line { entity, key, column, .. } = line;
            let told = self.told(line)?;
            let stands = tables.cell(*entity, key, column)? == told.value
                && tables.is_by_hand(*entity, key, column)? == told.by_hand
                && told.change <= Some(self.root);
            if !stands && tables.has(*entity, key)? {
                self.cell(line, &told)?;
            }
        }
        Ok(())
    }

    fn told(&self, line: &Line) -> rusqlite::Result<Told> {
        self.in_force.told(self.ledger.connection, line.entity, &line.key, &line.column)
    }

    /// Gives a cell what the changes in force say of it, unless a later change says it or others rest on it.
    fn cell(&self, line: &Line, told: &Told) -> rusqlite::Result<()> {
        let Line { entity, key, column, .. } = line;
        if told.change > Some(self.root) {
            return self.ledger.keeps(*entity, key, column, told.change);
        }
        if told.value.is_none() && is_name(*entity, column) && self.is_rested_on(line)? {
            let with_its_row = self.made.contains(key);
            return if with_its_row { Ok(()) } else { self.ledger.keeps(*entity, key, column, None) };
        }
        let tables = self.tables();
        let before = tables.cell(*entity, key, column)?;
        tables.set(*entity, key, column, told.value.as_ref())?;
        tables.mark_by_hand(*entity, key, column, told.by_hand)?;
        self.ledger.note(&Noted {
            entity: *entity,
            key,
            column,
            before: before.as_ref(),
            after: told.value.as_ref(),
            by_hand: false,
            place: None,
            text: "taken back",
        })
    }

    /// Whether the row of a line has values or sizes of other changes, and so must stay and keep its name.
    fn is_rested_on(&self, line: &Line) -> rusqlite::Result<bool> {
        let tables = self.tables();
        let has_values = tables.has_values(line.entity, &line.key, |column| !is_name(line.entity, column))?;
        Ok(has_values || (line.entity == Entity::Style && tables.has_sizes(&line.key)?))
    }

    /// Removes a row that the change had made, unless something of it is still in use.
    fn remove(&self, line: &Line) -> rusqlite::Result<()> {
        let tables = self.tables();
        let in_use = tables.has_values(line.entity, &line.key, |_| true)?
            || (line.entity == Entity::Style && tables.has_sizes(&line.key)?);
        if in_use {
            return self.ledger.keeps(line.entity, &line.key, ROW, None);
        }
        tables.remove(line.entity, &line.key)?;
        self.ledger.went(line.entity, &line.key, &line.beside)
    }

    /// Brings back a row that an undo had removed, unless it is there again.
    fn bring_back(&self, line: &Line) -> rusqlite::Result<()> {
        let tables = self.tables();
        if tables.has(line.entity, &line.key)? {
            return self.ledger.keeps(line.entity, &line.key, ROW, None);
        }
        tables.insert_empty(line.entity, &line.key, &line.beside)?;
        self.ledger.came(line.entity, &line.key, &line.beside)
    }
}
