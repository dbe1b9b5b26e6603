//! What the fitter filters an order by beside the runner's own filters. It only narrows what these leave, so that no
//! shoe comes in and no place moves.

use std::collections::HashMap;

use indexer::ranked::RankedList;
use indexer::search::{Counts, Hit, Results, Search};
use indexer::snapshot::Group;
use indexer::words::WordsError;

use super::Visit;
use crate::browse::narrow::{self, Doors};
use crate::parts::act::Act;
use crate::parts::chips::Chip;
use crate::parts::narrowing::Narrowing;
use crate::request::shoes::ShoesQuery;

/// The words among the filters, by their key.
pub const WORDS: &str = "q";

/// What a list can be narrowed by: the other groups are answers of the runner.
const GROUPS: [Group; 12] = [
    Group::Surface,
    Group::Width,
    Group::Drop,
    Group::Stack,
    Group::Mass,
    Group::Bending,
    Group::Plate,
    Group::Rocker,
    Group::Devices,
    Group::ShopNote,
    Group::Price,
    Group::Maker,
];

/// What is left of an order, counted.
pub struct Narrowed {
    /// The hits that are left, facets, and what each filter alone hides: `hidden` of those added, `hidden_within` of
    /// the runner's.
    pub results: Results,
    /// The shoes that the added words alone hide; `None` without words.
    pub hidden_by_words: Option<usize>,
    at: HashMap<u32, usize>,
}

impl Narrowed {
    /// The list of a fitting, narrowed by what was added.
    pub fn of(visit: &Visit<'_>, list: &RankedList) -> Result<Self, WordsError> {
        let asked = search(&visit.fitting.added, &list.search);
        let results = visit.snapshot.search(&asked, None)?;
        let wordless = Search { words: String::new(), counts: Counts::None, limit: Some(1), ..asked.clone() };
        let hidden_by_words = if asked.words.is_empty() {
            None
        } else {
            Some((visit.snapshot.search(&wordless, None)?.total - results.total) as usize)
        };
        let at = results.hits.iter().map(|hit| hit.row).zip(0..).collect();
        Ok(Self { results, hidden_by_words, at })
    }

    /// The shoe of a row with the pairs that are left; `None` when a filter hides it.
    pub fn hit(&self, row: u32) -> Option<&Hit> {
        self.results.hits.get(*self.at.get(&row)?)
    }
}

/// What was added, inside the filters of a list.
pub fn search(added: &ShoesQuery, filters: &Search) -> Search {
    let Search { words, choices, ranges, .. } = added.search();
    Search { words, choices, ranges, ..Search::inside(filters) }
}

/// Whether a key of the filters narrows a list of a fitting.
pub fn may_be_added(key: &str) -> bool {
    let of_range = key.strip_suffix("_from").or_else(|| key.strip_suffix("_to"));
    let group = Group::from_key(of_range.unwrap_or(key));
    key == WORDS || group.is_some_and(|group| GROUPS.contains(&group))
}

/// The chips of what was added, each with what it alone hides.
pub fn chips(visit: &Visit<'_>, narrowed: &Narrowed) -> Vec<Chip> {
    let chip = |label: String, hides: usize, key: &str| Chip {
        label,
        hides: Some(hides),
        remove: Act::post(visit.href("/chips"), "clear", key),
    };
    let hidden = narrowed.results.hidden.iter();
    let of_groups =
        hidden.map(|(group, hides)| chip(said(visit, narrowed, *group), *hides as usize, group.key()));
    let of_words = narrowed.hidden_by_words.map(|hides| chip(words(visit), hides, WORDS));
    of_groups.chain(of_words).collect()
}

/// An added filter in words: `Surface: trail`.
pub fn said(visit: &Visit<'_>, narrowed: &Narrowed, group: Group) -> String {
    narrow::said(&visit.fitting.added, &narrowed.results, group)
}

/// The added words: `words “marl”`.
pub fn words(visit: &Visit<'_>) -> String {
    say!("words “{added}”", added = visit.fitting.added.words())
}

/// The filters that can be added, counted over what is left; `open` shows them at once.
pub fn panel(visit: &Visit<'_>, narrowed: &Narrowed, open: bool) -> Narrowing {
    let (added, results) = (&visit.fitting.added, &narrowed.results);
    let action = visit.href("/narrow");
    let doors = Doors::Posts(action.clone());
    let offered = |group: Group| GROUPS.contains(&group);
    let facets = narrow::plain_groups(results).filter(|group| offered(group.group));
    let clear = (!added.is_empty()).then(|| Act::post(visit.href("/chips"), "clear", "all"));
    Narrowing {
        words: added.words().to_owned(),
        facets: facets.map(|group| narrow::facet(added, group, &doors, false)).collect(),
        ranges: narrow::ranges(added, results, &doors),
        action,
        clear,
        open,
    }
}

/// How many shoes there are: `41 shoes`, `12 of 41 shoes; the filters you added hide 29`.
pub fn count_in_words(left: usize, of: usize) -> String {
    let shoes = |n: usize| super::number_of(n, say!("shoe"), say!("shoes"));
    if left == of {
        return say!("{shoes} in this order.", shoes = shoes(of));
    }
    say!(
        "{left} of {shoes}; the filters added here hide {hidden}, and no place moves.",
        left,
        shoes = shoes(of),
        hidden = of - left
    )
}
