//! Sums by which a tipped bit is found: of each table the sum of the hashes of its rows.
//!
//! A sum, not a hash over the whole: a row that comes, changes or goes adds or takes away its own hash, so that a little
//! change of a large catalogue costs what it writes, not what the catalogue holds. Triggers of this connection alone feed
//! the sums, whatever code writes; nothing of them is in the file. The tables of lines, which are only appended to and take
//! most rows of an import, have none: the lines that came are read at the end of the transaction, which takes half as long.
//! It is a guard against decay, not against a forger.

use std::cell::Cell;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use rusqlite::functions::{Context, FunctionFlags};
use rusqlite::types::{Null, ValueRef};
use rusqlite::{Connection, OptionalExtension, Row, params};
use sha2::{Digest, Sha256};

use super::ChangeId;

/// The tables that are summed; `digest` holds the sums, and is held against them.
pub(super) const TABLES: [&str; 12] = [
    "change",
    "cell_change",
    "beside_hand",
    "kept",
    "original",
    "style",
    "sku",
    "by_hand",
    "mapping",
    "setting",
    "tally",
    "seal",
];
/// Those that a change writes its lines in, with its number in a column `change`. Their schema refuses to change a line or
/// to take one out, and a line that comes has a higher `id` than those before it.
pub(super) const LINES: [&str; 3] = ["cell_change", "beside_hand", "kept"];
/// Those that pages are made of.
pub(super) const SHOWN: [&str; 4] = ["style", "sku", "by_hand", "setting"];
/// The table of the seals of changes.
const SEAL: &str = "seal";

/// What the rows written since [`Watch::forget`] have added, a table each.
type Added = [u128; TABLES.len()];

/// The sums of what one connection writes.
pub(super) struct Watch {
    added: Arc<Mutex<Added>>,
    lines: Vec<Lines>,
}

/// A table of lines, and up to which `id` they are summed.
struct Lines {
    /// Its place in [`TABLES`].
    table: usize,
    /// Asks for the last `id`.
    last: String,
    /// Asks for the lines behind an `id`.
    later: String,
    summed: Cell<i64>,
}

impl Watch {
    /// Watches what a connection writes from now on.
    pub(super) fn over(connection: &Connection) -> rusqlite::Result<Self> {
        let added = Arc::new(Mutex::new(Added::default()));
        let fed = Arc::clone(&added);
        connection.create_scalar_function("row_sum", -1, FunctionFlags::SQLITE_UTF8, move |row| {
            let sum = sum_of_arguments(row);
            let mut added = fed.lock().unwrap_or_else(PoisonError::into_inner);
            let of = &mut added[row.get::<i64>(0)? as usize];
            *of = if row.get::<bool>(1)? { of.wrapping_add(sum) } else { of.wrapping_sub(sum) };
            Ok(Null)
        })?;
        connection.pragma_update(None, "temp_store", "MEMORY")?;
        let mut lines = Vec::new();
        for (at, table) in TABLES.iter().enumerate() {
            let columns = columns(connection, table)?;
            if LINES.contains(table) {
                lines.push(Lines::of(at, table, &columns));
            } else {
                connection.execute_batch(&triggers(at, table, &columns))?;
            }
        }
        Ok(Self { added, lines })
    }

    /// Forgets, at the beginning of a transaction, what an earlier one wrote: it is sealed, or was rolled back.
    pub(super) fn begin(&self, transaction: &Connection) -> rusqlite::Result<()> {
        *self.added() = Added::default();
        self.lines.iter().try_for_each(|lines| lines.begin(transaction))
    }

    /// Brings the sums in the file up to what was written, at the end of a transaction.
    pub(super) fn keep(&self, transaction: &Connection) -> rusqlite::Result<()> {
        self.add_lines(transaction)?;
        let added = std::mem::take(&mut *self.added());
        for (table, added) in TABLES.iter().zip(added).filter(|(_, added)| *added != 0) {
            let kept = kept_sum(transaction, table)?.unwrap_or_default();
            keep_sum(transaction, table, kept.wrapping_add(added))?;
        }
        Ok(())
    }

