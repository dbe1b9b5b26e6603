//! The peer: SQLite, writing the rows that our import has left, and the texts that we index into an index of its own.

use std::path::Path;
use std::time::{Duration, Instant};

use rusqlite::types::Value;
use rusqlite::{Connection, Statement, params_from_iter};

/// Rows held at a time, so that the peer does not fill the memory; reading them is not counted.
const CHUNK: usize = 20_000;

/// What the tables and the ledger take in one transaction, and what the index of words takes besides.
pub(crate) fn load(folder: &Path) -> (Duration, Duration) {
    let ours = Connection::open(folder.join("ours/catalogue.sqlite")).unwrap();
    let peer = Connection::open(folder.join("peer.sqlite")).unwrap();
    peer.pragma_update(None, "journal_mode", "WAL").unwrap();
    peer.pragma_update(None, "synchronous", "FULL").unwrap();
    let schema = "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'";
    let mut schema = ours.prepare(schema).unwrap();
    let schema: Vec<String> = schema.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
    peer.execute_batch(&schema.join(";")).unwrap();
    peer.execute_batch("CREATE VIRTUAL TABLE words USING fts5 (name, number, maker, colourway, notes)")
        .unwrap();
    let transaction = peer.unchecked_transaction().unwrap();
    let mut alone = Duration::ZERO;
    for table in ["original", "change", "style", "sku", "cell_change", "mapping"] {
        alone += copy(&ours, &format!("SELECT * FROM {table}"), &peer, table);
    }
    let texts = "SELECT name, style_number, maker,
        (SELECT group_concat(DISTINCT colourway) FROM sku WHERE sku.style = style.key),
        coalesce(notes, '') || coalesce(shop_note, '') FROM style ORDER BY key";
    let words = copy(&ours, texts, &peer, "words");
    let begun = Instant::now();
    transaction.commit().unwrap();
    (alone + begun.elapsed(), words)
}

/// Copies rows by a prepared statement; the time that writing them takes.
fn copy(from: &Connection, select: &str, to: &Connection, table: &str) -> Duration {
    let mut select = from.prepare(select).unwrap();
    let columns = select.column_count();
    let marks = vec!["?"; columns].join(", ");
    let mut insert = to.prepare(&format!("INSERT INTO {table} VALUES ({marks})")).unwrap();
    let rows = select.query_map([], |row| (0..columns).map(|at| row.get(at)).collect()).unwrap();
    let (mut took, mut chunk) = (Duration::ZERO, Vec::new());
    for row in rows {
        chunk.push(row.unwrap());
        if chunk.len() == CHUNK {
            took += write(&mut insert, &mut chunk);
        }
    }
    took + write(&mut insert, &mut chunk)
}

fn write(insert: &mut Statement<'_>, rows: &mut Vec<Vec<Value>>) -> Duration {
    let begun = Instant::now();
    for row in rows.iter() {
        insert.execute(params_from_iter(row)).unwrap();
    }
    let took = begun.elapsed();
    rows.clear();
    took
}
