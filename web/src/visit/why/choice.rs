//! The other shoes of an order that one can be set beside.

use catalogue::key::StyleKey;

use crate::pages::why::Choice;
use crate::parts::Link;
use crate::parts::control::{Options, Select};
use crate::visit::Visit;
use crate::visit::order::{Shown, is_ranked};
use crate::visit::shoe;

/// The field that names the other shoe, in forms and addresses.
const BESIDE: &str = "beside";

/// The other shoes of the order: the neighbours as links, all of them to be chosen.
pub(super) fn choice(visit: &Visit<'_>, shown: &Shown, key: &StyleKey) -> Choice {
    let hits = &shown.list.results.hits;
    let ranked = shown.places.iter().filter(|shoe| is_ranked(shoe.standing.place));
    let cards = ranked.filter_map(|shoe| visit.snapshot.card(hits.get(shoe.hit)?.row));
    let ranked: Vec<_> = cards.map(|card| card.style).collect();
    let at = ranked.iter().position(|style| style.key == *key);
    let action = visit.href(&format!("/why/{key}"));
    let others: Vec<(String, String)> = ranked
        .iter()
        .enumerate()
        .filter(|(place, _)| Some(*place) != at)
        .map(|(place, style)| (style.key.to_string(), format!("{}. {}", place + 1, shoe::name(style))))
        .collect();
    let neighbour = |place: Option<usize>, side: &str| {
        let style = ranked.get(place?)?;
        Some(Link::new(format!("{}, {side}", shoe::name(style)), format!("{action}?{BESIDE}={}", style.key)))
    };
    let near = match at {
        Some(at) => [
            neighbour(at.checked_sub(1), say!("one place above")),
            neighbour(Some(at + 1), say!("one place below")),
        ],
        None => [neighbour(Some(0), say!("first of the order")), None],
    };
    Choice {
        near: near.into_iter().flatten().collect(),
        others: Select {
            name: BESIDE.to_owned(),
            spoken: Some(say!("Another shoe of this order").to_owned()),
            chosen: String::new(),
            groups: vec![Options { label: String::new(), options: others }],
        },
        action,
    }
}
