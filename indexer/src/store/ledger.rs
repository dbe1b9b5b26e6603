//! The ledger, while one change is written: a line for every cell.

use std::cell::RefCell;

use rusqlite::{CachedStatement, Connection, params};

use super::ChangeId;
use super::tables::Tables;
use crate::draft::{self, Reading, Value};
use crate::proposal::{BesideHand, CellChange, Entity, RowChange};

/// The column that stands for the row itself.
pub(super) const ROW: &str = "key";

/// The ledger, while one change is written.
pub(super) struct Ledger<'c> {
    pub(super) connection: &'c Connection,
    pub(super) change: ChangeId,
    /// The statement that writes a line, looked up once: a large sheet writes millions.
    line: RefCell<CachedStatement<'c>>,
}

/// One line of the ledger.
pub(super) struct Noted<'a> {
    pub(super) entity: Entity,
    pub(super) key: &'a str,
    pub(super) column: &'a str,
    pub(super) before: Option<&'a Value>,
    pub(super) after: Option<&'a Value>,
    pub(super) by_hand: bool,
    pub(super) place: Option<At<'a>>,
    pub(super) text: &'a str,
}

/// Where in which sheet a value was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct At<'a> {
    pub(super) tab: Option<&'a str>,
    pub(super) row: Option<u32>,
    pub(super) line: Option<u32>,
    pub(super) column: Option<u16>,
    /// The change whose sheet it is, when that is not the change the line belongs to.
    pub(super) source: Option<ChangeId>,
}

impl<'a> At<'a> {
    /// A place of the sheet that is being applied.
    fn of(at: draft::At, reading: &'a Reading) -> Self {
        let tab = &reading.source.tabs[usize::from(at.tab)];
        let row = &tab.rows[at.row as usize];
        Self {
            tab: tab.title.as_deref(),
            row: Some(row.number),
            line: Some(row.line),
            column: at.column,
            source: None,
        }
    }
}

impl<'c> Ledger<'c> {
    pub(super) fn of(connection: &'c Connection, change: ChangeId) -> rusqlite::Result<Self> {
        let sql = "INSERT INTO cell_change (change, entity, key, \"column\", before, after, by_hand, tab, sheet_row, sheet_line, sheet_column, source, text)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)";
        let line = RefCell::new(connection.prepare_cached(sql)?);
        Ok(Self { connection, change, line })
    }
}

impl Ledger<'_> {
    /// Writes a row of a proposal, and its lines.
    pub(super) fn row(&self, row: &RowChange, reading: &Reading) -> rusqlite::Result<()> {
        let tables = Tables(self.connection);
        if row.new {
            tables.insert(row, &reading.supplier)?;
            let beside = if row.entity == Entity::Style { &reading.supplier } else { &row.style };
            self.came(row.entity, &row.key, beside)?;
        }
        for cell in &row.cells {
            if !row.new {
                tables.set(row.entity, &row.key, cell.column.key, cell.after.as_ref())?;
            }
            self.cell(row, cell, reading)?;
        }
        Ok(())
    }

    fn cell(&self, row: &RowChange, cell: &CellChange, reading: &Reading) -> rusqlite::Result<()> {
        self.note(&Noted {
            entity: row.entity,
            key: &row.key,
            column: cell.column.key,
            before: cell.before.as_ref(),
            after: cell.after.as_ref(),
            by_hand: false,
            place: Some(At::of(cell.at, reading)),
            text: cell.text(reading),
        })
    }

    /// Notes that a row came.
    pub(super) fn came(&self, entity: Entity, key: &str, beside: &str) -> rusqlite::Result<()> {
        self.came_or_went(entity, key, beside, true)
    }

    /// Notes that a row went.
    pub(super) fn went(&self, entity: Entity, key: &str, beside: &str) -> rusqlite::Result<()> {
        self.came_or_went(entity, key, beside, false)
    }

    fn came_or_went(&self, entity: Entity, key: &str, beside: &str, came: bool) -> rusqlite::Result<()> {
        let itself = Value::Text(key.into());
        self.note(&Noted {
            entity,
            key,
            column: ROW,
            before: (!came).then_some(&itself),
            after: came.then_some(&itself),
            by_hand: false,
            place: None,
            text: beside,
        })
    }

    /// Writes one line.
    pub(super) fn note(&self, noted: &Noted<'_>) -> rusqlite::Result<()> {
        let at = noted.place.as_ref();
        self.line.borrow_mut().execute(params![
            self.change.0,
            noted.entity.word(),
            noted.key,
            noted.column,
            noted.before,
            noted.after,
            noted.by_hand,
            at.and_then(|at| at.tab),
            at.and_then(|at| at.row),
            at.and_then(|at| at.line),
            at.and_then(|at| at.column),
            at.and_then(|at| at.source).map(|change| change.0),
            noted.text
        ])?;
        Ok(())
    }

    /// Notes what a sheet said of a cell that a person has set; the cell itself stays.
    pub(super) fn beside_hand(&self, said: &BesideHand, reading: &Reading) -> rusqlite::Result<()> {
        let sql = "INSERT INTO beside_hand (change, entity, key, \"column\", value, tab, sheet_row, sheet_line, sheet_column, text)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)";
        let CellChange { column, after, at, .. } = &said.cell;
        let At { tab, row, line, column: sheet_column, .. } = At::of(*at, reading);
        self.connection.prepare_cached(sql)?.execute(params![
            self.change.0,
            said.entity.word(),
            said.key,
            column.key,
            after,
            tab,
            row,
            line,
            sheet_column,
            said.cell.text(reading)
        ])?;
        Ok(())
    }

    /// Notes what an undo leaves alone, and the later change that owns it.
    pub(super) fn keeps(
        &self,
        entity: Entity,
        key: &str,
        column: &str,
        later: Option<ChangeId>,
    ) -> rusqlite::Result<()> {
        let sql = "INSERT INTO kept (change, entity, key, \"column\", later) VALUES (?1, ?2, ?3, ?4, ?5)";
        let later = later.map(|change| change.0);
        self.connection.prepare_cached(sql)?.execute(params![
            self.change.0,
            entity.word(),
            key,
            column,
            later
        ])?;
        Ok(())
    }
}
