//! The desk: open fittings, and how much stock there is.

use std::time::Instant;

use indexer::snapshot::Snapshot;

use crate::fittings::OpenFitting;
use crate::pages::desk::{DeskPage, OpenFitting as Line};
use crate::parts::act::Act;

/// The desk as it is at `now`.
pub fn page(fittings: &[OpenFitting], snapshot: &Snapshot, age: &str, now: Instant) -> DeskPage {
    let styles = snapshot.styles().iter().filter(|style| !style.retired).count();
    let pairs: u64 =
        snapshot.skus().iter().filter_map(|sku| sku.quantity).map(|q| u64::from(q.counted())).sum();
    DeskPage {
        fittings: fittings.iter().map(|fitting| line(fitting, now)).collect(),
        start: Act::Post { action: "/fittings".to_owned(), fields: Vec::new() },
        stock: say!("{styles} styles, {pairs} pairs in stock.", styles, pairs),
        age: format!("{age}."),
        remarks: empty(styles),
    }
}

fn line(fitting: &OpenFitting, now: Instant) -> Line {
    let minutes = now.saturating_duration_since(fitting.opened).as_secs() / 60;
    Line {
        name: fitting.name.to_string(),
        href: format!("/fittings/{}", fitting.id),
        colour: fitting.name.colour(),
        state: String::new(),
        since: match minutes {
            0 => say!("opened just now").to_owned(),
            minutes => say!("opened {minutes} min ago", minutes),
        },
    }
}

fn empty(styles: usize) -> Vec<String> {
    let say =
        say!("The catalogue is empty: import a supplier's range sheet, then a stock sheet, under Sheets.");
    if styles == 0 { vec![say.to_owned()] } else { Vec::new() }
}
