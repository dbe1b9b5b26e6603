//! The changes of the catalogue, as the owner reads them.

use std::fmt;

use rusqlite::Row;

use super::force::InForce;
use super::{ChangeId, Store};
use crate::error::StoreError;

/// One change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordedChange {
    /// Its number.
    pub id: ChangeId,
    /// import, correction or undo.
    pub kind: String,
    /// Who.
    pub actor: String,
    /// When, seconds since 1970.
    pub at: i64,
    /// Whose sheet.
    pub supplier: Option<String>,
    /// Which sheet.
    pub sheet: Option<String>,
    /// Rows of the sheet: all, new, changed, unchanged, held, missing.
    pub rows: Option<[i64; 6]>,
    /// The change it takes back.
    pub undoes: Option<ChangeId>,
    /// It is taken back.
    pub undone: bool,
}

impl Store {
    /// The latest changes, newest first.
    pub fn history(&self, limit: usize) -> Result<Vec<RecordedChange>, StoreError> {
        let sql = "SELECT id, kind, actor, at, supplier, sheet, rows, new, changed, unchanged, held, missing, undoes
            FROM change ORDER BY id DESC LIMIT ?1";
        let mut statement = self.connection.prepare_cached(sql)?;
        let changes = statement.query_map([limit as i64], recorded)?.collect::<Result<Vec<_>, _>>()?;
        let in_force = InForce::of(&self.connection)?;
        let with_undone =
            |change: RecordedChange| RecordedChange { undone: !in_force.holds(change.id), ..change };
        Ok(changes.into_iter().map(with_undone).collect())
    }
}

fn recorded(row: &Row<'_>) -> rusqlite::Result<RecordedChange> {
    let count = |at: usize| row.get::<_, Option<i64>>(at);
    let rows = match count(6)? {
        None => None,
        Some(all) => {
            let counted = |at| count(at).map(Option::unwrap_or_default);
            Some([all, counted(7)?, counted(8)?, counted(9)?, counted(10)?, counted(11)?])
        }
    };
    Ok(RecordedChange {
        id: ChangeId(row.get(0)?),
        kind: row.get(1)?,
        actor: row.get(2)?,
        at: row.get(3)?,
        supplier: row.get(4)?,
        sheet: row.get(5)?,
        rows,
        undoes: row.get::<_, Option<i64>>(12)?.map(ChangeId),
        undone: false,
    })
}

impl fmt::Display for RecordedChange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:>4}  {}", self.id.0, self.kind)?;
        if let (Some(sheet), Some(supplier)) = (&self.sheet, &self.supplier) {
            write!(f, " of {sheet} from {supplier}")?;
        }
        if let Some([rows, new, changed, unchanged, held, _]) = self.rows {
            write!(f, ": {rows} rows, {new} new, {changed} changed, {unchanged} unchanged, {held} held")?;
        }
        if let Some(undoes) = self.undoes {
            write!(f, " of change {}", undoes.0)?;
        }
        write!(f, "; by {}", self.actor)?;
        if self.undone { f.write_str("; taken back") } else { Ok(()) }
    }
}
