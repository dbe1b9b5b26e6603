//! How long a shop takes from nothing to its first answer, beside SQLite reading the same rows; and how long a change of
//! stock takes until searches see it, beside loading the catalogue anew.
//!
//! `cargo bench --bench start` prints both for 5,000 styles and 100,000 SKUs. The files lie in the cache of the system for
//! both sides, and the index of words is whole.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

mod stock_sheet;

use std::path::Path;
use std::time::{Duration, Instant};

use indexer::count::{Count, Scanned, Scope};
use indexer::search::Search;
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};
use indexer::snapshot::Snapshot;
use indexer::store::{DataDir, Signed};
use indexer::words::Words;
use rusqlite::types::Value;
use rusqlite::{Connection, OpenFlags};
use stock_sheet::stock_sheet;

const SKUS: usize = 100_000;
const TIMES: usize = 11;

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let data = DataDir::new(folder.path().join("shop"));
    let shop = Shop::open(&data, reader()).unwrap();
    let understood = shop.understand("bench.csv", stock_sheet(SKUS), &Told::default()).unwrap();
    shop.apply(&understood, &signed("import")).unwrap();
    drop((understood, shop));
    drop(Shop::open(&data, reader()).unwrap());
    start(&data, &folder.path().join("shop/catalogue.sqlite"));
    restock(&Shop::open(&data, reader()).unwrap());
}

fn reader() -> SheetReader {
    SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard())
}

fn signed(key: &str) -> Signed {
    Signed { actor: "bench".to_owned(), at: 0, key: key.to_owned() }
}

/// In turn: a shop opened and asked, and the rows of both tables read by SQLite.
fn start(data: &DataDir, database: &Path) {
    let (mut ours, mut peer) = (Vec::new(), Vec::new());
    for _ in 0..TIMES {
        ours.push(timed(|| {
            let shop = Shop::open(data, reader()).unwrap();
            let found =
                shop.snapshot().search(&Search { words: "bench 7".into(), ..Search::default() }, None);
            assert!(found.unwrap().total > 0);
        }));
        peer.push(timed(|| assert_eq!(rows(database), SKUS + SKUS / 20)));
    }
    let (ours, peer) = (half(ours), half(peer));
    println!("| {SKUS} SKUs, median of {TIMES} | ms | against SQLite |\n|---|---|---|");
    println!("| opened and asked once | {:.0} | {:.2}x |", ms(ours), ms(ours) / ms(peer));
    println!("| SQLite: the rows of styles and sizes read | {:.0} | 1 |\n", ms(peer));
}

/// Reads every value of every row; how many rows.
fn rows(database: &Path) -> usize {
    let connection = Connection::open_with_flags(database, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let read = |table: &str| {
        let mut statement = connection.prepare(&format!("SELECT * FROM {table} ORDER BY key")).unwrap();
        let columns = statement.column_count();
        let mut found = statement.query([]).unwrap();
        let mut held: Vec<Vec<Value>> = Vec::new();
        while let Some(row) = found.next().unwrap() {
            held.push((0..columns).map(|at| row.get(at).unwrap()).collect());
        }
        held.len()
    };
    read("style") + read("sku")
}

/// A count of one size: the whole change with its transaction, and loading the catalogue anew for it.
fn restock(shop: &Shop) {
    let first =
        shop.snapshot().skus().iter().find(|sku| sku.quantity.is_some_and(|q| q.in_stock())).unwrap().key();
    let mut pairs = 1;
    let changed: Vec<Duration> = (0..TIMES)
        .map(|at| {
            pairs += 1;
            let text = format!("{first}\n").repeat(pairs);
            let scanned = Scanned::new(text, "", Scope::Listed).unwrap();
            let count = Count::of(&scanned, &shop.snapshot());
            timed(|| {
                shop.count(&scanned, count.base, &count.digest, &signed(&format!("count {at}"))).unwrap();
            })
        })
        .collect();
    let anew: Vec<Duration> = (0..TIMES)
        .map(|_| {
            timed(|| {
                let loaded = shop.ask(|store| store.load()).unwrap();
                let words = Words::open_or_build(None, &loaded).unwrap();
                drop(Snapshot::build(loaded, words));
            })
        })
        .collect();
    let (changed, anew) = (half(changed), half(anew));
    println!("| a count of one size, median of {TIMES} | ms | against loading anew |\n|---|---|---|");
    println!("| counted, kept and visible | {:.1} | {:.2}x |", ms(changed), ms(changed) / ms(anew));
    println!("| the catalogue loaded, indexed and built anew | {:.1} | 1 |", ms(anew));
}

fn timed(work: impl FnOnce()) -> Duration {
    let begun = Instant::now();
    work();
    begun.elapsed()
}

fn half(mut took: Vec<Duration>) -> Duration {
    took.sort_unstable();
    took[took.len() / 2]
}

fn ms(took: Duration) -> f64 {
    took.as_secs_f64() * 1e3
}
