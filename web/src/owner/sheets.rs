//! The page where sheets are sent in.

use std::sync::Arc;

use indexer::store::RecordedChange;

use crate::pages::sheets::SheetsPage;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::date::minute;
use crate::waiting::WaitingSheet;

/// The page; `most_bytes` is the largest file.
pub fn page(
    waiting: &[(u64, Arc<WaitingSheet>)],
    changes: &[RecordedChange],
    most_bytes: usize,
    supplier: String,
    problems: Vec<Problem>,
) -> SheetsPage {
    let mut suppliers: Vec<String> = changes.iter().filter_map(|change| change.supplier.clone()).collect();
    suppliers.sort_unstable();
    suppliers.dedup();
    SheetsPage {
        action: "/sheets".to_owned(),
        largest: in_words(most_bytes),
        accept: ".csv,.tsv,.txt".to_owned(),
        suppliers,
        supplier,
        problems,
        waiting: table(
            "Sheets that wait for you",
            waiting.iter().map(|(number, sheet)| waits(*number, sheet)),
        ),
        applied: table("The latest sheets taken in", changes.iter().filter_map(applied)),
    }
}

fn table(caption: &str, rows: impl Iterator<Item = Vec<Cell>>) -> Table {
    let heads = [Head::words("Sheet"), Head::words("Supplier"), Head::words("When"), Head::number("Rows")];
    Table { caption: caption.to_owned(), heads: heads.into(), rows: rows.collect() }
}

fn waits(number: u64, sheet: &WaitingSheet) -> Vec<Cell> {
    let reading = &sheet.understood.reading;
    let name = Cell { href: Some(format!("/sheets/{number}")), ..Cell::text(&reading.sheet) };
    vec![
        name,
        Cell::text(&reading.supplier),
        Cell::text(minute(sheet.at.unix_seconds)),
        Cell::text(reading.data_rows.to_string()),
    ]
}

fn applied(change: &RecordedChange) -> Option<Vec<Cell>> {
    let [rows, ..] = change.rows?;
    let text = |text: &Option<String>| Cell::text(text.as_deref().unwrap_or("not said"));
    let name = Cell { href: Some("/changes".to_owned()), ..text(&change.sheet) };
    let mut when = Cell::text(minute(change.at));
    when.below = change.undone.then(|| "taken back".to_owned());
    Some(vec![name, text(&change.supplier), when, Cell::text(rows.to_string())])
}

fn in_words(bytes: usize) -> String {
    const MB: usize = 1024 * 1024;
    if bytes >= MB { format!("{} MB", bytes / MB) } else { format!("{} kB", bytes / 1024) }
}
