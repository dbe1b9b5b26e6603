//! How long rows of text take to become drafts, beside the bare csv reader on the same bytes.
//!
//! `cargo bench --bench reading` prints a table. The sheet has twenty columns, a row a size, all invented.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use indexer::mapping::guess_mapping;
use indexer::reading::{Known, read_rows};
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};

mod stock_sheet;

use stock_sheet::stock_sheet;

const ROWS: usize = 20_000;
const RUNS: usize = 9;

fn main() {
    let bytes = stock_sheet(ROWS);
    let reader =
        || SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    let sheet = std::sync::Arc::new(reader().read("bench.csv", &bytes).unwrap());
    let shop = Shop::in_memory(reader()).unwrap();
    let bare = median(|| bare_csv(&bytes));
    println!(
        "| {ROWS} rows of 20 columns, {} kB, median of {RUNS} | ms | against the bare reader |",
        bytes.len() / 1000
    );
    println!("|---|---|---|");
    row("bare csv reader, text rows", bare, bare);
    row("mapping guessed", median(|| guess_mapping(&sheet, "Bench", None).tabs.len()), bare);
    let mapping = guess_mapping(&sheet, "Bench", None);
    row(
        "rows to drafts",
        median(|| {
            let reading = read_rows(&sheet, &mapping, &Known::default());
            assert_eq!(
                (reading.rows.len(), reading.findings.len()),
                (ROWS, 0),
                "{:?}",
                reading.findings.first()
            );
            reading
        }),
        bare,
    );
    row(
        "child process: bytes to a sheet of text",
        median(|| reader().read("bench.csv", &bytes).unwrap().tabs.len()),
        bare,
    );
    let told = Told::default();
    row(
        "preview: child, mapping, drafts, proposal",
        median(|| shop.understand("bench.csv", bytes.clone(), &told).unwrap().proposal.counts.new),
        bare,
    );
}

fn row(what: &str, took: Duration, peer: Duration) {
    println!(
        "| {what} | {:.2} | {:.1}x |",
        took.as_secs_f64() * 1e3,
        took.as_secs_f64() / peer.as_secs_f64()
    );
}

fn median<T>(mut act: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let begun = Instant::now();
            // What was made is let go after the clock has stopped: it is made to be kept.
            let made = black_box(act());
            let took = begun.elapsed();
            drop(made);
            took
        })
        .collect();
    times.sort_unstable();
    times[RUNS / 2]
}

fn bare_csv(bytes: &[u8]) -> usize {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(bytes);
    let mut record = csv::StringRecord::new();
    let mut cells = 0;
    while reader.read_record(&mut record).unwrap() {
        cells += record.len();
    }
    cells
}
