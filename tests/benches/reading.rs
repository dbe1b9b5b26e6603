//! How long rows of text take to become drafts, beside the bare csv reader on the same bytes.
//!
//! `cargo bench --bench reading` prints a table. The sheet has twenty columns, a row a size, all invented.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

use std::hint::black_box;
use std::time::Instant;

use indexer::mapping::guess_mapping;
use indexer::reading::{Known, read_rows};
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};

mod stock_sheet;

use stock_sheet::stock_sheet;

const ROWS: usize = 20_000;
const RUNS: usize = 21;

fn main() {
    let bytes = stock_sheet(ROWS);
    let reader =
        || SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    let sheet = std::sync::Arc::new(reader().read("bench.csv", &bytes).unwrap());
    let shop = Shop::in_memory(reader()).unwrap();
    let peer = || bare_csv(&bytes);
    println!(
        "| {ROWS} rows of 20 columns, {} kB, medians of {RUNS} pairs | ms | bare csv reader, ms | ratio |",
        bytes.len() / 1000
    );
    println!("|---|---|---|---|");
    row("mapping guessed", peer, || guess_mapping(&sheet, "Bench", None).tabs.len());
    let mapping = guess_mapping(&sheet, "Bench", None);
    row("rows to drafts", peer, || {
        let reading = read_rows(&sheet, &mapping, &Known::default());
        let (rows, findings) = (reading.rows.len(), reading.findings.len());
        assert_eq!((rows, findings), (ROWS, 0), "{:?}", reading.findings.first());
        reading
    });
    row("child process: bytes to a sheet of text", peer, || {
        reader().read("bench.csv", &bytes).unwrap().tabs.len()
    });
    let told = Told::default();
    row("preview: child, mapping, drafts, proposal", peer, || {
        shop.understand("bench.csv", bytes.clone(), &told).unwrap().proposal.counts.new
    });
}

/// Both in turn, run by run, so that whatever slows the machine for a while slows both; the ratio is the median of those
/// of the pairs.
fn row<T>(what: &str, peer: impl Fn() -> usize, ours: impl Fn() -> T) {
    let pairs: Vec<(f64, f64)> = (0..RUNS).map(|_| (took(&peer), took(&ours))).collect();
    let peer = median(pairs.iter().map(|(peer, _)| *peer));
    let ours = median(pairs.iter().map(|(_, ours)| *ours));
    let ratio = median(pairs.iter().map(|(peer, ours)| ours / peer));
    println!("| {what} | {ours:.2} | {peer:.2} | {ratio:.1}x |");
}

/// In milliseconds. What was made is let go after the clock has stopped: it is made to be kept.
fn took<T>(act: impl Fn() -> T) -> f64 {
    let begun = Instant::now();
    let made = black_box(act());
    let took = begun.elapsed().as_secs_f64() * 1e3;
    drop(made);
    took
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
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
