//! The sample catalogue: its files, its runners, and points as its replies print them.

use std::path::PathBuf;

use serde_json::Value;

/// The sheets, in the order in which they come.
pub const SHEETS: [&str; 3] = ["range.csv", "stock.csv", "corrections.csv"];

/// The runners, by the names of their files.
pub const RUNNERS: [&str; 8] =
    ["by-feel", "calf-strain", "closed-gate", "conflict", "empty-list", "nothing-first", "race", "stop"];

/// A file of the sample catalogue.
pub fn sample(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../sample-catalogue").join(name)
}

/// The file of a sample runner.
pub fn runner(name: &str) -> PathBuf {
    sample("runners").join(name).with_extension("toml")
}

/// A number with one decimal as whole tenths; fails on a number with more of them.
pub fn tenths(number: &Value) -> i64 {
    let scaled = number.as_f64().unwrap_or_else(|| panic!("{number} is no number")) * 10.0;
    assert!((scaled - scaled.round()).abs() < 1e-6, "{number} has more than one decimal");
    scaled.round() as i64
}
