//! How long a sheet takes from file to searchable, beside SQLite alone storing the same tables and ledger rows.
//!
//! `cargo bench --bench import` prints a table. Both sides write with the same durability into a fresh folder.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};
use indexer::snapshot::Snapshot;
use indexer::store::{DataDir, Signed};
use indexer::words::Words;
use rusqlite::{Connection, params_from_iter};

const ROWS: usize = 5_000;
const RUNS: usize = 7;

fn main() {
    let sheet = sheet();
    let (mut ours, mut understood, mut published, mut peers) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let folder = tempfile::tempdir().unwrap();
        let took = import(folder.path(), &sheet);
        ours.push(took.understood + took.applied);
        understood.push(took.understood);
        published.push(took.published);
        peers.push(sqlite_alone(folder.path()));
    }
    let peer = median(&mut peers);
    println!("| {ROWS} rows of stock, median of {RUNS} | ms | against SQLite alone |");
    println!("|---|---|---|");
    row("file to searchable", median(&mut ours), peer);
    row("of this: read in the child process, mapped and proposed", median(&mut understood), peer);
    row("of this, about: loaded and published", median(&mut published), peer);
    row("SQLite alone: the same tables and ledger rows", peer, peer);
}

fn row(what: &str, took: Duration, peer: Duration) {
    println!(
        "| {what} | {:.0} | {:.2}x |",
        took.as_secs_f64() * 1e3,
        took.as_secs_f64() / peer.as_secs_f64()
    );
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// A stock sheet of invented styles, a row a size.
fn sheet() -> Vec<u8> {
    let mut csv =
        "Maker,Style number,Style name,Colour,Size system,Size,Width,Qty,Price EUR,Place\n".to_owned();
    for row in 0..ROWS {
        let (style, size) = (row / 20, 38.0 + (row % 20) as f64 / 2.0);
        writeln!(
            csv,
            "Fennick,B-{style},Bench {style},Ochre,EU,{size},D,{},{}.90,C{}",
            row % 7,
            90 + style % 80,
            style % 9
        )
        .unwrap();
    }
    csv.into_bytes()
}

/// What the parts of an import took.
struct Took {
    understood: Duration,
    applied: Duration,
    published: Duration,
}

/// From the file's bytes to a published snapshot; then once more what publishing takes by itself.
fn import(folder: &std::path::Path, sheet: &[u8]) -> Took {
    let reader = SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    let shop = Shop::open(&DataDir::new(folder.join("ours")), reader).unwrap();
    let begun = Instant::now();
    let understood = shop.understand("bench.csv", sheet.to_vec(), &Told::default()).unwrap();
    let read = begun.elapsed();
    let begun = Instant::now();
    let by = Signed { actor: "bench".to_owned(), at: 0, key: "bench".to_owned() };
    shop.apply(&understood, &by).unwrap();
    let applied = begun.elapsed();
    assert_eq!(shop.snapshot().skus().len(), ROWS);
    let begun = Instant::now();
    let loaded = shop.ask(|store| store.load()).unwrap();
    let words = Words::open_or_build(None, &loaded).unwrap();
    drop(Snapshot::build(loaded, words));
    Took { understood: read, applied, published: begun.elapsed() }
}

/// The rows that our import leaves, written again by prepared statements in one transaction.
fn sqlite_alone(folder: &std::path::Path) -> Duration {
    let ours = Connection::open(folder.join("ours/catalogue.sqlite")).unwrap();
    let tables = ["original", "change", "style", "sku", "cell_change"].map(|table| rows_of(&ours, table));
    let alone = Connection::open(folder.join("alone.sqlite")).unwrap();
    alone.pragma_update(None, "journal_mode", "WAL").unwrap();
    alone.pragma_update(None, "synchronous", "FULL").unwrap();
    alone.execute_batch(include_str!("../../indexer/src/store/schema.sql")).unwrap();
    let begun = Instant::now();
    let transaction = alone.unchecked_transaction().unwrap();
    for (sql, rows) in &tables {
        let mut insert = transaction.prepare(sql).unwrap();
        for row in rows {
            insert.execute(params_from_iter(row)).unwrap();
        }
    }
    transaction.commit().unwrap();
    begun.elapsed()
}

type Rows = Vec<Vec<rusqlite::types::Value>>;

fn rows_of(connection: &Connection, table: &str) -> (String, Rows) {
    let mut select = connection.prepare(&format!("SELECT * FROM {table}")).unwrap();
    let columns = select.column_count();
    let rows = select.query_map([], |row| (0..columns).map(|at| row.get(at)).collect()).unwrap();
    let rows = rows.collect::<Result<Rows, _>>().unwrap();
    (format!("INSERT INTO {table} VALUES ({})", vec!["?"; columns].join(", ")), rows)
}
