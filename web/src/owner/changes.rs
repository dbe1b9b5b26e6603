//! The history of the catalogue.

use indexer::store::RecordedChange;

use crate::pages::changes::{Change, ChangesPage};
use crate::parts::act::Act;
use crate::parts::pager::Pager;
use crate::visit::date::minute;

/// The page; `done` says what has just been done.
pub fn page(changes: &[RecordedChange], done: Option<String>) -> ChangesPage {
    ChangesPage {
        done,
        changes: changes.iter().map(line).collect(),
        pager: Pager { page: 1, pages: 1, back: None, on: None },
    }
}

fn line(change: &RecordedChange) -> Change {
    let undo = Act::Post { action: format!("/changes/{}/undo", change.id.0), fields: Vec::new() };
    Change {
        id: change.id.0.to_string(),
        what: what(change),
        when: format!("{}, by {}", minute(change.at), change.actor),
        counts: change.rows.map_or_else(String::new, counts),
        href: None,
        undo: (!change.undone).then_some(undo),
        remark: change.undone.then(|| "taken back".to_owned()),
    }
}

fn what(change: &RecordedChange) -> String {
    match (&change.sheet, &change.supplier, change.undoes) {
        (Some(sheet), Some(supplier), _) => format!("Import of {sheet} from {supplier}"),
        (_, _, Some(undoes)) => format!("Undo of change {}", undoes.0),
        _ => crate::visit::capital(&change.kind),
    }
}

fn counts([rows, new, changed, unchanged, held, missing]: [i64; 6]) -> String {
    let missing = if missing > 0 { format!(", {missing} missing") } else { String::new() };
    format!("{rows} rows: {new} new, {changed} changed, {unchanged} unchanged, {held} held{missing}")
}
