//! What the sheets say of a cell that a person has set: the value that would stand there without the hand.

use catalogue::key::StyleKey;
use rusqlite::Connection;

use super::force::InForce;
use super::ledger::At;
use super::lines::{ReadAt, read_at};
use super::{ChangeId, Store};
use crate::draft::Value;
use crate::error::StoreError;
use crate::proposal::Entity;

/// The newest word of a sheet on a cell that a person has set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetWord {
    /// The column.
    pub column: String,
    /// What the sheet says.
    pub value: Option<Value>,
    /// The change that brought the sheet.
    pub change: ChangeId,
    /// When, seconds since 1970.
    pub at: i64,
    /// Where it was read.
    pub read: Option<ReadAt>,
    /// The text read.
    pub text: String,
    /// The sheet came after the hand, and says another value.
    pub disagrees: bool,
    pub(super) line: Option<u32>,
}

impl SheetWord {
    /// Where its value stands, for a line of the ledger in another change.
    pub(super) fn place(&self) -> At<'_> {
        let read = self.read.as_ref();
        At {
            tab: read.and_then(|read| read.tab.as_deref()),
            row: read.and_then(|read| read.row),
            line: self.line,
            column: read.and_then(|read| read.column),
            source: Some(self.change),
        }
    }
}

impl Store {
    /// Of every cell of a style that a person has set, by column: what the newest sheet in force says of it, if any
    /// does.
    pub fn set_by_hand(&self, style: &StyleKey) -> Result<Vec<(String, Option<SheetWord>)>, StoreError> {
        let in_force = InForce::of(&self.connection)?;
        let sql = "SELECT \"column\" FROM by_hand WHERE entity = 'style' AND key = ?1 ORDER BY \"column\"";
        let mut statement = self.connection.prepare_cached(sql)?;
        let columns = statement.query_map([style.as_str()], |row| row.get::<_, String>(0))?;
        let mut words = Vec::new();
        for column in columns {
            let column = column?;
            let cell = (Entity::Style, style.as_str(), column.as_str());
            let hand = in_force.told(&self.connection, cell.0, cell.1, cell.2)?;
            let word = sheet_word(&self.connection, &in_force, cell)?.map(|word| SheetWord {
                disagrees: Some(word.change) > hand.change && word.value != hand.value,
                ..word
            });
            words.push((column, word));
        }
        Ok(words)
    }
}

/// The newest of what sheets in force wrote into a cell, or said against the hand that holds it.
pub(super) fn sheet_word(
    connection: &Connection,
    in_force: &InForce,
    cell: (Entity, &str, &str),
) -> rusqlite::Result<Option<SheetWord>> {
    let sql = "SELECT said.change, change.at, said.value, said.text, said.line,
            change.sheet, change.supplier, said.tab, said.sheet_row, said.sheet_column
        FROM (SELECT change, entity, key, \"column\", after AS value, text, sheet_line AS line, tab, sheet_row, sheet_column
                FROM cell_change WHERE key = ?2
            UNION ALL
            SELECT change, entity, key, \"column\", value, text, sheet_line, tab, sheet_row, sheet_column
                FROM beside_hand WHERE key = ?2) AS said
        JOIN change ON change.id = said.change AND change.kind = 'import'
        WHERE said.entity = ?1 AND said.\"column\" = ?3 ORDER BY said.change DESC";
    let (entity, key, column) = cell;
    let mut statement = connection.prepare_cached(sql)?;
    let mut said = statement.query([entity.word(), key, column])?;
    while let Some(row) = said.next()? {
        let change = ChangeId(row.get(0)?);
        if in_force.holds(change) {
            return Ok(Some(SheetWord {
                column: column.to_owned(),
                value: row.get(2)?,
                change,
                at: row.get(1)?,
                read: read_at(row, 5)?,
                text: row.get::<_, Option<String>>(3)?.unwrap_or_default(),
                disagrees: false,
                line: row.get(4)?,
            }));
        }
    }
    Ok(None)
}
