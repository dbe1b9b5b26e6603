//! The frame around every page: shop, age of the stock, the way through a visit.

use indexer::snapshot::Snapshot;

use super::assets::{icon_href, script_href, style_href};
use super::fitting::Opened;
use crate::access::Access;
use crate::app::AppState;
use crate::fittings::Fitting;
use crate::labels::PLACES;
use crate::parts::layout::{Done, FittingBar, Frame, Present, Step};
use crate::parts::scan_box::ScanBox;
use crate::staff::visitor::{Visitor, visitor};
use crate::words;

/// Stock older than this many seconds is called old: two days.
const OLD_AFTER: i64 = 2 * 24 * 3600;

/// The steps of a visit: label and last part of the address.
const WAY: [(&str, &str); 7] = [
    (word!("Runner"), "/runner"),
    (word!("Stock in order"), ""),
    (word!("On the foot"), "/on-foot"),
    (word!("Compare"), "/compare"),
    (word!("Plan"), "/plan"),
    (word!("Card"), "/card"),
    (word!("Close"), "/close"),
];

/// The frame of a page that knows nothing of the shop: a refusal.
pub fn bare_frame() -> Frame {
    let visitor = visitor();
    Frame {
        shop: "Lastbench".to_owned(),
        stock_age: String::new(),
        stock_is_old: false,
        style_href: style_href(),
        script_href: script_href(),
        icon_href: icon_href(),
        fitting: None,
        here: None,
        places: places(&visitor),
        present: Present { name: visitor.name().map(str::to_owned), staff: visitor.may(Access::Owner) },
        read_only: false,
    }
}

/// The places of whoever looks.
fn places(visitor: &Visitor) -> Vec<(&'static str, &'static str)> {
    let open = PLACES.iter().filter(|(.., access)| visitor.may(*access));
    open.map(|(label, href, _)| (words::of(label), *href)).collect()
}

/// The frame of a page outside a fitting; `here` is its place in the map of the shop.
pub fn frame(state: &AppState, snapshot: &Snapshot, here: Option<&'static str>) -> Frame {
    let now = state.clock.now().unix_seconds;
    let told = snapshot.stock_told();
    Frame {
        stock_age: told
            .map_or_else(|| say!("No stock sheet and no count yet").to_owned(), |told| age(now - told)),
        stock_is_old: told.is_some_and(|told| now - told > OLD_AFTER),
        here,
        read_only: state.shop.is_read_only(),
        ..bare_frame()
    }
}

/// The frame of a page inside a fitting; `present` is the label of the step one is at.
pub(super) fn fitting_frame(state: &AppState, opened: &Opened, present: &str) -> Frame {
    let Opened { id, fitting, snapshot, .. } = opened;
    let step = |(label, part): &(&str, &str)| Step {
        label: words::of(label).to_owned(),
        href: format!("/fittings/{id}{part}"),
        present: *label == present,
        done: done(fitting, part),
    };
    let way = WAY.iter().map(step).collect();
    let scan = Some(ScanBox { action: format!("/fittings/{id}/scan"), focus: false });
    let bar = FittingBar {
        href: format!("/fittings/{id}"),
        name: fitting.name.to_string(),
        colour: fitting.name.colour(),
        scan,
        way,
    };
    Frame { fitting: Some(bar), ..frame(state, snapshot, None) }
}

/// What a step holds already; a step that leaves nothing behind has none.
fn done(fitting: &Fitting, part: &str) -> Option<Done> {
    let some = |count: usize, of: &'static str| (count > 0).then_some(Done { count, of });
    let answers = fitting.answers.0.iter().filter(|(_, said)| !said.is_empty()).count();
    match part {
        "/runner" => some(answers, if answers == 1 { say!("answer") } else { say!("answers") }),
        "" => some(fitting.shortlist.len(), say!("brought out")),
        "/on-foot" => some(fitting.tries.shoes.len(), say!("tried")),
        "/card" => some(usize::from(fitting.chosen.is_some()), say!("chosen")),
        _ => None,
    }
}

/// How old the stock figures are, in words.
fn age(seconds: i64) -> String {
    match seconds {
        ..60 => say!("Stock figures of just now").to_owned(),
        60..3600 => say!("Stock figures {seconds} min old", seconds = seconds / 60),
        3600..86_400 => say!("Stock figures {seconds} h old", seconds = seconds / 3600),
        _ => say!("Stock figures {_400} days old", _400 = seconds / 86_400),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_age_of_the_stock_is_said_in_one_unit() {
        let ages = [0, 61, 7200, 200_000].map(age);
        assert_eq!(
            ages,
            [
                "Stock figures of just now",
                "Stock figures 1 min old",
                "Stock figures 2 h old",
                "Stock figures 2 days old"
            ]
        );
    }
}
