//! Rows of style and sku, moved by the registry of columns.

use std::collections::HashSet;
use std::sync::LazyLock;

use rusqlite::types::{FromSql, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::columns::Column;
use crate::draft::{Drafts, Value};
use crate::error::StoreError;
use crate::proposal::{Entity, LeftOut, RowChange, StoredRow};

/// The two tables of a connection or a transaction.
pub(super) struct Tables<'c>(pub(super) &'c Connection);

impl ToSql for Value {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        match self {
            Self::Int(value) => value.to_sql(),
            Self::Text(text) => text.to_sql(),
        }
    }
}

impl FromSql for Value {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        match value {
            ValueRef::Integer(value) => Ok(Self::Int(value)),
            other => other.as_str().map(|text| Self::Text(text.into())),
        }
    }
}

/// The statements of one entity, written once from the registry.
struct Statements {
    row: String,
    insert: String,
    set: Vec<String>,
}

fn statements(entity: Entity) -> &'static Statements {
    static STYLE: LazyLock<Statements> = LazyLock::new(|| Statements::of(Entity::Style));
    static SKU: LazyLock<Statements> = LazyLock::new(|| Statements::of(Entity::Sku));
    match entity {
        Entity::Style => &STYLE,
        // Settings are no rows of columns and have statements of their own.
        Entity::Sku | Entity::Setting => &SKU,
    }
}

/// The entity of a word in the ledger.
pub(super) fn entity_of(word: &str) -> Entity {
    let known = [Entity::Style, Entity::Sku, Entity::Setting];
    known.into_iter().find(|entity| entity.word() == word).unwrap_or(Entity::Sku)
}

/// The column beside the key: who owns a style, which style a sku belongs to.
const fn belongs(entity: Entity) -> &'static str {
    match entity {
        Entity::Style => "supplier",
        Entity::Sku | Entity::Setting => "style",
    }
}

/// The columns of an entity, quoted and joined, for a SELECT.
pub(super) fn column_list(entity: Entity) -> String {
    entity.columns().iter().map(|c| format!("\"{}\"", c.key)).collect::<Vec<_>>().join(", ")
}

impl Statements {
    fn of(entity: Entity) -> Self {
        let (table, beside, columns) = (entity.word(), belongs(entity), column_list(entity));
        let marks = vec!["?"; entity.columns().len() + 2].join(", ");
        let set = |key: &str| format!("UPDATE {table} SET \"{key}\" = ?1 WHERE key = ?2");
        Self {
            row: format!("SELECT {beside}, {columns} FROM {table} WHERE key = ?1"),
            insert: format!("INSERT INTO {table} (key, {beside}, {columns}) VALUES ({marks})"),
            set: entity.columns().iter().map(|column| set(column.key)).collect(),
        }
    }
}

