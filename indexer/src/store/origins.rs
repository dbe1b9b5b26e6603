//! Where a value came from: the last line of the ledger for each cell.

use std::collections::HashMap;

use catalogue::key::StyleKey;
use rusqlite::Row;

use super::Store;
use super::change::ROW;
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

const SELECT: &str = "SELECT cell.key, cell.\"column\", change.sheet, cell.sheet_row, cell.sheet_column, cell.text, cell.by_hand,
    cell.after IS NULL OR change.kind = 'undo'
    FROM cell_change AS cell JOIN change ON change.id = cell.change";

impl Store {
    /// Where the values of a style came from, in the order of their columns. What an undo brought back has no
    /// origin here: its sheet stands further back in the ledger.
    pub fn origins(&self, style: &StyleKey) -> Result<Vec<Origin>, StoreError> {
        let sql = format!("{SELECT} WHERE cell.entity = 'style' AND cell.key = ?1 ORDER BY cell.id");
        let mut statement = self.connection.prepare_cached(&sql)?;
        let lines = statement.query_map([style.as_str()], origin)?.collect::<Result<Vec<_>, _>>()?;
        let mut origins: Vec<_> = latest(lines).into_values().collect();
        origins.sort_by(|a, b| a.column.cmp(&b.column));
        Ok(origins)
    }

    /// Where every value of the catalogue came from.
    pub(super) fn all_origins(&self) -> Result<Origins, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!("{SELECT} ORDER BY cell.id"))?;
        let lines = statement.query_map([], origin)?.collect::<Result<Vec<_>, _>>()?;
        Ok(latest(lines))
    }
}

/// One line, and whether it took its cell back.
type Told = (Origin, bool);

fn origin(row: &Row<'_>) -> rusqlite::Result<Told> {
    let origin = Origin {
        key: row.get(0)?,
        column: row.get(1)?,
        sheet: row.get(2)?,
        row: row.get(3)?,
        sheet_column: row.get(4)?,
        text: row.get::<_, Option<String>>(5)?.unwrap_or_default(),
        by_hand: row.get(6)?,
    };
    Ok((origin, row.get(7)?))
}

/// Of each cell the line that says what it holds now. A line that takes back uncovers the one before it, so that an
/// undo leaves no trace in what is told.
fn latest(lines: Vec<Told>) -> Origins {
    let mut stacks: HashMap<(String, String), Vec<Origin>> = HashMap::new();
    for (origin, takes_back) in lines {
        if origin.column == ROW {
            continue;
        }
        let stack = stacks.entry((origin.key.clone(), origin.column.clone())).or_default();
        if takes_back {
            stack.pop();
        } else {
            stack.push(origin);
        }
    }
    stacks.into_iter().filter_map(|(cell, mut stack)| Some((cell, stack.pop()?))).collect()
}
