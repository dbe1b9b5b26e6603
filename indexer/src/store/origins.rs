//! Where a value came from: the last line of the ledger for each cell.

use std::collections::HashMap;

use catalogue::key::StyleKey;
use rusqlite::Row;

use super::force::InForce;
use super::ledger::ROW;
use super::{ChangeId, Store};
use crate::error::StoreError;

/// Where one value came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The key of its style or size.
    pub key: String,
    /// Its column.
    pub column: String,
    /// The sheet; `None` where a person said it.
    pub sheet: Option<String>,
    /// The tab of a workbook.
    pub tab: Option<String>,
    /// The row of the sheet.
    pub row: Option<u32>,
    /// The column of the sheet, from 0.
    pub sheet_column: Option<u16>,
    /// The text read, or what a person said of it.
    pub text: String,
    /// A person said it.
    pub by_hand: bool,
}

/// Origins by key and column.
pub(crate) type Origins = HashMap<(String, String), Origin>;

const SELECT: &str = "SELECT cell.key, cell.\"column\", source.sheet, cell.sheet_row, cell.sheet_column, cell.text, cell.by_hand,
    change.id, cell.tab
    FROM cell_change AS cell JOIN change ON change.id = cell.change AND change.undoes IS NULL
    LEFT JOIN change AS source ON source.id = coalesce(cell.source, cell.change)";

impl Store {
    /// Where the values of a style came from, in the order of their columns.
    pub fn origins(&self, style: &StyleKey) -> Result<Vec<Origin>, StoreError> {
        let sql = format!("{SELECT} WHERE cell.entity = 'style' AND cell.key = ?1 ORDER BY cell.id");
        let mut statement = self.connection.prepare_cached(&sql)?;
        let lines = statement.query_map([style.as_str()], origin)?.collect::<Result<Vec<_>, _>>()?;
        let mut origins: Vec<_> = latest(lines, &InForce::of(&self.connection)?).into_values().collect();
        origins.sort_by(|a, b| a.column.cmp(&b.column));
        Ok(origins)
    }

    /// Where every value of the catalogue came from.
    pub(super) fn all_origins(&self) -> Result<Origins, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!("{SELECT} ORDER BY cell.id"))?;
        let lines = statement.query_map([], origin)?.collect::<Result<Vec<_>, _>>()?;
        Ok(latest(lines, &InForce::of(&self.connection)?))
    }
}

/// One line, and the change that wrote it.
type Written = (Origin, ChangeId);

fn origin(row: &Row<'_>) -> rusqlite::Result<Written> {
    let origin = Origin {
        key: row.get(0)?,
        column: row.get(1)?,
        sheet: row.get(2)?,
        tab: row.get(8)?,
        row: row.get(3)?,
        sheet_column: row.get(4)?,
        text: row.get::<_, Option<String>>(5)?.unwrap_or_default(),
        by_hand: row.get(6)?,
    };
    Ok((origin, ChangeId(row.get(7)?)))
}

/// Of each cell the last line of a change in force: an undo leaves no trace in what is told. A value that a person
/// took away has no origin.
fn latest(lines: Vec<Written>, in_force: &InForce) -> Origins {
    let of_cells =
        lines.into_iter().filter(|(origin, change)| origin.column != ROW && in_force.holds(*change));
    of_cells.map(|(origin, _)| ((origin.key.clone(), origin.column.clone()), origin)).collect()
}
