//! Which changes are in force: those not taken back, or whose taking back was taken back in its turn. The catalogue
//! holds, of each cell, what the last change in force says.

use std::collections::HashMap;

use rusqlite::Connection;

use super::ChangeId;
use crate::draft::Value;
use crate::proposal::Entity;

/// The changes that are not in force.
pub(super) struct InForce {
    /// Of each, the undo in force that took it back.
    undone: HashMap<i64, i64>,
}

/// What the changes in force say of a cell.
#[derive(Default)]
pub(super) struct Told {
    pub(super) value: Option<Value>,
    /// A person said it.
    pub(super) by_hand: bool,
    /// The text it was read from, or where it comes from in words.
    pub(super) text: String,
    /// The change that says so; `None` when none in force does.
    pub(super) change: Option<ChangeId>,
}

impl InForce {
    /// As the ledger is now. An undo is newer than what it undoes, so that one walk from the newest settles all.
    pub(super) fn of(connection: &Connection) -> rusqlite::Result<Self> {
        let sql = "SELECT id, undoes FROM change WHERE undoes IS NOT NULL ORDER BY id DESC";
        let mut statement = connection.prepare_cached(sql)?;
        let undos = statement.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?)))?;
        let mut undone = HashMap::new();
        for undo in undos {
            let (id, undoes) = undo?;
            if !undone.contains_key(&id) {
                undone.entry(undoes).or_insert(id);
            }
        }
        Ok(Self { undone })
    }

    /// Whether a change is in force.
    pub(super) fn holds(&self, change: ChangeId) -> bool {
        !self.undone.contains_key(&change.0)
    }

    /// The undo in force that took a change back.
    pub(super) fn taken_back_by(&self, change: ChangeId) -> Option<ChangeId> {
        self.undone.get(&change.0).copied().map(ChangeId)
    }

    /// What the last change in force says of a cell; undos say nothing of their own.
    pub(super) fn told(
        &self,
        connection: &Connection,
        entity: Entity,
        key: &str,
        column: &str,
    ) -> rusqlite::Result<Told> {
        let sql = "SELECT cell.change, cell.after, cell.by_hand, cell.text FROM cell_change AS cell
            JOIN change ON change.id = cell.change
            WHERE cell.entity = ?1 AND cell.key = ?2 AND cell.\"column\" = ?3 AND change.undoes IS NULL
            ORDER BY cell.id DESC";
        let mut statement = connection.prepare_cached(sql)?;
        let mut lines = statement.query([entity.word(), key, column])?;
        while let Some(line) = lines.next()? {
            let change = ChangeId(line.get(0)?);
            if self.holds(change) {
                let text = line.get::<_, Option<String>>(3)?.unwrap_or_default();
                let (value, by_hand) = (line.get(1)?, line.get(2)?);
                return Ok(Told { value, by_hand, text, change: Some(change) });
            }
        }
        Ok(Told::default())
    }

    /// When a change in force last told quantities, the same ones as before or others; seconds since 1970.
    pub(super) fn stock_told(&self, connection: &Connection) -> rusqlite::Result<Option<i64>> {
        let sql = "SELECT id, at FROM change WHERE tells_stock = 1 ORDER BY id DESC";
        let mut statement = connection.prepare_cached(sql)?;
        let mut changes = statement.query([])?;
        while let Some(change) = changes.next()? {
            if self.holds(ChangeId(change.get(0)?)) {
                return change.get(1).map(Some);
            }
        }
        Ok(None)
    }
}
