//! Facets, ranges and chips of the list of shoes: each value with its count, its state and the link that toggles it.

use indexer::search::{Counts, FacetGroup, RangeFacet as Counted, Results, Search};
use indexer::snapshot::{Group, Snapshot};

use crate::pages::shoes::ShoesPage;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::chips::{Chip, Chips};
use crate::parts::facets::{Facet, FacetValue};
use crate::parts::ranges::{Bin, RangeFacet};
use crate::request::shoes::ShoesQuery;
use crate::request::shoes_meant::EXACT;
use crate::visit::shoe::plain;
use crate::words;

/// The address of the list.
pub const SHOES: &str = "/shoes";
/// How the filters are changed: by links to the state that a change leads to, or by forms posted inside a fitting.
pub enum Doors {
    /// The whole state is in the address, below this path.
    Links(&'static str),
    /// The state is kept; a change is posted here.
    Posts(String),
}

impl Doors {
    /// What toggles each value of a group.
    fn toggle<'a>(&'a self, asked: &'a ShoesQuery, group: Group) -> Box<dyn Fn(&str) -> Act + 'a> {
        match self {
            Self::Links(path) => {
                let toggles = asked.toggles(path, group.key());
                Box::new(move |value| Act::Go(format!("{}#{}", toggles.href(value), anchor(group, value))))
            }
            Self::Posts(action) => Box::new(move |value| {
                let field = |name: &str, value: &str| (name.to_owned(), value.to_owned());
                let fields = vec![field("toggle", group.key()), field("value", value)];
                Act::Post { action: action.clone(), fields }
            }),
        }
    }
}

/// The id of a control, with which the address it leads to ends: the browser shows that place and gives it the focus, so
/// that a hand or a key goes on where it was. The server never sees it. What is no letter or digit is written as bytes.
fn anchor(group: Group, value: &str) -> String {
    let sign = |byte: u8| match byte {
        b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' => char::from(byte).to_string(),
        other => format!("_{other:02x}"),
    };
    format!("f-{}-{}", group.key(), value.bytes().map(sign).collect::<String>())
}

/// Facets that stand open when nothing is chosen.
const OPEN: [Group; 3] = [Group::Audience, Group::Surface, Group::Purpose];

/// The groups without numbers, as facets.
pub fn facets(asked: &ShoesQuery, results: &Results, doors: &Doors) -> Vec<Facet> {
    plain_groups(results).map(|group| facet(asked, group, doors, stands_open(group))).collect()
}

/// Whether a group stands open when nothing of it is chosen.
pub fn stands_open(group: FacetGroup<'_>) -> bool {
    OPEN.contains(&group.group)
}

/// The groups that have values only, no numbers.
pub fn plain_groups(results: &Results) -> impl Iterator<Item = FacetGroup<'_>> {
    let has_numbers = |group: Group| results.ranges.iter().any(|range| range.group == group);
    results.facets.iter().filter(move |group| !has_numbers(group.group))
}

/// One group as a facet; it stands open where something is chosen, or where it always does.
pub fn facet(asked: &ShoesQuery, group: FacetGroup<'_>, doors: &Doors, open: bool) -> Facet {
    let chosen = group.values.iter().any(|value| value.selected);
    Facet {
        label: words::of(group.group.label()).to_owned(),
        values: values(asked, group, doors),
        open: chosen || open,
    }
}

fn values(asked: &ShoesQuery, group: FacetGroup<'_>, doors: &Doors) -> Vec<FacetValue> {
    let toggle = doors.toggle(asked, group.group);
    let value = |value: indexer::search::FacetValue<'_>| FacetValue {
        label: words::made(value.label),
        count: value.count as usize,
        selected: value.selected,
        id: matches!(doors, Doors::Links(_)).then(|| anchor(group.group, value.value)),
        toggle: (value.selected || value.count > 0).then(|| toggle(value.value)),
    };
    group.values.iter().map(value).collect()
}

/// The groups with numbers, as histograms with their preset bands.
pub fn ranges(asked: &ShoesQuery, results: &Results, doors: &Doors) -> Vec<RangeFacet> {
    results.ranges.iter().map(|range| range_facet(asked, results, range, doors)).collect()
}

fn range_facet(asked: &ShoesQuery, results: &Results, range: &Counted, doors: &Doors) -> RangeFacet {
    let key = range.group.key();
    let (from, to) = (format!("{key}_from"), format!("{key}_to"));
    let bands = results.facets.group(range.group);
    let narrowed = |name: &str| !asked.first(name).is_empty();
    let (action, id) = match doors {
        Doors::Links(path) => {
            let id = format!("f-{key}");
            (format!("{path}#{id}"), Some(id))
        }
        Doors::Posts(action) => (action.clone(), None),
    };
    RangeFacet {
        key: key.to_owned(),
        label: words::of(range.group.label()).to_owned(),
        unit: range.unit.to_owned(),
        bins: range.bins.iter().map(|bin| bar(asked, range, bin)).collect(),
        bands: bands.map_or_else(Vec::new, |group| values(asked, group, doors)),
        unknown: range.unknown as usize,
        action,
        id,
        posts: matches!(doors, Doors::Posts(_)),
        hidden: match doors {
            Doors::Links(_) => asked.hidden(&[&from, &to]),
            Doors::Posts(_) => Vec::new(),
        },
        open: narrowed(&from) || narrowed(&to) || !asked.chosen(range.group).is_empty(),
        from: (from.clone(), asked.first(&from).to_owned()),
        to: (to.clone(), asked.first(&to).to_owned()),
    }
}

