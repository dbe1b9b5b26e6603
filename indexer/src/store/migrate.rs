//! The tables, from version to version: each file leads from the version before it to its own.

use rusqlite::{Connection, TransactionBehavior};

use super::{StoreError, digest};
use crate::error::OpenError;

/// What leads to version 1, to version 2, and so on; each sets the version it leads to.
pub(super) const STEPS: [&str; 5] = [
    include_str!("schema.sql"),
    include_str!("schema_2.sql"),
    include_str!("schema_3.sql"),
    include_str!("schema_4.sql"),
    include_str!("schema_5.sql"),
];

/// The version of the tables that this program reads and writes.
pub(super) const VERSION: i64 = STEPS.len() as i64;

/// Brings the tables to this program's version in one transaction; a file of a newer program is refused.
pub(super) fn migrate(connection: &mut Connection) -> Result<(), OpenError> {
    if version(connection)? == VERSION {
        return Ok(());
    }
    let behaviour = TransactionBehavior::Immediate;
    let steps = connection.transaction_with_behavior(behaviour).map_err(StoreError::from)?;
    // Another process may have taken them while this one waited.
    let found = version(&steps)?;
    let done = usize::try_from(found).ok().filter(|done| *done <= STEPS.len());
    let done = done.ok_or(OpenError::Newer { found, known: VERSION })?;
    for step in &STEPS[done..] {
        steps.execute_batch(step).map_err(StoreError::from)?;
    }
    digest::begin_anew(&steps).map_err(StoreError::from)?;
    Ok(steps.commit().map_err(StoreError::from)?)
}

pub(super) fn version(connection: &Connection) -> Result<i64, StoreError> {
    Ok(connection.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

/// Writes a store of an older version with all that `of` holds and that version had a place for.
#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may fail loudly")]
pub(super) fn of_version(wanted: i64, of: &std::path::Path, to: &std::path::Path) {
    let old = Connection::open(to).unwrap();
    STEPS[..wanted as usize].iter().for_each(|step| old.execute_batch(step).unwrap());
    old.execute("ATTACH ?1 AS given", [of.to_str().unwrap()]).unwrap();
    // The table of originals comes behind the changes that name them.
    old.pragma_update(None, "foreign_keys", false).unwrap();
    for table in digest::TABLES {
        let columns = digest::columns(&old, table).unwrap();
        if columns.is_empty() {
            continue;
        }
        let columns = columns.iter().map(|column| format!("\"{column}\"")).collect::<Vec<_>>().join(", ");
        old.execute(&format!("INSERT INTO main.{table} ({columns}) SELECT {columns} FROM given.{table}"), [])
            .unwrap();
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{filled, signed};
    use super::super::{ChangeId, Store};
    use super::*;

    const TABLES: [&str; 7] = ["original", "change", "cell_change", "style", "sku", "by_hand", "mapping"];

    /// A file of version 1 with all that a store of today holds and version 1 had a place for.
    fn of_version_1(store: &Store, path: &std::path::Path) -> Connection {
        let old = Connection::open(path).unwrap();
        old.execute_batch(STEPS[0]).unwrap();
        store.connection.execute("ATTACH ?1 AS old", [path.to_str().unwrap()]).unwrap();
        for table in TABLES {
            let sql =
                format!("SELECT group_concat('\"' || name || '\"') FROM pragma_table_info('{table}', 'old')");
            let columns: String = store.connection.query_row(&sql, [], |row| row.get(0)).unwrap();
            let copy = format!("INSERT INTO old.{table} ({columns}) SELECT {columns} FROM main.{table}");
            store.connection.execute(&copy, []).unwrap();
        }
        store.connection.execute_batch("DETACH old").unwrap();
        old
    }

    #[test]
    fn a_store_of_version_1_opens_keeps_all_it_held_and_can_take_its_changes_back() {
        let folder = tempfile::tempdir().unwrap();
        let store = filled();
        let old = of_version_1(&store, &folder.path().join("old.sqlite"));
        assert_eq!(version(&old).unwrap(), 1);
        let mut opened = Store::over(old).unwrap();
        assert_eq!(version(&opened.connection).unwrap(), VERSION);
        assert_eq!(opened.export_ndjson().unwrap(), store.export_ndjson().unwrap());
        assert_eq!(opened.export_csv().unwrap(), store.export_csv().unwrap());
        assert_eq!(opened.history(9).unwrap(), store.history(9).unwrap());
        assert_eq!(opened.load().unwrap().stock_told, Some(1_000));
        opened.undo(ChangeId(2), &signed("undo")).unwrap();
        assert!(opened.load().unwrap().skus.is_empty());
    }

    #[test]
    fn a_store_of_a_newer_program_is_refused_by_its_version_and_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new.sqlite");
        let newer = Connection::open(&path).unwrap();
        newer.execute_batch("PRAGMA user_version = 7").unwrap();
        let refused = Store::over(newer).err().unwrap().to_string();
        assert!(refused.contains("version 7") && refused.contains(&format!("up to {VERSION}")), "{refused}");
        assert_eq!(version(&Connection::open(&path).unwrap()).unwrap(), 7);
    }

    #[test]
    fn a_step_that_fails_leaves_the_version_before_it() {
        let mut old = Connection::open_in_memory().unwrap();
        old.execute_batch(STEPS[0]).unwrap();
        old.execute_batch("CREATE TABLE kept (id INTEGER)").unwrap();
        assert!(migrate(&mut old).is_err());
        assert_eq!(version(&old).unwrap(), 1);
        let sql = "SELECT count(*) FROM pragma_table_info('cell_change') WHERE name = 'tab'";
        assert_eq!(old.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap(), 0);
    }
}
