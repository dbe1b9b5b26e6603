//! The page where sheets are sent in.

use indexer::store::RecordedChange;

use super::sent::Posted;
use crate::pages::sheets::SheetsPage;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::date::minute;
use crate::visit::number_of;
use crate::waiting::{Sent, State};

/// The page; `most_bytes` is the largest file, `now` in seconds since 1970.
pub fn page(
    waiting: &[Sent],
    changes: &[RecordedChange],
    most_bytes: usize,
    now: i64,
    typed: &Posted,
    problems: Vec<Problem>,
) -> SheetsPage {
    let mut suppliers: Vec<String> = changes.iter().filter_map(|change| change.supplier.clone()).collect();
    suppliers.sort_unstable();
    suppliers.dedup();
    let waits = waiting.iter().filter(|sent| !matches!(sent.state, State::Applied(_)));
    SheetsPage {
        action: "/sheets".to_owned(),
        largest: in_words(most_bytes),
        accept: ".csv,.tsv,.txt,.xlsx,.ods".to_owned(),
        suppliers,
        supplier: typed.supplier.clone(),
        full: typed.kind == indexer::mapping::SheetKind::Full,
        pasted: typed.pasted.clone(),
        pasted_name: typed.pasted_name.clone(),
        problems,
        waiting: table(
            say!("Sheets that wait for you"),
            &[say!("Sheet"), say!("Supplier"), say!("Came"), say!("How it stands")],
            waits.map(|sent| waiting_row(sent, now)),
        ),
        applied: table(
            say!("The latest sheets taken in"),
            &[say!("Sheet"), say!("Supplier"), say!("When"), say!("Rows")],
            changes.iter().filter_map(applied),
        ),
    }
}

fn table(caption: &str, heads: &[&str], rows: impl Iterator<Item = Vec<Cell>>) -> Table {
    let heads = heads.iter().map(|head| Head::words(*head)).collect();
    Table { caption: caption.to_owned(), heads, rows: rows.collect() }
}

fn waiting_row(sent: &Sent, now: i64) -> Vec<Cell> {
    let supplier = match (&sent.state, sent.supplier.as_str()) {
        (State::Waits(sheet), _) => sheet.understood.reading.supplier.clone(),
        (_, "") => say!("not said").to_owned(),
        (_, supplier) => supplier.to_owned(),
    };
    vec![
        Cell::text(&sent.name).linked(sent.href()),
        Cell::text(supplier),
        Cell::text(ago(now - sent.at.unix_seconds)),
        Cell::text(stands(sent)),
    ]
}

fn stands(sent: &Sent) -> String {
    match &sent.state {
        State::Reading => say!("is being read").to_owned(),
        State::Unread(_) => say!("cannot be read").to_owned(),
        State::Applying(_) => say!("is being applied").to_owned(),
        State::Applied(change) => say!("applied as change {change}", change = change.0),
        State::Waits(sheet) if sheet.understood.proposal.is_refused() => {
            say!(
                "{data_rows}, something is to be decided",
                data_rows = number_of(sheet.understood.reading.data_rows, say!("row"), say!("rows"))
            )
        }
        State::Waits(sheet) => {
            say!(
                "{data_rows}, ready to be applied",
                data_rows = number_of(sheet.understood.reading.data_rows, say!("row"), say!("rows"))
            )
        }
    }
}

fn ago(seconds: i64) -> String {
    match seconds {
        ..60 => say!("just now").to_owned(),
        60..3_600 => say!("{seconds} min ago", seconds = seconds / 60),
        _ => say!("{_600} h ago", _600 = seconds / 3_600),
    }
}

fn applied(change: &RecordedChange) -> Option<Vec<Cell>> {
    let [rows, ..] = change.rows?;
    let text = |text: &Option<String>| Cell::text(text.as_deref().unwrap_or(say!("not said")));
    let name = Cell { href: Some("/changes".to_owned()), ..text(&change.sheet) };
    let mut when = Cell::text(minute(change.at));
    when.below = change.undone.then(|| say!("taken back").to_owned());
    Some(vec![name, text(&change.supplier), when, Cell::text(rows.to_string())])
}

fn in_words(bytes: usize) -> String {
    const MB: usize = 1024 * 1024;
    if bytes >= MB { format!("{} MB", bytes / MB) } else { format!("{} kB", bytes / 1024) }
}
