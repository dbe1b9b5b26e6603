//! The changes of the catalogue, as the owner reads them.

use std::fmt;

use rusqlite::{OptionalExtension, Row};

use super::force::InForce;
use super::tables::entity_of;
use super::undo::Kept;
use super::{ChangeId, Store};
use crate::error::StoreError;
use crate::proposal::Missing;

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
    /// What became of what a full sheet left out; `None` where it left nothing out.
    pub missing: Option<Missing>,
    /// Of what a person said: how many values, and the key of the shoe or size where it is one.
    pub said: Option<(i64, Option<String>)>,
    /// Why, in the words of whoever made it.
    pub why: Option<String>,
    /// The change it takes back.
    pub undoes: Option<ChangeId>,
    /// It is taken back.
    pub undone: bool,
    /// The undo in force that took it back.
    pub undone_by: Option<ChangeId>,
}

const SELECT: &str =
    "SELECT id, kind, actor, at, supplier, sheet, rows, new, changed, unchanged, held, missing, undoes,
    missing_policy,
    (SELECT count(*) FROM cell_change WHERE cell_change.change = change.id AND rows IS NULL AND undoes IS NULL),
    (SELECT iif(min(key) = max(key), min(key), NULL) FROM cell_change
        WHERE cell_change.change = change.id AND rows IS NULL AND undoes IS NULL),
    why
    FROM change";

impl Store {
    /// The latest changes, newest first.
    pub fn history(&self, limit: usize) -> Result<Vec<RecordedChange>, StoreError> {
        let sql = format!("{SELECT} ORDER BY id DESC LIMIT ?1");
        let mut statement = self.connection.prepare_cached(&sql)?;
        let changes = statement.query_map([limit as i64], recorded)?.collect::<Result<Vec<_>, _>>()?;
        let in_force = InForce::of(&self.connection)?;
        Ok(changes.into_iter().map(|change| with_undone(change, &in_force)).collect())
    }

    /// When a sheet was last imported, seconds since 1970; `None` before the first.
    pub fn last_import(&self) -> Result<Option<i64>, StoreError> {
        let sql = "SELECT max(at) FROM change WHERE rows IS NOT NULL";
        Ok(self.connection.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
    }

    /// One change; `None` when there is none of this number.
    pub fn recorded(&self, change: ChangeId) -> Result<Option<RecordedChange>, StoreError> {
        let sql = format!("{SELECT} WHERE id = ?1");
        let found = self.connection.prepare_cached(&sql)?.query_row([change.0], recorded).optional()?;
        let in_force = InForce::of(&self.connection)?;
        Ok(found.map(|change| with_undone(change, &in_force)))
    }

    /// What an undo left alone, each with the later change that owns it.
    pub fn kept_by(&self, undo: ChangeId) -> Result<Vec<Kept>, StoreError> {
        let sql = "SELECT entity, key, \"column\", later FROM kept WHERE change = ?1 ORDER BY id";
        let mut statement = self.connection.prepare_cached(sql)?;
        let kept = statement.query_map([undo.0], |row| {
            Ok(Kept {
                entity: entity_of(&row.get::<_, String>(0)?),
                key: row.get(1)?,
                column: row.get(2)?,
                later: row.get::<_, Option<i64>>(3)?.map(ChangeId),
            })
        })?;
        Ok(kept.collect::<Result<_, _>>()?)
    }
}

fn with_undone(change: RecordedChange, in_force: &InForce) -> RecordedChange {
    let undone_by = in_force.taken_back_by(change.id);
    RecordedChange { undone: undone_by.is_some(), undone_by, ..change }
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
    let undoes = row.get::<_, Option<i64>>(12)?.map(ChangeId);
    Ok(RecordedChange {
        id: ChangeId(row.get(0)?),
        kind: row.get(1)?,
        actor: row.get(2)?,
        at: row.get(3)?,
        supplier: row.get(4)?,
        sheet: row.get(5)?,
        rows,
        missing: row.get::<_, Option<String>>(13)?.and_then(|word| Missing::from_word(&word)),
        said: (rows.is_none() && undoes.is_none()).then_some((row.get(14)?, row.get(15)?)),
        why: row.get(16)?,
        undoes,
        undone: false,
        undone_by: None,
    })
}

impl fmt::Display for RecordedChange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:>4}  {}", self.id.0, self.kind)?;
        if let (Some(sheet), Some(supplier)) = (&self.sheet, &self.supplier) {
            write!(f, " of {sheet} from {supplier}")?;
        }
        if let Some([rows, new, changed, unchanged, held, missing]) = self.rows {
            write!(f, ": {rows} rows, {new} new, {changed} changed, {unchanged} unchanged, {held} held")?;
            if let Some(policy) = self.missing {
                write!(f, ", {missing} missing ({})", policy.word())?;
            }
        }
        if let Some((values, of)) = &self.said {
            let of = of.as_ref().map_or_else(String::new, |of| format!(" of {of}"));
            write!(f, "{of}: {values} value{}", if *values == 1 { "" } else { "s" })?;
        }
        if let Some(undoes) = self.undoes {
            write!(f, " of change {}", undoes.0)?;
        }
        if let Some(why) = &self.why {
            write!(f, ", because: {why}")?;
        }
        write!(f, "; by {}", self.actor)?;
        match self.undone_by {
            Some(undo) => write!(f, "; taken back by change {}", undo.0),
            None => Ok(()),
        }
    }
}