    /// Seals a change at the end of its transaction, which wrote lines of this change alone; the hash after it.
    pub(super) fn seal(&self, transaction: &Connection, change: ChangeId) -> rusqlite::Result<[u8; 16]> {
        self.add_lines(transaction)?;
        let added = *self.added();
        let of_lines = TABLES.iter().zip(added).filter(|(table, _)| LINES.contains(table));
        let lines = of_lines.fold(0_u128, |sum, (_, added)| sum.wrapping_add(added));
        self.keep(transaction)?;
        let state = state(transaction)?;
        seal(transaction, change, lines, Some(state))?;
        self.keep(transaction)?;
        Ok(state)
    }

    fn add_lines(&self, transaction: &Connection) -> rusqlite::Result<()> {
        for lines in &self.lines {
            let sum = lines.sum_of_later(transaction)?;
            let of = &mut self.added()[lines.table];
            *of = of.wrapping_add(sum);
        }
        Ok(())
    }

    fn added(&self) -> MutexGuard<'_, Added> {
        self.added.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Lines {
    fn of(at: usize, table: &str, columns: &[String]) -> Self {
        Self {
            table: at,
            last: format!("SELECT coalesce(max(id), 0) FROM \"{table}\""),
            later: format!("SELECT {}, id FROM \"{table}\" WHERE id > ?1 ORDER BY id", list("", columns)),
            summed: Cell::default(),
        }
    }

    fn begin(&self, transaction: &Connection) -> rusqlite::Result<()> {
        self.summed.set(transaction.prepare_cached(&self.last)?.query_row([], |row| row.get(0))?);
        Ok(())
    }

    /// The sum over the lines behind those that were summed before.
    fn sum_of_later(&self, transaction: &Connection) -> rusqlite::Result<u128> {
        let mut later = transaction.prepare_cached(&self.later)?;
        let columns = later.column_count() - 1;
        let mut lines = later.query([self.summed.get()])?;
        let mut sum = 0_u128;
        while let Some(line) = lines.next()? {
            sum = sum.wrapping_add(sum_of_cells(line, columns)?);
            self.summed.set(line.get(columns)?);
        }
        Ok(sum)
    }
}

/// Sums everything anew and seals what was never sealed: the last step of a migration, which may have added columns.
pub(super) fn begin_anew(transaction: &Connection) -> rusqlite::Result<()> {
    let sql = "SELECT id FROM change WHERE id NOT IN (SELECT change FROM seal) ORDER BY id";
    let unsealed: Vec<i64> =
        transaction.prepare(sql)?.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    let lines = line_sums(transaction)?;
    for change in unsealed {
        let lines = lines.get(&change).copied().unwrap_or_default();
        seal(transaction, ChangeId(change), lines, None)?;
    }
    // Columns that a step has added change the sums of the lines of all changes.
    for (change, lines) in lines {
        let sql = "UPDATE seal SET lines_sum = ?2 WHERE change = ?1";
        transaction.prepare_cached(sql)?.execute(params![change, lines.to_be_bytes()])?;
    }
    for table in TABLES {
        keep_sum(transaction, table, table_sum(transaction, table)?)?;
    }
    Ok(())
}

/// The sum over the rows of a table as they stand.
pub(super) fn table_sum(connection: &Connection, table: &str) -> rusqlite::Result<u128> {
    let columns = columns(connection, table)?;
    let mut statement = connection.prepare(&format!("SELECT {} FROM \"{table}\"", list("", &columns)))?;
    let mut rows = statement.query([])?;
    let mut sum = 0_u128;
    while let Some(row) = rows.next()? {
        sum = sum.wrapping_add(sum_of_cells(row, columns.len())?);
    }
    Ok(sum)
}

/// The hash of the first cells of a row.
fn sum_of_cells(row: &Row<'_>, cells: usize) -> rusqlite::Result<u128> {
    let cells = (0..cells).map(|at| row.get_ref(at)).collect::<Result<Vec<_>, _>>()?;
    Ok(row_sum(cells.into_iter()))
}

/// The sum that was kept of a table.
pub(super) fn kept_sum(connection: &Connection, table: &str) -> rusqlite::Result<Option<u128>> {
    let sql = "SELECT rows_sum FROM digest WHERE \"table\" = ?1";
    connection.prepare_cached(sql)?.query_row([table], |row| row.get(0).map(u128::from_be_bytes)).optional()
}

/// The changes whose lines are not those that were sealed.
pub(super) fn changed_lines(connection: &Connection) -> rusqlite::Result<Vec<ChangeId>> {
    let found = line_sums(connection)?;
    let mut statement = connection.prepare("SELECT change, lines_sum FROM seal ORDER BY change")?;
    let sealed = statement.query_map([], |row| Ok((row.get(0)?, row.get(1).map(u128::from_be_bytes)?)))?;
    let mut sealed = sealed.collect::<rusqlite::Result<std::collections::BTreeMap<i64, u128>>>()?;
    let mut changed: Vec<i64> = Vec::new();
    for (change, lines) in found {
        if sealed.remove(&change) != Some(lines) {
            changed.push(change);
        }
    }
    // What is left wrote no line that can be found.
    changed.extend(sealed.into_iter().filter(|(_, lines)| *lines != 0).map(|(change, _)| change));
    changed.sort_unstable();
    Ok(changed.into_iter().map(ChangeId).collect())
}

/// The hash over all sums but the seals' own.
pub(super) fn state(connection: &Connection) -> rusqlite::Result<[u8; 16]> {
    let mut hash = Sha256::new();
    for table in TABLES.iter().filter(|table| **table != SEAL) {
        hash.update(kept_sum(connection, table)?.unwrap_or_default().to_be_bytes());
    }
    Ok(half(&hash.finalize()))
}

fn line_sums(connection: &Connection) -> rusqlite::Result<std::collections::BTreeMap<i64, u128>> {
    let mut sums = std::collections::BTreeMap::new();
    for table in LINES {
        let columns = columns(connection, table)?;
        let sql = format!("SELECT {}, change FROM \"{table}\"", list("", &columns));
        let mut statement = connection.prepare(&sql)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let sum: &mut u128 = sums.entry(row.get(columns.len())?).or_default();
            *sum = sum.wrapping_add(sum_of_cells(row, columns.len())?);
        }
    }
    Ok(sums)
}

