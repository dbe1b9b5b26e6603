//! Invented data that the tests of the pages are rendered with. Makers, models and shop are made up.

mod card;
mod day;
mod fitter;
mod kept;
mod on_foot;
mod owner;
mod reading;
mod scan;
mod settings;
mod shoes;
mod stock_map;
mod why;

use crate::labels::PLACES;
use crate::owner::staff::sign_in_page;
use crate::pages::fitting_stock::StockPage;
use crate::pages::scanner::ScannerPage;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::chips::{Chip, Chips};
use crate::parts::evidence::Evidence;
use crate::parts::facets::{Facet, FacetValue};
use crate::parts::layout::{Frame, Present};
use crate::parts::ranked_row::{RankedRow, RowStep, SizePairs};
use crate::parts::row_mark::RowMark;
use crate::parts::sole_line::{Profile, Scale, SoleLine, Stack};
use crate::words;
pub(crate) use card::card_page;
use catalogue::units::Mm;
pub(crate) use day::day_page;
pub(crate) use fitter::{
    close_page, desk_page, fitting_frame, plan_page, refused_runner_page, runner_page, stock_page,
    stopped_page,
};
pub(crate) use kept::kept_page;
pub(crate) use on_foot::on_foot_page;
pub(crate) use owner::{
    change_page, changes_page, edit_page, sheet_findings_page, sheet_page, sheet_working_page, sheets_page,
    undo_page,
};
pub(crate) use reading::{refusal_page, rules_page, sources_page, unsupported_page};
pub(crate) use scan::{attach_page, scan_page, unknown_scan_page};
pub(crate) use settings::{policy_page, size_charts_page};
pub(crate) use shoes::{compare_page, shoe_page, shoes_page};
pub(crate) use stock_map::stock_map_page;
pub(crate) use why::{why_above_page, why_page};

const F: &str = "/fittings/8c1f";

fn s(text: &str) -> String {
    text.to_owned()
}

fn strings(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| s(text)).collect()
}

pub(crate) fn frame(here: Option<&'static str>) -> Frame {
    Frame {
        shop: s("Lastbench"),
        stock_age: s("Stock figures of this morning, 08:10"),
        stock_is_old: false,
        style_href: s("style.css"),
        script_href: s("lastbench.js"),
        icon_href: s("icon.svg"),
        fitting: None,
        here,
        places: PLACES.iter().map(|(label, href, _)| (words::of(label), *href)).collect(),
        present: Present { name: Some(s("Mara")), staff: true },
        read_only: false,
    }
}

fn stated(mm: i32) -> Stack {
    Stack::Stated(Mm::whole(mm))
}

fn sole(heel: Stack, forefoot: Stack, scale: Scale) -> SoleLine {
    let drop = match (heel.known(), forefoot.known()) {
        (Some(h), Some(f)) => Mm::from_tenths(h.in_tenths() - f.in_tenths()),
        _ => None,
    };
    SoleLine { shoe: Profile { heel, forefoot, drop }, worn: Some(worn()), scale }
}

fn worn() -> Profile {
    Profile { heel: stated(38), forefoot: stated(30), drop: Some(Mm::whole(8)) }
}

pub(crate) fn ranked_row() -> RankedRow {
    row("Fennick", "Marl 3", (stated(36), stated(28)), "same drop, 2 mm lower, 18 g lighter")
}

fn row(maker: &str, name: &str, stacks: (Stack, Stack), deltas: &str) -> RankedRow {
    RankedRow {
        href: s("/shoes/fennick-marl-3"),
        maker: s(maker),
        name: s(name),
        mass: Some(s("262 g")),
        sole: sole(stacks.0, stacks.1, Scale::List),
        deltas: s(deltas),
        reason_for: Some(s("Keeps the heel height the calf is used to.")),
        reason_against: Some(s("Bending not given.")),
        cautions: vec![],
        remarks: strings(&["no plate", "runs short: try the 43 first"]),
        price: Some(s("€ 139")),
        sizes: vec![pairs("42.5", "2"), pairs("43", "1")],
        place: Some(s("bay C4")),
        states: vec![],
        why_href: format!("{F}/why/fennick-marl-3"),
        step: RowStep::BringOut(Act::post(format!("{F}/shortlist"), "style", "fennick-marl-3")),
        mark: RowMark::Can {
            action: format!("{F}/mark"),
            style: s("x.y"),
            reasons: vec![("looks", "Looks")],
        },
        worn: false,
    }
}

