//! What is counted while the server runs, in the text that Prometheus reads.
//!
//! One process has one set of numbers, so it stands in statics. Every label is one of a bounded set of words of ours:
//! nothing that anybody types becomes a label.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use tracing::Level;

pub mod histogram;
pub mod text;

use histogram::Histogram;
use text::{Kind, Text};

use crate::clock::Stopwatch;

/// Bounds of the time of an answer, in microseconds.
const ANSWER: &[u64] = &[
    1_000, 2_500, 5_000, 10_000, 25_000, 50_000, 100_000, 250_000, 500_000, 1_000_000, 2_500_000, 10_000_000,
];
/// Bounds of the time of a search, in microseconds.
const SEARCH: &[u64] =
    &[50, 100, 250, 500, 1_000, 2_500, 5_000, 10_000, 25_000, 50_000, 100_000, 250_000, 1_000_000];

static REQUESTS: Mutex<Requests> = Mutex::new(Requests { answered: BTreeMap::new(), took: BTreeMap::new() });
static SEARCHES: Mutex<Histogram> = Mutex::new(Histogram::of(SEARCH));
static ERRORS: AtomicU64 = AtomicU64::new(0);
static WARNINGS: AtomicU64 = AtomicU64::new(0);

struct Requests {
    /// By route, method and status.
    answered: BTreeMap<(String, &'static str, u16), u64>,
    took: BTreeMap<String, Histogram>,
}

/// What the shop is like at the moment of asking.
#[derive(Clone, Debug, Default)]
pub struct Shop {
    /// Fittings that are open.
    pub open_fittings: usize,
    /// Styles of the catalogue.
    pub styles: usize,
    /// SKUs of the catalogue.
    pub skus: usize,
    /// The number of the last change that searches see.
    pub change: i64,
    /// When a sheet was last imported, seconds since 1970; unknown is left out.
    pub imported: Option<i64>,
    /// Memory in use; unknown is left out.
    pub resident_bytes: Option<u64>,
    /// Whether it may be asked.
    pub ready: bool,
}

/// Counts an answer.
pub fn answered(method: &'static str, route: &str, status: u16, took: Duration) {
    let mut requests = REQUESTS.lock().unwrap_or_else(PoisonError::into_inner);
    *requests.answered.entry((route.to_owned(), method, status)).or_default() += 1;
    requests.took.entry(route.to_owned()).or_insert_with(|| Histogram::of(ANSWER)).add(took);
}

/// Searches, and counts how long that took.
pub fn searched<T>(search: impl FnOnce() -> T) -> T {
    let watch = Stopwatch::begin();
    let found = search();
    SEARCHES.lock().unwrap_or_else(PoisonError::into_inner).add(watch.took());
    found
}

/// Counts a line of the log.
pub fn logged(level: Level) {
    let count = match level {
        Level::ERROR => &ERRORS,
        Level::WARN => &WARNINGS,
        _ => return,
    };
    count.fetch_add(1, Ordering::Relaxed);
}

/// All numbers as text.
pub fn told(shop: &Shop) -> String {
    let mut text = Text::default();
    requests(&mut text);
    text.family("search_duration_seconds", Kind::Histogram, "How long a search of the catalogue took.");
    text.histogram(&[], &SEARCHES.lock().unwrap_or_else(PoisonError::into_inner));
    of_shop(&mut text, shop);
    of_process(&mut text, shop.resident_bytes);
    text.done()
}

fn requests(text: &mut Text) {
    let requests = REQUESTS.lock().unwrap_or_else(PoisonError::into_inner);
    text.family("http_requests_total", Kind::Counter, "Requests answered.");
    for ((route, method, status), count) in &requests.answered {
        let status = status.to_string();
        text.sample(&[("method", method), ("route", route), ("status", &status)], *count);
    }
    text.family("http_request_duration_seconds", Kind::Histogram, "How long an answer took.");
    for (route, took) in &requests.took {
        text.histogram(&[("route", route)], took);
    }
}

fn of_shop(text: &mut Text, shop: &Shop) {
    let gauges = [
        ("fittings_open", "Fittings that are open.", shop.open_fittings as u64),
        ("styles", "Styles in the catalogue.", shop.styles as u64),
        ("skus", "Sizes of styles in the catalogue.", shop.skus as u64),
        ("change_sequence", "The number of the last change that searches see.", shop.change.unsigned_abs()),
        ("ready", "Whether searches and pages are answered: 1 or 0.", shop.ready.into()),
    ];
    for (name, help, value) in gauges {
        text.family(name, Kind::Gauge, help);
        text.sample(&[], value);
    }
    if let Some(at) = shop.imported {
        let help = "When a sheet was last imported, in seconds since 1970.";
        text.family("import_last_success_timestamp_seconds", Kind::Gauge, help);
        text.sample(&[], at.unsigned_abs());
    }
}

fn of_process(text: &mut Text, resident: Option<u64>) {
    text.family("log_events_total", Kind::Counter, "Lines of the log that tell of trouble.");
    for (level, count) in [("error", &ERRORS), ("warn", &WARNINGS)] {
        text.sample(&[("level", level)], count.load(Ordering::Relaxed));
    }
    text.family("build_info", Kind::Gauge, "Always 1; the version stands beside it.");
    text.sample(&[("version", env!("CARGO_PKG_VERSION"))], 1);
    if let Some(bytes) = resident {
        text.family("resident_memory_bytes", Kind::Gauge, "Memory that the server holds.");
        text.sample(&[], bytes);
    }
}

/// The memory that this process holds, where the system tells it.
pub fn resident_bytes() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
    let kilobytes: u64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    Some(kilobytes * 1024)
}
