//! What reads the world: the catalogue nothing at all, and the time in one file alone.

use crate::none_of;
use crate::tree::sources;

/// Ways to a file, to another process, to the time and to chance.
const WORLD: [&str; 16] = [
    "fs",
    "env",
    "std::io",
    "std::net",
    "std::process",
    "std::thread",
    "std::time",
    "SystemTime",
    "Instant",
    "include_str",
    "include_bytes",
    "rand",
    "getrandom",
    "thread_rng",
    "RandomState",
    "HashMap",
];
/// Who may read the time. The sheet's reader holds a child process to its wall clock; nothing of it is kept.
const CLOCKS: [&str; 2] = ["web/src/clock.rs", "indexer/src/sheet/reader.rs"];
const READINGS: [&str; 4] = ["Instant::now", "SystemTime::now", "Utc::now", "Local::now"];

/// A `HashMap` iterates by chance: the domain sorts, so that an answer is the same twice.
#[test]
fn catalogue_reads_no_file_no_clock_and_no_chance() {
    let mut found = Vec::new();
    for source in sources().iter().filter(|source| source.path.starts_with("catalogue/src/")) {
        let named = WORLD.iter().filter(|way| source.names(way));
        found.extend(named.map(|way| format!("{}: {way}", source.path)));
    }
    none_of(&found, "catalogue is pure: let the caller read it and hand it in");
}

#[test]
fn only_the_clock_reads_the_time() {
    let mut found = Vec::new();
    for source in sources().iter().filter(|s| s.path.contains("/src/") && !CLOCKS.contains(&&*s.path)) {
        let read = READINGS.iter().filter(|reading| source.names(reading));
        found.extend(read.map(|reading| format!("{}: {reading}", source.path)));
        if source.code.contains(".elapsed(") {
            found.push(format!("{}: .elapsed()", source.path));
        }
    }
    none_of(&found, "only web/src/clock.rs reads the time: take a moment as an argument");
}