fn pairs(label: &str, pairs: &str) -> SizePairs {
    SizePairs { label: s(label), pairs: s(pairs), none: pairs == "0" }
}

fn chips() -> Chips {
    let chip = |label: &str, hides| Chip {
        label: s(label),
        hides: Some(hides),
        remove: Act::post(format!("{F}/chips"), "drop", label),
    };
    Chips {
        chips: vec![chip("road", 41), chip("daily", 23), chip("in 42.5 or 43", 37), chip("under € 160", 6)],
        add: None,
    }
}

fn facet(label: &str, values: &[(&str, usize, bool)]) -> Facet {
    let value = |(label, count, selected): &(&str, usize, bool)| FacetValue {
        label: s(label),
        count: *count,
        selected: *selected,
        id: None,
        toggle: (*count > 0).then(|| Act::Go(s("/shoes"))),
    };
    Facet { label: s(label), values: values.iter().map(value).collect(), open: values.iter().any(|v| v.2) }
}

fn evidence() -> Evidence {
    Evidence {
        grade: s("limited"),
        studied: s("19 runners in one laboratory, no injury outcome"),
        limits: s("Loads in one session, not strains over months."),
        sources: vec![Link::new("L1", "/sources#L1"), Link::new("L6", "/sources#L6")],
    }
}

/// Every page, by name, rendered with the data above.
pub(crate) fn gallery() -> Vec<(&'static str, String)> {
    let pages = [
        ("desk", desk_page().view(&frame(Some("/")))),
        ("shoes", shoes_page().view(&frame(Some("/shoes")))),
        ("shoe", shoe_page().view(&frame(Some("/shoes")))),
        ("runner", runner_page().view(&fitting_frame("Runner"))),
        ("runner-refused", refused_runner_page().view(&fitting_frame("Runner"))),
        ("stock", StockPage::framed(&fitting_frame("Stock in order"), &stock_page().body())),
        ("scan", scan_page().view(&fitting_frame("Stock in order"))),
        ("scan-unknown", unknown_scan_page().view(&frame(Some("/shoes")))),
        ("scan-attach", attach_page().view(&frame(Some("/shoes")))),
        ("scanner", ScannerPage.view(&frame(None))),
        ("stopped", stopped_page().view(&fitting_frame("Stock in order"))),
        ("why", why_page().view(&fitting_frame("Stock in order"))),
        ("why-above", why_above_page().view(&fitting_frame("Stock in order"))),
        ("compare", compare_page().view(&fitting_frame("Compare"))),
        ("stock-map", stock_map_page(false).view(&frame(Some("/stock-map")))),
        ("stock-map-fitting", stock_map_page(true).view(&fitting_frame("Stock in order"))),
        ("plan", plan_page().view(&fitting_frame("Plan"))),
        ("card", card_page().view(&fitting_frame("Card"))),
        ("on-foot", on_foot_page().view(&fitting_frame("On the foot"))),
        ("day", day_page().view(&frame(Some("/day")))),
        ("kept", kept_page().view(&frame(Some("/day")))),
        ("close", close_page().view(&fitting_frame("Close"))),
        ("sheets", sheets_page().view(&frame(Some("/sheets")))),
        ("sheet", sheet_page(false).view(&frame(Some("/sheets")))),
        ("sheet-undecided", sheet_page(true).view(&frame(Some("/sheets")))),
        ("sheet-working", sheet_working_page().view(&frame(Some("/sheets")))),
        ("sheet-findings", sheet_findings_page().view(&frame(Some("/sheets")))),
        ("changes", changes_page().view(&frame(Some("/changes")))),
        ("change", change_page().view(&frame(Some("/changes")))),
        ("undo", undo_page().view(&frame(Some("/changes")))),
        ("edit", edit_page().view(&frame(Some("/shoes")))),
        ("policy", policy_page().view(&frame(Some("/policy")))),
        ("size-charts", size_charts_page().view(&frame(Some("/sheets")))),
        ("rules", rules_page().view(&frame(Some("/rules")))),
        ("unsupported", unsupported_page().view(&frame(Some("/rules")))),
        ("sources", sources_page().view(&frame(Some("/sources")))),
        (
            "sign-in",
            sign_in_page("/", "", Some(s("Name and password do not fit together."))).view(&frame(None)),
        ),
        ("refusal", refusal_page().view(&frame(None))),
    ];
    pages.into_iter().map(|(name, page)| (name, page.into_string())).collect()
}
