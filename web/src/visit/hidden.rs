//! Which filters hide a shoe from the list of a fitting: each is asked alone.

use indexer::search::{Counts, Search};
use indexer::snapshot::{Group, StyleCard};

use super::narrow::{self, Narrowed, WORDS};
use super::order::Shown;
use super::{Visit, capital, chips, listed};
use crate::pages::fitting_stock::Way;
use crate::parts::act::Act;
use crate::words;

/// A filter of the list, as it can be taken off.
struct Filter {
    label: String,
    field: (String, String),
    alone: Search,
    of_pairs: bool,
}

/// What hides a shoe and the way to take it off; `None` when the list shows it.
pub fn from_list(
    visit: &Visit<'_>,
    shown: &Shown,
    narrowed: &Narrowed,
    card: &StyleCard<'_>,
) -> Option<(String, Option<Way>)> {
    let hits = &shown.list.results.hits;
    let in_order = shown.places.iter().any(|shoe| hits.get(shoe.hit).is_some_and(|hit| hit.row == card.row));
    match narrowed.hit(card.row) {
        _ if card.style.retired => {
            Some((say!("No longer supplied: it stands in no order.").to_owned(), None))
        }
        Some(_) if in_order => None,
        Some(_) => {
            let act = Act::Post { action: visit.href("/refresh"), fields: Vec::new() };
            let say = say!("It came in after this order was made.").to_owned();
            Some((say, Some(Way { label: say!("Refresh the order").to_owned(), act })))
        }
        None => Some(by_filters(visit, shown, narrowed, card)),
    }
}

fn by_filters(
    visit: &Visit<'_>,
    shown: &Shown,
    narrowed: &Narrowed,
    card: &StyleCard<'_>,
) -> (String, Option<Way>) {
    let filters = filters(visit, shown, narrowed);
    let (alone, others): (Vec<&Filter>, Vec<&Filter>) =
        filters.iter().partition(|filter| !lets_in(visit, &filter.alone, card));
    // Filters that each let the shoe in may ask for different pairs of it.
    let of_pairs: Vec<&Filter> = others.into_iter().filter(|filter| filter.of_pairs).collect();
    let together = if lets_in(visit, &all(&of_pairs), card) { Vec::new() } else { of_pairs };
    let parts = [(say!("hidden by"), &alone), (say!("no one pair passes all of"), &together)];
    let parts = parts.into_iter().filter(|(_, filters)| !filters.is_empty());
    let parts: Vec<String> =
        parts.map(|(say, filters)| format!("{say} {}", listed(&labels(filters), say!("and")))).collect();
    let hiding = [alone, together].concat();
    let fields = hiding.iter().map(|filter| filter.field.clone()).collect();
    let label = match hiding.as_slice() {
        [only] => say!("Take off “{only}”", only = only.label),
        _ => say!("Take them off").to_owned(),
    };
    let act = Act::Post { action: visit.href("/chips"), fields };
    (format!("{}.", capital(&parts.join("; "))), Some(Way { label, act }))
}

fn labels(filters: &[&Filter]) -> Vec<String> {
    filters.iter().map(|filter| words::quoted(&filter.label)).collect()
}

/// All of these filters at once. Of one group may be two, the runner's and an added one: these stand in two layers.
fn all(filters: &[&Filter]) -> Search {
    let mut all = Search { counts: Counts::None, ..Search::default() };
    for filter in filters {
        let Search { choices, ranges, feet, .. } = filter.alone.clone();
        if filter.field.0 == "drop" {
            all.within.choices.extend(choices);
            all.within.ranges.extend(ranges);
            all.within.feet.extend(feet);
        } else {
            all.choices.extend(choices);
            all.ranges.extend(ranges);
        }
    }
    all
}

fn lets_in(visit: &Visit<'_>, alone: &Search, card: &StyleCard<'_>) -> bool {
    let found = visit.snapshot.search(alone, None);
    found.is_ok_and(|found| found.hits.iter().any(|hit| hit.row == card.row))
}

/// Every filter in force, each as a search of its own.
fn filters(visit: &Visit<'_>, shown: &Shown, narrowed: &Narrowed) -> Vec<Filter> {
    let field = |name: &str, key: &str| (name.to_owned(), key.to_owned());
    let preset = chips::in_force(&shown.list.search).into_iter().map(|group| Filter {
        label: chips::label(visit, group),
        field: field("drop", group.key()),
        alone: only(&shown.list.search, group),
        of_pairs: is_of_pairs(group),
    });
    let search = visit.fitting.added.search();
    let added = narrowed.results.hidden.iter().map(|(group, _)| Filter {
        label: narrow::said(visit, narrowed, *group),
        field: field("clear", group.key()),
        alone: only(&search, *group),
        of_pairs: is_of_pairs(*group),
    });
    let words = narrowed.hidden_by_words.map(|_| Filter {
        label: narrow::words(visit),
        field: field("clear", WORDS),
        alone: Search { words: search.words.clone(), counts: Counts::None, ..Search::default() },
        of_pairs: false,
    });
    preset.chain(added).chain(words).collect()
}

const fn is_of_pairs(group: Group) -> bool {
    matches!(group, Group::Size | Group::Width | Group::Stock | Group::Price)
}

fn only(search: &Search, group: Group) -> Search {
    let mut alone = Search { counts: Counts::None, ..Search::default() };
    alone.choices.extend(search.choices.get(&group).map(|choice| (group, choice.clone())));
    alone.ranges.extend(search.ranges.get(&group).map(|range| (group, *range)));
    if group == Group::Size {
        alone.feet.clone_from(&search.feet);
    }
    alone
}