impl Tables<'_> {
    /// A row by its key.
    pub(super) fn row(&self, entity: Entity, key: &str) -> Result<Option<StoredRow>, StoreError> {
        let mut statement = self.0.prepare_cached(&statements(entity).row)?;
        let read = |row: &Row<'_>| {
            let values = (1..=entity.columns().len()).map(|at| row.get(at)).collect::<Result<_, _>>()?;
            Ok(StoredRow { supplier: row.get(0)?, values })
        };
        Ok(statement.query_row([key], read).optional()?)
    }

    /// One cell; `None` also where the row is gone.
    pub(super) fn cell(&self, entity: Entity, key: &str, column: &str) -> rusqlite::Result<Option<Value>> {
        if entity == Entity::Setting {
            let sql = "SELECT value FROM setting WHERE key = ?1 AND \"column\" = ?2";
            return self.0.prepare_cached(sql)?.query_row([key, column], |row| row.get(0)).optional();
        }
        let sql = format!("SELECT \"{column}\" FROM {} WHERE key = ?1", entity.word());
        self.0.prepare_cached(&sql)?.query_row([key], |row| row.get(0)).optional().map(Option::flatten)
    }

    /// Whether there is such a row.
    pub(super) fn has(&self, entity: Entity, key: &str) -> rusqlite::Result<bool> {
        if entity == Entity::Setting {
            return Ok(true); // a place for settings is always there
        }
        self.0.prepare_cached(&format!("SELECT 1 FROM {} WHERE key = ?1", entity.word()))?.exists([key])
    }

    /// Whether a style has a size left.
    pub(super) fn has_sizes(&self, style: &str) -> rusqlite::Result<bool> {
        self.0.prepare_cached("SELECT 1 FROM sku WHERE style = ?1 LIMIT 1")?.exists([style])
    }

    /// Whether a row holds a value in any column that `counts`.
    pub(super) fn has_values(
        &self,
        entity: Entity,
        key: &str,
        counts: impl Fn(&str) -> bool,
    ) -> rusqlite::Result<bool> {
        let mut statement = self.0.prepare_cached(&statements(entity).row)?;
        let mut rows = statement.query([key])?;
        let Some(row) = rows.next()? else { return Ok(false) };
        for (at, column) in entity.columns().iter().enumerate() {
            if counts(column.key) && row.get_ref(at + 1)? != ValueRef::Null {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Notes whether a cell is set by hand, so that sheets leave it alone.
    pub(super) fn mark_by_hand(
        &self,
        entity: Entity,
        key: &str,
        column: &str,
        by_hand: bool,
    ) -> rusqlite::Result<()> {
        let sql = if by_hand {
            "INSERT OR IGNORE INTO by_hand (entity, key, \"column\") VALUES (?1, ?2, ?3)"
        } else {
            "DELETE FROM by_hand WHERE entity = ?1 AND key = ?2 AND \"column\" = ?3"
        };
        self.0.prepare_cached(sql)?.execute([entity.word(), key, column]).map(|_| ())
    }

    /// Whether a person has set a cell.
    pub(super) fn is_by_hand(&self, entity: Entity, key: &str, column: &str) -> rusqlite::Result<bool> {
        let sql = "SELECT 1 FROM by_hand WHERE entity = ?1 AND key = ?2 AND \"column\" = ?3";
        self.0.prepare_cached(sql)?.exists([entity.word(), key, column])
    }

    /// Writes a new row with all its cells at once.
    pub(super) fn insert(&self, change: &RowChange, supplier: &str) -> rusqlite::Result<()> {
        let beside = if change.entity == Entity::Style { supplier } else { &change.style };
        let cell = |column: &'static Column| change.cells.iter().find(|cell| cell.column.is(column));
        let mut statement = self.0.prepare_cached(&statements(change.entity).insert)?;
        statement.raw_bind_parameter(1, &*change.key)?;
        statement.raw_bind_parameter(2, beside)?;
        for (at, column) in (3..).zip(change.entity.columns()) {
            statement.raw_bind_parameter(at, cell(column).and_then(|cell| cell.after.as_ref()))?;
        }
        statement.raw_execute()?;
        Ok(())
    }

    /// Writes an empty row.
    pub(super) fn insert_empty(&self, entity: Entity, key: &str, beside: &str) -> rusqlite::Result<()> {
        let sql = format!("INSERT INTO {} (key, {}) VALUES (?1, ?2)", entity.word(), belongs(entity));
        self.0.prepare_cached(&sql)?.execute([key, beside]).map(|_| ())
    }

    /// Removes a row.
    pub(super) fn remove(&self, entity: Entity, key: &str) -> rusqlite::Result<()> {
        let sql = format!("DELETE FROM {} WHERE key = ?1", entity.word());
        self.0.prepare_cached(&sql)?.execute([key]).map(|_| ())
    }

    /// Writes one cell.
    pub(super) fn set(
        &self,
        entity: Entity,
        key: &str,
        column: &str,
        value: Option<&Value>,
    ) -> rusqlite::Result<()> {
        if entity == Entity::Setting {
            return self.set_setting(key, column, value);
        }
        let Some(at) = entity.position(column) else { return Ok(()) };
        self.0.prepare_cached(&statements(entity).set[at])?.execute(params![value, key]).map(|_| ())
    }

    fn set_setting(&self, key: &str, column: &str, value: Option<&Value>) -> rusqlite::Result<()> {
        let Some(value) = value else {
            let sql = "DELETE FROM setting WHERE key = ?1 AND \"column\" = ?2";
            return self.0.prepare_cached(sql)?.execute([key, column]).map(|_| ());
        };
        let sql = "INSERT INTO setting (key, \"column\", value) VALUES (?1, ?2, ?3)
            ON CONFLICT (key, \"column\") DO UPDATE SET value = excluded.value";
        self.0.prepare_cached(sql)?.execute(params![key, column, value]).map(|_| ())
    }

    /// The styles and sizes of the supplier that a full sheet does not list. A sheet that lists no sizes says nothing
    /// of any.
    pub(super) fn missing(&self, drafts: &Drafts) -> Result<LeftOut, StoreError> {
        let styles: HashSet<&str> = drafts.rows.iter().map(|row| row.style.key.as_str()).collect();
        let sizes: HashSet<&str> =
            drafts.rows.iter().flat_map(|row| drafts.skus_of(row)).map(|sku| sku.key.as_str()).collect();
        let sql = "SELECT key FROM style WHERE supplier = ?1 ORDER BY key";
        let styles = self.not_in(sql, &drafts.reading.supplier, &styles)?;
        if sizes.is_empty() {
            return Ok(LeftOut { styles, sizes: Vec::new() });
        }
        let sql = "SELECT sku.key FROM sku JOIN style ON style.key = sku.style WHERE style.supplier = ?1
            ORDER BY sku.key";
        Ok(LeftOut { styles, sizes: self.not_in(sql, &drafts.reading.supplier, &sizes)? })
    }

    fn not_in(&self, sql: &str, supplier: &str, listed: &HashSet<&str>) -> rusqlite::Result<Vec<String>> {
        let mut statement = self.0.prepare_cached(sql)?;
        let keys = statement.query_map([supplier], |row| row.get::<_, String>(0))?;
        keys.filter(|key| key.as_ref().map_or(true, |key| !listed.contains(key.as_str()))).collect()
    }
}
