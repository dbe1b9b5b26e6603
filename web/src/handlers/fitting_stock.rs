//! The stock in order for a fitting, or the page that says why there is no order.

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use catalogue::flags::Stopped;
use indexer::ranked::NoOrder;
use indexer::snapshot::Group;

use super::fitting::{Opened, change, no_words, not_offered, open, order, read_id, see_other};
use super::fitting_on_foot::shelf;
use super::frame::fitting_frame;
use crate::app::App;
use crate::fittings::{DrawnFrom, DrawnList, MarkKind};
use crate::pages::fitting_stock::{Announcement, Refresh, Shortlist, StockPage};
use crate::pages::stopped::{FlagUp, StoppedPage};
use crate::parts::Drawn;
use crate::parts::act::Act;
use crate::refusal::Refusal;
use crate::request::shows::Shows;
use crate::shelf::Shelf;
use crate::visit::narrow::Narrowed;
use crate::visit::order::Shown;
use crate::visit::rows::Rows;
use crate::visit::{Visit, answers, brief, chips, groups, narrow, said, shoe, ways};
use crate::words;

/// The ranked list; with `?all=yes` the whole of it.
pub async fn stock(
    State(state): App,
    Path(id): Path<String>,
    Query(shows): Query<Shows>,
) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let frame = fitting_frame(&state, &opened, "Stock in order");
    let (seq, language) = (opened.snapshot.seq(), words::language());
    let from = DrawnFrom { seq, shelf: shelf(&state), language, shows };
    if let Some(drawn) = opened.list.as_deref().filter(|list| list.from == from) {
        return Ok(StockPage::framed(&frame, &drawn.body));
    }
    let visit = opened.visit();
    match order(&state, &visit) {
        Ok(shown) => {
            let narrowed = Narrowed::of(&visit, &shown.list).map_err(|_| no_words())?;
            let body = list(&visit, (&shown, &narrowed), &from.shelf, &from.shows)?.body();
            let page = StockPage::framed(&frame, &body);
            let (now, list) = (state.clock.now().instant, DrawnList { from, body });
            state.fittings.keep(&opened.id, now, opened.revision, list);
            Ok(page)
        }
        Err(NoOrder::Stopped(stopped)) => Ok(no_order(&visit, &stopped).view(&frame)),
        Err(NoOrder::Words(_)) => Err(no_words()),
    }
}

/// Makes the order anew.
pub async fn refresh(State(state): App, Path(id): Path<String>) -> Result<Response, Refusal> {
    let id = read_id(&id)?;
    change(&state, &id, |fitting| {
        fitting.order = None;
        fitting.changed = None;
    })?;
    Ok(see_other(&format!("/fittings/{id}")))
}

/// Takes filters of the runner off (`drop`) or puts them back (`put_back`): the order is made anew. Takes added filters
/// off (`clear`, `all` for all of them): the order stands.
pub async fn chips(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let id = open(&state, &id)?;
    let posted = answers::posted(&body);
    if let Some((name, key)) = posted.0.iter().find(|(name, key)| !is_chip(name, key)) {
        return Err(not_offered(name, key, say!("take off or put back a filter that the order shows")));
    }
    change(&state, &id, |fitting| {
        for (name, key) in posted.0 {
            ways::take_off(fitting, &name, &key);
        }
        fitting.changed = None;
    })?;
    Ok(see_other(&format!("/fittings/{id}")))
}

fn is_chip(name: &str, key: &str) -> bool {
    let is_group = Group::from_key(key).is_some();
    match name {
        "drop" | "put_back" => is_group,
        "clear" => is_group || ["q", "all"].contains(&key),
        _ => false,
    }
}

fn list(
    visit: &Visit<'_>,
    (shown, narrowed): (&Shown, &Narrowed),
    shelf: &Shelf,
    shows: &Shows,
) -> Result<StockPage, Refusal> {
    let rows = Rows::of(visit, shown, narrowed, shelf);
    let left = shown.places.iter().filter(|shoe| rows.left(**shoe).is_some()).count();
    let (ranker, empty) = (&shown.list.ranker, left == 0);
    Ok(StockPage {
        brief: brief::brief(visit, Some(ranker)),
        announcements: announcements(visit, shown),
        chips: chips::chips(visit, &shown.list, narrowed),
        narrowing: narrow::panel(visit, narrowed, shows.narrow == "yes"),
        count: narrow::count_in_words(left, shown.places.len()),
        map: visit.href("/stock-map"),
        shortlist: shortlist(visit),
        conflict: said::conflict(visit, ranker),
        aside: groups::aside(&rows),
        kept: groups::by_hand(&rows, MarkKind::Pinned),
        set_aside: groups::by_hand(&rows, MarkKind::Skipped),
        groups: if empty { Vec::new() } else { groups::groups(&rows, shows.all == "yes") },
        changed: visit.fitting.changed.clone(),
        without: if empty { ways::ways(visit, &shown.list, narrowed) } else { Vec::new() },
        keep_on: if shown.places.is_empty() { ways::keep_on(visit) } else { None },
        order_in: if empty { groups::order_in(&rows).map_err(|_| no_words())? } else { None },
        refresh: groups::stale_in_words(shown).map(|say| Refresh {
            say,
            act: Act::Post { action: visit.href("/refresh"), fields: Vec::new() },
        }),
        notes: said::notes(visit, ranker),
    })
}

fn announcements(visit: &Visit<'_>, shown: &Shown) -> Vec<Announcement> {
    let hold = if shown.places.is_empty() { None } else { ways::hold(visit, &shown.list) };
    let said = said::announcements(visit, &shown.list.ranker).into_iter();
    said.chain(hold).chain(chips::taken_off(visit)).collect()
}

fn shortlist(visit: &Visit<'_>) -> Shortlist {
    let cards = visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key));
    let shoes: Vec<_> = cards.map(|card| shoe::link(card.style)).collect();
    let compare = (shoes.len() >= 2).then(|| visit.href("/compare"));
    Shortlist { shoes, compare }
}

pub(super) fn no_order(visit: &Visit<'_>, stopped: &Stopped) -> StoppedPage {
    let flags = stopped.flags.iter().map(|flag| FlagUp {
        say: words::of(flag.sign()).to_owned(),
        why: words::of(flag.why()).to_owned(),
        see: words::of(flag.see()).to_owned(),
    });
    StoppedPage {
        brief: brief::brief(visit, None),
        flags: flags.collect(),
        change_href: visit.href("/runner#pain"),
    }
}
