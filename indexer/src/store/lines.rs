//! The ledger, read: every value that a cell has held, and which change wrote it from where.

use catalogue::key::StyleKey;
use rusqlite::{Params, Row};

use super::force::InForce;
use super::ledger::ROW;
use super::tables::entity_of;
use super::{ChangeId, Store};
use crate::draft::Value;
use crate::error::StoreError;
use crate::proposal::Entity;

/// One line of the ledger, with what its change says of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerLine {
    /// The change that wrote it.
    pub change: ChangeId,
    /// import, correction, undo and so on.
    pub kind: String,
    /// When, seconds since 1970.
    pub at: i64,
    /// The change is an undo: it says nothing of its own.
    pub is_undo: bool,
    /// The change is not taken back.
    pub in_force: bool,
    /// A style or a size.
    pub entity: Entity,
    /// Its key.
    pub key: String,
    /// The column.
    pub column: String,
    /// What the cell held before.
    pub before: Option<Value>,
    /// What it held from then on.
    pub after: Option<Value>,
    /// A person said it.
    pub by_hand: bool,
    /// Where it was read; `None` where no sheet said it.
    pub read: Option<ReadAt>,
    /// The text as read, or a person's word for where it comes from.
    pub text: String,
}

/// Where in whose sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadAt {
    /// The file's name.
    pub sheet: String,
    /// Who sent it.
    pub supplier: String,
    /// The tab of a workbook.
    pub tab: Option<String>,
    /// The row as a spreadsheet numbers it; `None` for what holds without standing in a row.
    pub row: Option<u32>,
    /// The column from 0.
    pub column: Option<u16>,
}

impl LedgerLine {
    /// Whether the line is of the row itself, which came or went, and not of one of its cells.
    pub fn is_of_the_row(&self) -> bool {
        self.column == ROW
    }
}

const SELECT: &str = "SELECT cell.change, change.kind, change.at, change.undoes IS NOT NULL,
        cell.entity, cell.key, cell.\"column\", cell.before, cell.after, cell.by_hand, cell.text,
        source.sheet, source.supplier, cell.tab, cell.sheet_row, cell.sheet_column
    FROM cell_change AS cell JOIN change ON change.id = cell.change
    LEFT JOIN change AS source ON source.id = coalesce(cell.source, cell.change)";

impl Store {
    /// All that the ledger holds of a style and its sizes, newest first.
    pub fn ledger_of(&self, style: &StyleKey) -> Result<Vec<LedgerLine>, StoreError> {
        let sql = format!(
            "{SELECT} WHERE cell.key = ?1 OR cell.key IN (SELECT key FROM sku WHERE style = ?1) ORDER BY cell.id DESC"
        );
        self.lines(&sql, [style.as_str()])
    }

    /// What a change wrote, in the order in which it wrote it, from the `from`th line on.
    pub fn lines_of(
        &self,
        change: ChangeId,
        from: usize,
        most: usize,
    ) -> Result<Vec<LedgerLine>, StoreError> {
        let sql = format!("{SELECT} WHERE cell.change = ?1 ORDER BY cell.id LIMIT ?2 OFFSET ?3");
        self.lines(&sql, [change.0, most as i64, from as i64])
    }

    /// How many lines a change wrote.
    pub fn count_lines(&self, change: ChangeId) -> Result<usize, StoreError> {
        let sql = "SELECT count(*) FROM cell_change WHERE change = ?1";
        let count: i64 = self.connection.prepare_cached(sql)?.query_row([change.0], |row| row.get(0))?;
        Ok(usize::try_from(count).unwrap_or_default())
    }

    fn lines(&self, sql: &str, of: impl Params) -> Result<Vec<LedgerLine>, StoreError> {
        let in_force = InForce::of(&self.connection)?;
        let mut statement = self.connection.prepare_cached(sql)?;
        let lines = statement.query_map(of, |row| line(row, &in_force))?;
        Ok(lines.collect::<Result<_, _>>()?)
    }
}

fn line(row: &Row<'_>, in_force: &InForce) -> rusqlite::Result<LedgerLine> {
    let change = ChangeId(row.get(0)?);
    Ok(LedgerLine {
        change,
        kind: row.get(1)?,
        at: row.get(2)?,
        is_undo: row.get(3)?,
        in_force: in_force.holds(change),
        entity: entity_of(&row.get::<_, String>(4)?),
        key: row.get(5)?,
        column: row.get(6)?,
        before: row.get(7)?,
        after: row.get(8)?,
        by_hand: row.get(9)?,
        text: row.get::<_, Option<String>>(10)?.unwrap_or_default(),
        read: read_at(row, 11)?,
    })
}

/// Sheet, supplier, tab, row and column from the `at`th on.
pub(super) fn read_at(row: &Row<'_>, at: usize) -> rusqlite::Result<Option<ReadAt>> {
    let Some(sheet) = row.get::<_, Option<String>>(at)? else { return Ok(None) };
    Ok(Some(ReadAt {
        sheet,
        supplier: row.get::<_, Option<String>>(at + 1)?.unwrap_or_default(),
        tab: row.get(at + 2)?,
        row: row.get(at + 3)?,
        column: row.get(at + 4)?,
    }))
}
