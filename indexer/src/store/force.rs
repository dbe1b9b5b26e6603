//! Which changes are in force: those not taken back, or whose taking back was taken back in its turn. The catalogue
//! holds, of each cell, what the last change in force says.

use std::collections::HashSet;

use rusqlite::{Connection, OptionalExtension};

use super::ChangeId;
use crate::draft::Value;
use crate::proposal::Entity;

/// The changes that are not in force.
pub(super) struct InForce {
    undone: HashSet<i64>,
}

/// What the changes in force say of a cell.
#[derive(Default)]
pub(super) struct Told {
    pub(super) value: Option<Value>,
    /// A person said it.
    pub(super) by_hand: bool,
}

impl InForce {
    /// As the ledger is now. An undo is newer than what it undoes, so that one walk from the newest settles all.
    pub(super) fn of(connection: &Connection) -> rusqlite::Result<Self> {
        let sql = "SELECT id, undoes FROM change WHERE undoes IS NOT NULL ORDER BY id DESC";
        let mut statement = connection.prepare_cached(sql)?;
        let undos = statement.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?)))?;
        let mut undone = HashSet::new();
        for undo in undos {
            let (id, undoes) = undo?;
            if !undone.contains(&id) {
                undone.insert(undoes);
            }
        }
        Ok(Self { undone })
    }

    /// Whether a change is in force.
    pub(super) fn holds(&self, change: ChangeId) -> bool {
        !self.undone.contains(&change.0)
    }

    /// What the last change in force says of a cell; undos say nothing of their own.
    pub(super) fn told(
        &self,
        connection: &Connection,
        entity: Entity,
        key: &str,
        column: &str,
    ) -> rusqlite::Result<Told> {
        let sql = "SELECT cell.change, cell.after, cell.by_hand FROM cell_change AS cell
            JOIN change ON change.id = cell.change
            WHERE cell.entity = ?1 AND cell.key = ?2 AND cell.\"column\" = ?3 AND change.undoes IS NULL
            ORDER BY cell.id DESC";
        let mut statement = connection.prepare_cached(sql)?;
        let mut lines = statement.query([entity.word(), key, column])?;
        while let Some(line) = lines.next()? {
            if self.holds(ChangeId(line.get(0)?)) {
                return Ok(Told { value: line.get(1)?, by_hand: line.get(2)? });
            }
        }
        Ok(Told::default())
    }

    /// When a sheet or a count in force last told quantities, seconds since 1970.
    pub(super) fn stock_told(&self, connection: &Connection) -> rusqlite::Result<Option<i64>> {
        let sql = "SELECT id, at FROM change WHERE kind IN ('import', 'count') ORDER BY id DESC";
        let mut imports = connection.prepare_cached(sql)?;
        let mut imports = imports.query([])?;
        let sql = "SELECT 1 FROM cell_change WHERE change = ?1 AND \"column\" = 'quantity' LIMIT 1";
        let mut quantity = connection.prepare_cached(sql)?;
        while let Some(import) = imports.next()? {
            let id: i64 = import.get(0)?;
            let tells =
                self.holds(ChangeId(id)) && quantity.query_row([id], |_| Ok(())).optional()?.is_some();
            if tells {
                return import.get(1).map(Some);
            }
        }
        Ok(None)
    }
}
