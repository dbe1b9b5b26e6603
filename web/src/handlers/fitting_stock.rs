//! The stock in order for a fitting, or the page that says why there is no order.

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use catalogue::flags::Stopped;
use indexer::ranked::NoOrder;
use indexer::snapshot::Group;
use serde::Deserialize;

use super::fitting::{Opened, change, no_words, not_offered, order, read_id, see_other};
use super::frame::fitting_frame;
use crate::app::App;
use crate::pages::fitting_stock::{Announcement, Refresh, Shortlist, StockPage};
use crate::pages::stopped::{FlagUp, StoppedPage};
use crate::parts::Drawn;
use crate::parts::act::Act;
use crate::refusal::Refusal;
use crate::visit::order::Shown;
use crate::visit::rows::Rows;
use crate::visit::{Visit, answers, brief, chips, groups, said, shoe};

/// How much of the list is shown.
#[derive(Deserialize)]
pub struct Shows {
    #[serde(default)]
    all: String,
}

/// The ranked list; with `?all=yes` the whole of it.
pub async fn stock(
    State(state): App,
    Path(id): Path<String>,
    Query(shows): Query<Shows>,
) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let name = opened.fitting.name.to_string();
    let frame = fitting_frame(&state, &opened.snapshot, &opened.id, &name, "Stock in order");
    match order(&state, &visit) {
        Ok(shown) => Ok(list(&visit, &shown, shows.all == "yes").view(&frame)),
        Err(NoOrder::Stopped(stopped)) => Ok(no_order(&visit, &stopped).view(&frame)),
        Err(NoOrder::Words(_)) => Err(no_words()),
    }
}

/// Makes the order anew.
pub async fn refresh(State(state): App, Path(id): Path<String>) -> Result<Response, Refusal> {
    let id = read_id(&id)?;
    change(&state, &id, |fitting| fitting.order = None)?;
    Ok(see_other(&format!("/fittings/{id}")))
}

/// Takes filters off (`drop`) or puts them back (`put_back`); the order is made anew.
pub async fn chips(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let id = read_id(&id)?;
    let posted = answers::posted(&body);
    if let Some((name, key)) = posted.0.iter().find(|(name, key)| !is_chip(name, key)) {
        return Err(not_offered(name, key, "take off or put back a filter that the order shows"));
    }
    change(&state, &id, |fitting| {
        for (name, key) in posted.0 {
            if name == "drop" {
                fitting.removed_chips.insert(key)
            } else {
                fitting.removed_chips.remove(&key)
            };
        }
        fitting.order = None;
    })?;
    Ok(see_other(&format!("/fittings/{id}")))
}

fn is_chip(name: &str, key: &str) -> bool {
    ["drop", "put_back"].contains(&name) && Group::from_key(key).is_some()
}

fn list(visit: &Visit<'_>, shown: &Shown, all: bool) -> StockPage {
    let rows = Rows::of(visit, shown);
    let ranker = &shown.list.ranker;
    StockPage {
        brief: brief::brief(visit, Some(ranker)),
        announcements: announcements(visit, shown),
        chips: chips::chips(visit, &shown.list),
        facets: Vec::new(),
        shortlist: shortlist(visit),
        conflict: said::conflict(visit, ranker),
        aside: groups::aside(&rows),
        groups: if shown.places.is_empty() { Vec::new() } else { groups::groups(&rows, all) },
        without: if shown.places.is_empty() { chips::without(visit, &shown.list) } else { Vec::new() },
        refresh: groups::stale_in_words(shown).map(|say| Refresh {
            say,
            act: Act::Post { action: visit.href("/refresh"), fields: Vec::new() },
        }),
        notes: said::notes(visit, ranker),
    }
}

fn announcements(visit: &Visit<'_>, shown: &Shown) -> Vec<Announcement> {
    said::announcements(visit, &shown.list.ranker).into_iter().chain(chips::taken_off(visit)).collect()
}

fn shortlist(visit: &Visit<'_>) -> Shortlist {
    let cards = visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key));
    let shoes: Vec<_> = cards.map(|card| shoe::link(card.style)).collect();
    let compare = (shoes.len() >= 2).then(|| visit.href("/compare"));
    Shortlist { shoes, compare }
}

pub(super) fn no_order(visit: &Visit<'_>, stopped: &Stopped) -> StoppedPage {
    let flags = stopped.flags.iter().map(|flag| FlagUp {
        say: flag.sign().to_owned(),
        why: flag.why().to_owned(),
        see: flag.see().to_owned(),
    });
    StoppedPage {
        brief: brief::brief(visit, None),
        flags: flags.collect(),
        change_href: visit.href("/runner#pain"),
    }
}
