//! The reply of `count --json`.

use catalogue::stock::Quantity;
use indexer::count::{Count, Found, Held};
use indexer::store::ChangeId;
use serde::Serialize;

/// What a count did or would do.
#[derive(Clone, Debug, Serialize)]
pub struct CountReply {
    place: Option<String>,
    all: Option<&'static str>,
    lines: usize,
    pairs: u64,
    sizes: usize,
    changed: usize,
    none: usize,
    held: usize,
    change: Option<i64>,
    found: Vec<FoundReply>,
    absent: Vec<AbsentReply>,
    problems: Vec<HeldReply>,
}

/// A size that was found.
#[derive(Clone, Debug, Serialize)]
pub struct FoundReply {
    size: String,
    believed: Option<String>,
    counted: u32,
    difference: Option<i64>,
}

/// A size that was not scanned where it is believed to be.
#[derive(Clone, Debug, Serialize)]
pub struct AbsentReply {
    size: String,
    believed: Option<String>,
    becomes: Option<u32>,
}

/// A line that is not counted.
#[derive(Clone, Debug, Serialize)]
pub struct HeldReply {
    line: usize,
    text: String,
    code: &'static str,
    say: String,
}

impl CountReply {
    /// The reply of a count, and of the change that was made of it, if any.
    pub fn of(count: &Count, change: Option<ChangeId>) -> Self {
        let becomes = count.empties().then_some(0);
        Self {
            place: count.place.clone(),
            all: Some(count.scope.word()).filter(|word| *word != "listed"),
            lines: count.lines,
            pairs: count.pairs(),
            sizes: count.found.len(),
            changed: count.found.iter().filter(|found| found.changes()).count(),
            none: if count.empties() { count.absent.len() } else { 0 },
            held: count.held.len(),
            change: change.map(|change| change.0),
            found: count.found.iter().map(FoundReply::of).collect(),
            absent: count
                .absent
                .iter()
                .map(|sku| AbsentReply {
                    size: sku.key().to_string(),
                    believed: believed(sku.quantity),
                    becomes,
                })
                .collect(),
            problems: count.held.iter().map(HeldReply::of).collect(),
        }
    }
}

impl FoundReply {
    fn of(found: &Found) -> Self {
        Self {
            size: found.sku.key().to_string(),
            believed: believed(found.sku.quantity),
            counted: found.pairs,
            difference: found.difference(),
        }
    }
}

impl HeldReply {
    fn of(held: &Held) -> Self {
        Self { line: held.line, text: held.text.clone(), code: held.why.word(), say: held.why.to_string() }
    }
}

/// As a sheet writes it: `3`, `10+`, `x` for some.
fn believed(quantity: Option<Quantity>) -> Option<String> {
    quantity.map(|quantity| match quantity {
        Quantity::Some => "x".to_owned(),
        other => other.to_string(),
    })
}