fn seal(
    connection: &Connection,
    change: ChangeId,
    lines: u128,
    state: Option<[u8; 16]>,
) -> rusqlite::Result<()> {
    let sql = "INSERT INTO seal (change, lines_sum, state) VALUES (?1, ?2, ?3)";
    connection.prepare_cached(sql)?.execute(params![change.0, lines.to_be_bytes(), state])?;
    Ok(())
}

fn keep_sum(connection: &Connection, table: &str, sum: u128) -> rusqlite::Result<()> {
    let sql = "INSERT INTO digest (\"table\", rows_sum) VALUES (?1, ?2)
        ON CONFLICT (\"table\") DO UPDATE SET rows_sum = excluded.rows_sum";
    connection.prepare_cached(sql)?.execute(params![table, sum.to_be_bytes()])?;
    Ok(())
}

/// The columns of a table in its own order.
pub(super) fn columns(connection: &Connection, table: &str) -> rusqlite::Result<Vec<String>> {
    let sql = "SELECT name FROM pragma_table_info(?1, 'main') ORDER BY cid";
    connection.prepare_cached(sql)?.query_map([table], |row| row.get(0))?.collect()
}

fn list(before: &str, columns: &[String]) -> String {
    columns.iter().map(|column| format!("{before}\"{column}\"")).collect::<Vec<_>>().join(", ")
}

fn triggers(at: usize, table: &str, columns: &[String]) -> String {
    let (new, old) = (list("NEW.", columns), list("OLD.", columns));
    let (comes, goes) = (format!("row_sum({at}, 1, {new})"), format!("row_sum({at}, 0, {old})"));
    let on = |what: &str, does: &str| {
        let name = format!("watch_{table}_{}", what.to_lowercase());
        format!("CREATE TEMP TRIGGER \"{name}\" AFTER {what} ON main.\"{table}\" BEGIN SELECT {does}; END;")
    };
    [on("INSERT", &comes), on("UPDATE", &format!("{goes}, {comes}")), on("DELETE", &goes)].concat()
}

/// Behind the number of the table and whether the row comes stand its cells.
fn sum_of_arguments(row: &Context<'_>) -> u128 {
    row_sum((2..row.len()).map(|at| row.get_raw(at)))
}

/// The hash of a row: kind, length and bytes of each cell.
fn row_sum<'v>(cells: impl Iterator<Item = ValueRef<'v>>) -> u128 {
    let mut hash = Sha256::new();
    for cell in cells {
        match cell {
            ValueRef::Null => hash.update([0]),
            ValueRef::Integer(value) => {
                hash.update([1]);
                hash.update(value.to_be_bytes());
            }
            ValueRef::Real(value) => {
                hash.update([2]);
                hash.update(value.to_be_bytes());
            }
            ValueRef::Text(bytes) => long(&mut hash, 3, bytes),
            ValueRef::Blob(bytes) => long(&mut hash, 4, bytes),
        }
    }
    u128::from_be_bytes(half(&hash.finalize()))
}

