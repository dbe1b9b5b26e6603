//! One change of `history --json`, and with its values of `history CHANGE --json`.

use indexer::draft::Value;
use indexer::proposal::Missing;
use indexer::sheet::column_letters;
use indexer::store::{Kept, LedgerLine, Receipt, RecordedChange};
use serde::Serialize;

/// A change of the catalogue.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeReply {
    change: i64,
    kind: String,
    actor: String,
    at_unix_seconds: i64,
    supplier: Option<String>,
    sheet: Option<String>,
    rows: Option<i64>,
    new: Option<i64>,
    changed: Option<i64>,
    unchanged: Option<i64>,
    held: Option<i64>,
    missing: Option<i64>,
    missing_policy: Option<&'static str>,
    counted: Option<CountedReply>,
    undoes: Option<i64>,
    undone: bool,
    undone_by: Option<i64>,
}

/// What a count counted.
#[derive(Clone, Copy, Debug, Serialize)]
struct CountedReply {
    sizes: u64,
    changed: u64,
    pairs: u64,
}

impl ChangeReply {
    /// The reply of a change, and of what it counted if it is a count.
    pub fn of(change: &RecordedChange, receipt: Option<&Receipt>) -> Self {
        let count = |at: usize| change.rows.map(|rows| rows[at]);
        Self {
            change: change.id.0,
            kind: change.kind.clone(),
            actor: change.actor.clone(),
            at_unix_seconds: change.at,
            supplier: change.supplier.clone(),
            sheet: change.sheet.clone(),
            rows: count(0),
            new: count(1),
            changed: count(2),
            unchanged: count(3),
            held: count(4),
            missing: count(5),
            missing_policy: change.missing.map(Missing::word),
            counted: receipt.map(|&Receipt { sizes, changed, pairs, .. }| CountedReply {
                sizes,
                changed,
                pairs,
            }),
            undoes: change.undoes.map(|change| change.0),
            undone: change.undone,
            undone_by: change.undone_by.map(|change| change.0),
        }
    }
}

/// A change with its values.
#[derive(Clone, Debug, Serialize)]
pub struct OneChangeReply {
    #[serde(flatten)]
    change: ChangeReply,
    /// How many it wrote; `cells` may hold fewer.
    cell_count: usize,
    cells: Vec<CellReply>,
    kept: Vec<KeptReply>,
}

/// A value that a change wrote: tenths of mm, g and N/mm, minor units of money, 0 and 1, or words.
#[derive(Clone, Debug, Serialize)]
pub struct CellReply {
    entity: &'static str,
    key: String,
    column: String,
    before: Option<Told>,
    after: Option<Told>,
    by_hand: bool,
    sheet: Option<String>,
    tab: Option<String>,
    row: Option<u32>,
    sheet_column: Option<String>,
    text: String,
}

/// What an undo left alone.
#[derive(Clone, Debug, Serialize)]
pub struct KeptReply {
    entity: &'static str,
    key: String,
    column: String,
    later_change: Option<i64>,
}

/// A value as the store keeps it.
#[derive(Clone, Debug, Serialize)]
#[serde(untagged)]
enum Told {
    Number(i64),
    Words(String),
}

impl OneChangeReply {
    /// The reply of a change, of `count` values that it wrote those in `lines`, and of what it left alone.
    pub fn of(change: ChangeReply, lines: &[LedgerLine], count: usize, kept: &[Kept]) -> Self {
        Self {
            change,
            cell_count: count,
            cells: lines.iter().map(CellReply::of).collect(),
            kept: kept.iter().map(KeptReply::of).collect(),
        }
    }
}

impl CellReply {
    fn of(line: &LedgerLine) -> Self {
        let read = line.read.as_ref();
        Self {
            entity: line.entity.word(),
            key: line.key.clone(),
            column: line.column.clone(),
            before: line.before.as_ref().map(Told::of),
            after: line.after.as_ref().map(Told::of),
            by_hand: line.by_hand,
            sheet: read.map(|read| read.sheet.clone()),
            tab: read.and_then(|read| read.tab.clone()),
            row: read.and_then(|read| read.row),
            sheet_column: read.and_then(|read| read.column).map(column_letters),
            text: line.text.clone(),
        }
    }
}

impl KeptReply {
    fn of(kept: &Kept) -> Self {
        Self {
            entity: kept.entity.word(),
            key: kept.key.clone(),
            column: kept.column.clone(),
            later_change: kept.later.map(|change| change.0),
        }
    }
}

impl Told {
    fn of(value: &Value) -> Self {
        match value {
            Value::Int(number) => Self::Number(*number),
            Value::Text(words) => Self::Words(words.to_string()),
        }
    }
}
