//! How long a sheet takes from file to searchable, and how much memory, beside SQLite storing the same tables and ledger
//! rows, alone and with its own index of words.
//!
//! `cargo bench --bench import` prints a table for a small and for the largest sheet. Both sides write with the same
//! durability into a fresh folder, by prepared statements in one transaction.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

mod peak;
mod peer;
mod stock_sheet;

use std::time::{Duration, Instant};

use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};
use indexer::snapshot::Snapshot;
use indexer::store::{DataDir, Signed};
use indexer::words::Words;
use peak::{Watched, own_peak};
use stock_sheet::stock_sheet;

/// Rows of the sheet, and how often it is imported. The large one comes first, for a peak never falls
/// again; with its headings it is as large as a sheet may be.
const SIZES: [(usize, usize); 2] = [(199_999, 3), (5_000, 7)];

fn main() {
    for (rows, runs) in SIZES {
        let mut took: Vec<Took> = (0..runs).map(|_| run(rows)).collect();
        let mut of = |part: fn(&Took) -> Duration| {
            took.sort_unstable_by_key(part);
            part(&took[runs / 2])
        };
        let (alone, words) = (of(|took| took.alone), of(|took| took.alone + took.words));
        let ours = of(|took| took.understood + took.applied);
        println!("| {rows} rows of 20 columns, median of {runs} | ms | against SQLite alone | with FTS5 |");
        println!("|---|---|---|---|");
        let row = |what: &str, took: Duration| {
            let against = |peer: Duration| took.as_secs_f64() / peer.as_secs_f64();
            let (ms, alone, words) = (took.as_secs_f64() * 1e3, against(alone), against(words));
            println!("| {what} | {ms:.0} | {alone:.2}x | {words:.2}x |");
        };
        row("file to searchable", ours);
        row("of this: read in the child process, mapped and proposed", of(|took| took.understood));
        row("of this, about: loaded and published", of(|took| took.published));
        row("SQLite alone: the same tables and ledger rows", alone);
        row("SQLite with FTS5: the same texts in its index of words besides", words);
        let (own, child) = (took.iter().map(|t| t.own_kb).min(), took.iter().map(|t| t.child_kb).max());
        println!("\nPeak memory: this process {} MB, child {} MB.\n", mb(own), mb(child));
    }
}

fn mb(kb: Option<u64>) -> u64 {
    kb.unwrap_or(0) / 1000
}

/// What the parts of an import took, and the peers.
struct Took {
    understood: Duration,
    applied: Duration,
    published: Duration,
    alone: Duration,
    words: Duration,
    own_kb: u64,
    child_kb: u64,
}

/// From the file's bytes to a published snapshot; then once more what publishing takes by itself; then the peers.
fn run(rows: usize) -> Took {
    let sheet = stock_sheet(rows);
    let folder = tempfile::tempdir().unwrap();
    let reader = SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    let shop = Shop::open(&DataDir::new(folder.path().join("ours")), reader).unwrap();
    let children = Watched::begin();
    let begun = Instant::now();
    let understood = shop.understand("bench.csv", sheet, &Told::default()).unwrap();
    let read = begun.elapsed();
    let child_kb = children.end();
    let begun = Instant::now();
    let by = Signed { actor: "bench".to_owned(), at: 0, key: "bench".to_owned() };
    shop.apply(&understood, &by).unwrap();
    let applied = begun.elapsed();
    let own_kb = own_peak();
    assert_eq!(shop.snapshot().skus().len(), rows);
    drop(understood);
    let begun = Instant::now();
    let loaded = shop.ask(|store| store.load()).unwrap();
    let words = Words::open_or_build(None, &loaded).unwrap();
    drop(Snapshot::build(loaded, words));
    let published = begun.elapsed();
    drop(shop);
    let (alone, words) = peer::load(folder.path());
    Took { understood: read, applied, published, alone, words, own_kb, child_kb }
}