fn bar(asked: &ShoesQuery, range: &Counted, bin: &indexer::search::Bin) -> Bin {
    let within = asked.search().ranges.get(&range.group).copied().unwrap_or_default();
    let reaches = within.from.is_none_or(|from| bin.to > from) && within.to.is_none_or(|to| bin.from <= to);
    Bin {
        label: say!(
            "{from} to {to}",
            from = shown(bin.from, range.decimals),
            to = shown(bin.to, range.decimals)
        ),
        count: bin.count as usize,
        within: reaches,
    }
}

/// A number as people read it: tenths of mm and g, or minor units of money in whole ones.
fn shown(value: i64, decimals: u8) -> String {
    match decimals {
        1 => plain(value as i32),
        decimals => (value / 10_i64.pow(decimals.into())).to_string(),
    }
}

/// What is in force, each to be taken off by its link, with what it alone hides.
pub fn chips(asked: &ShoesQuery, results: &Results, path: &str) -> Chips {
    let chips = results.hidden.iter().map(|(group, hides)| Chip {
        label: said(asked, results, *group),
        hides: Some(*hides as usize),
        remove: Act::Go(format!("{}#filters", asked.without_group(*group).href(path))),
    });
    Chips { chips: chips.collect(), add: None }
}

/// A filter in words: its values, or its range.
pub fn said(asked: &ShoesQuery, results: &Results, group: Group) -> String {
    let counted = results.facets.group(group);
    let label = |value: &str| {
        let found = counted.and_then(|of| of.values.iter().find(|v| v.value == value));
        found.map_or_else(|| value.to_owned(), |v| words::made(v.label))
    };
    let mut parts: Vec<String> = asked.chosen(group).into_iter().map(label).collect();
    let end = |which: &str| words::number(asked.first(&format!("{}_{which}", group.key())));
    let unit = results.ranges.iter().find(|of| of.group == group).map_or("", |of| of.unit);
    match (end("from"), end("to")) {
        (from, to) if from.is_empty() && to.is_empty() => {}
        (from, to) if to.is_empty() => parts.push(say!("from {from} {unit}", from, unit)),
        (from, to) if from.is_empty() => parts.push(say!("up to {to} {unit}", to, unit)),
        (from, to) => parts.push(say!("{from} to {to} {unit}", from, to, unit)),
    }
    format!("{}: {}", words::of(group.label()), parts.join(say!(" or ")))
}

/// With nothing found: what each filter alone keeps away, most first, then the words, and all filters together; none that
/// would show nothing either. `found` says how many styles another question finds.
pub fn without(
    asked: &ShoesQuery,
    results: &Results,
    path: &str,
    found: impl Fn(&ShoesQuery) -> u32,
) -> Vec<Link> {
    let mut hidden: Vec<_> = results.hidden.iter().filter(|(_, hides)| *hides > 0).collect();
    hidden.sort_by_key(|(_, hides)| std::cmp::Reverse(*hides));
    let link = |(group, hides): &&(Group, u32)| {
        let group_said = said(asked, results, *group);
        Link::new(without_said(&group_said, *hides), asked.without_group(*group).href(path))
    };
    let mut links: Vec<_> = hidden.iter().map(link).collect();
    let mut offer = |what: &str, other: &ShoesQuery| {
        let shows = found(other);
        if shows > 0 {
            links.push(Link::new(without_said(what, shows), other.href(path)));
        }
    };
    if !asked.words().is_empty() {
        let words = say!("the words “{asked}”", asked = asked.words());
        offer(&words, &asked.without("q").without("page"));
    }
    if results.hidden.len() > 1 {
        offer(say!("any filter"), &words_only(asked));
    }
    links
}

fn without_said(what: &str, shows: u32) -> String {
    match shows {
        1 => say!("Without {what}: 1 style", what),
        shows => say!("Without {what}: {shows} styles", what, shows),
    }
}

/// How many styles a search finds; none where it is refused.
pub fn total(search: Search, snapshot: &Snapshot) -> u32 {
    let search = Search { counts: Counts::None, limit: Some(1), ..search };
    snapshot.search(&search, None).map_or(0, |results| results.total)
}

/// The words without any filter; words that were to stay words still do.
fn words_only(asked: &ShoesQuery) -> ShoesQuery {
    ShoesQuery::default().with_words(asked.words()).with(EXACT, asked.first(EXACT))
}

/// Leads to the list or the map at `path` without any filter.
pub fn clear(asked: &ShoesQuery, path: &str) -> Option<String> {
    asked.is_narrowed().then(|| format!("{}#narrow", words_only(asked).href(path)))
}

/// Everything of the page that narrows it.
pub fn into(page: &mut ShoesPage, asked: &ShoesQuery, results: &Results, snapshot: &Snapshot) {
    page.chips = chips(asked, results, SHOES);
    page.clear = clear(asked, SHOES);
    page.facets = facets(asked, results, &Doors::Links(SHOES));
    page.ranges = ranges(asked, results, &Doors::Links(SHOES));
    if results.total == 0 {
        page.without = without(asked, results, SHOES, |other| total(other.search(), snapshot));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_values_share_an_id_and_none_holds_a_blank() {
        let values = ["EU 42", "EU-42", "EU 42.5", "EU_42", "narrow heel", "größer", "", "a#b", "a%23b"];
        let ids: BTreeSet<String> = values.iter().map(|value| anchor(Group::Size, value)).collect();
        assert_eq!(ids.len(), values.len());
        let plain = |sign: char| sign.is_ascii_alphanumeric() || "-._".contains(sign);
        assert!(ids.iter().all(|id| id.chars().all(plain)), "{ids:?}");
    }
}
