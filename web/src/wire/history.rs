//! One change of `history --json`.

use indexer::store::RecordedChange;
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
    undoes: Option<i64>,
    undone: bool,
}

impl ChangeReply {
    /// The reply of a change.
    pub fn of(change: &RecordedChange) -> Self {
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
            undoes: change.undoes.map(|change| change.0),
            undone: change.undone,
        }
    }
}