fn long(hash: &mut Sha256, kind: u8, bytes: &[u8]) {
    hash.update([kind]);
    hash.update((bytes.len() as u64).to_be_bytes());
    hash.update(bytes);
}

fn half(hash: &[u8]) -> [u8; 16] {
    let mut half = [0; 16];
    half.copy_from_slice(&hash[..16]);
    half
}

#[cfg(test)]
mod tests {
    use super::super::Store;
    use super::super::tests::filled;
    use super::*;

    /// A line a change, in the tables that a simple shop leaves empty.
    const LINES_BY_HAND: [&str; 2] = [
        "INSERT INTO kept (change, entity, key, \"column\") SELECT id, 'sku', 'a', 'size' FROM change",
        "INSERT INTO beside_hand (change, entity, key, \"column\", value) SELECT id, 'sku', 'a', 'gtin', 7 FROM change",
    ];

    fn written(store: &mut Store) {
        let write = |transaction: &rusqlite::Transaction<'_>| {
            LINES_BY_HAND.iter().try_for_each(|sql| transaction.execute(sql, []).map(|_| ()))
        };
        store.note(write).unwrap();
    }

    #[test]
    fn lines_are_summed_whatever_statement_wrote_them() {
        let mut store = filled();
        written(&mut store);
        written(&mut store);
        assert_eq!(store.faults().unwrap(), Vec::<String>::new());
        for table in LINES {
            let found = table_sum(&store.connection, table).unwrap();
            assert_eq!(kept_sum(&store.connection, table).unwrap(), Some(found), "{table}");
            assert!(found != 0, "{table} has lines");
        }
    }

    #[test]
    fn lines_that_were_rolled_back_are_not_summed() {
        let mut store = filled();
        let refused = store.note(|transaction| {
            transaction.execute(LINES_BY_HAND[0], [])?;
            transaction.execute("INSERT INTO nowhere VALUES (1)", []).map(|_| ())
        });
        assert!(refused.is_err());
        assert_eq!(store.faults().unwrap(), Vec::<String>::new());
        written(&mut store);
        assert_eq!(store.faults().unwrap(), Vec::<String>::new());
    }

    #[test]
    fn a_line_written_beside_the_one_door_is_found_also_after_the_next_change() {
        let mut store = filled();
        store.connection.execute(LINES_BY_HAND[0], []).unwrap();
        written(&mut store);
        let faults = store.faults().unwrap();
        assert_eq!(faults[0], "the table kept is not as it was written");
        assert!(!faults.contains(&"the table beside_hand is not as it was written".to_owned()), "{faults:?}");
    }

    #[test]
    fn every_change_is_sealed_with_the_lines_it_wrote() {
        let store = filled();
        let sums = line_sums(&store.connection).unwrap();
        assert!(sums.len() > 1 && sums.values().all(|sum| *sum != 0), "{sums:?}");
        assert_eq!(changed_lines(&store.connection).unwrap(), []);
    }

    #[test]
    fn a_line_can_neither_be_changed_nor_taken_out_so_that_only_those_that_came_are_read() {
        let mut store = filled();
        written(&mut store);
        for table in LINES {
            for sql in [format!("UPDATE {table} SET key = key"), format!("DELETE FROM {table}")] {
                let refused = store.connection.execute(&sql, []).unwrap_err().to_string();
                assert!(refused.contains("only appended to"), "{sql}: {refused}");
            }
            let sql = format!("SELECT count(*) FROM {table} WHERE id <> rowid");
            let others: i64 = store.connection.query_row(&sql, [], |row| row.get(0)).unwrap();
            assert_eq!(others, 0, "{table} is numbered as its lines came");
        }
    }
}
