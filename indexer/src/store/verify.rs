//! Whether the store is as it was written: SQLite's own checks, the shape of its tables, and the sums over their rows.

use rusqlite::Connection;

use super::digest::{LINES, SHOWN, TABLES, changed_lines, columns, kept_sum, table_sum};
use super::migrate::{STEPS, VERSION, version};
use super::{Store, StoreError};

/// Faults of one kind that are named.
const NAMED: usize = 20;

impl Store {
    /// What is wrong with the file; empty when all of it is as it was written.
    pub fn faults(&self) -> Result<Vec<String>, StoreError> {
        Ok(faults(&self.connection))
    }

    /// What is wrong with the tables that pages are made of: quick enough for every start.
    pub fn faults_shown(&self) -> Vec<String> {
        sums(&self.connection, &SHOWN)
    }
}

/// All that is wrong with a store. What cannot even be asked is a fault too.
pub(super) fn faults(connection: &Connection) -> Vec<String> {
    let mut faults = own_checks(connection);
    faults.extend(shape(connection));
    faults.extend(sums_and_lines(connection, &TABLES));
    faults
}

/// What is wrong with a store of an older program: what SQLite finds, and what the sums say that this program kept, if it
/// kept any. Tables that came later are not there to be asked of.
pub(super) fn older_faults(connection: &Connection) -> Vec<String> {
    let mut faults = own_checks(connection);
    let known = || -> rusqlite::Result<Vec<&str>> {
        if columns(connection, "digest")?.is_empty() {
            return Ok(Vec::new());
        }
        let is_there = |table: &&str| -> rusqlite::Result<bool> {
            Ok(!columns(connection, table)?.is_empty() || kept_sum(connection, table)?.is_some())
        };
        let asked = TABLES.into_iter().map(|table| Ok((table, is_there(&table)?)));
        let asked = asked.collect::<rusqlite::Result<Vec<_>>>()?;
        Ok(asked.into_iter().filter(|(_, is_there)| *is_there).map(|(table, _)| table).collect())
    };
    match known() {
        Ok(tables) => faults.extend(sums_and_lines(connection, &tables)),
        Err(fault) => faults.push(fault.to_string()),
    }
    faults
}

/// The sums of tables, and which changes' lines are others where a table of lines is not as it was.
fn sums_and_lines(connection: &Connection, tables: &[&str]) -> Vec<String> {
    let mut faults = Vec::new();
    let found = sums(connection, tables);
    let lines = LINES.iter().any(|table| found.iter().any(|fault| fault.contains(&named(table))));
    faults.extend(found);
    if lines {
        match changed_lines(connection) {
            Ok(changes) => {
                let named = changes.iter().take(NAMED);
                faults.extend(named.map(|change| format!("the lines of change {} are others", change.0)));
            }
            Err(fault) => faults.push(fault.to_string()),
        }
    }
    faults
}

/// What SQLite finds itself, whatever the version of the tables.
fn own_checks(connection: &Connection) -> Vec<String> {
    let asked = |sql: &str| -> rusqlite::Result<Vec<String>> {
        connection.prepare(sql)?.query_map([], |row| row.get::<_, String>(0))?.collect()
    };
    let mut faults = match asked("PRAGMA integrity_check(20)") {
        Ok(lines) => lines.into_iter().filter(|line| line != "ok").collect(),
        Err(fault) => vec![fault.to_string()],
    };
    match asked("PRAGMA foreign_key_check") {
        Ok(tables) => faults.extend(
            tables.iter().take(NAMED).map(|table| format!("a row of the table {table} belongs to none")),
        ),
        Err(fault) => faults.push(fault.to_string()),
    }
    faults.dedup();
    faults
}

/// Tables, indexes and triggers must be those that this program makes.
fn shape(connection: &Connection) -> Option<String> {
    let of = |connection: &Connection| -> rusqlite::Result<Vec<[Option<String>; 4]>> {
        let sql = "SELECT type, name, tbl_name, sql FROM main.sqlite_schema ORDER BY type, name";
        let read = |row: &rusqlite::Row<'_>| Ok([row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?]);
        connection.prepare(sql)?.query_map([], read)?.collect()
    };
    let made = || -> rusqlite::Result<_> {
        let empty = Connection::open_in_memory()?;
        STEPS.iter().try_for_each(|step| empty.execute_batch(step))?;
        of(&empty)
    };
    match (of(connection), made()) {
        (Ok(found), Ok(made)) if found == made => None,
        (Ok(_), Ok(_)) => Some("the description of the tables is not the one this program makes".to_owned()),
        (Err(fault), _) | (_, Err(fault)) => Some(fault.to_string()),
    }
}

fn sums(connection: &Connection, tables: &[&str]) -> Vec<String> {
    let fault = |table: &&str| match (table_sum(connection, table), kept_sum(connection, table)) {
        (Ok(found), Ok(kept)) if kept == Some(found) => None,
        (Ok(_), Ok(_)) => Some(format!("{} is not as it was written", named(table))),
        (Err(fault), _) | (_, Err(fault)) => Some(format!("{} cannot be read: {fault}", named(table))),
    };
    tables.iter().filter_map(fault).collect()
}

fn named(table: &str) -> String {
    format!("the table {table}")
}

/// All that can be checked of a file of any version up to this program's, as it stands at one moment: a change that is
/// kept meanwhile would be a row that the sums do not know.
pub(super) fn all_faults(connection: &Connection) -> Vec<String> {
    let moment = connection.unchecked_transaction();
    let faults = faults_now(connection);
    drop(moment);
    faults
}

fn faults_now(connection: &Connection) -> Vec<String> {
    match version(connection) {
        Ok(VERSION) => faults(connection),
        Ok(found) if (1..VERSION).contains(&found) => older_faults(connection),
        Ok(found) => vec![format!("its version {found} is none that this program reads (1 to {VERSION})")],
        Err(fault) => vec![fault.to_string()],
    }
}
