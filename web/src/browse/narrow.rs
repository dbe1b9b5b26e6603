//! Facets, ranges and chips of the list of shoes: each value with its count, its state and the link that toggles it.

use indexer::search::{FacetGroup, RangeFacet as Counted, Results};
use indexer::snapshot::Group;

use crate::pages::shoes::ShoesPage;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::chips::{Chip, Chips};
use crate::parts::facets::{Facet, FacetValue};
use crate::parts::ranges::{Bin, RangeFacet};
use crate::request::shoes::ShoesQuery;
use crate::visit::shoe::plain;

/// The address of the list.
pub const SHOES: &str = "/shoes";
/// Facets that stand open when nothing is chosen.
const OPEN: [Group; 3] = [Group::Audience, Group::Surface, Group::Purpose];

/// The groups without numbers, as facets.
pub fn facets(asked: &ShoesQuery, results: &Results) -> Vec<Facet> {
    let plain = |group: &&FacetGroup| !results.ranges.iter().any(|range| range.group == group.group);
    results.facets.iter().filter(plain).map(|group| facet(asked, group)).collect()
}

fn facet(asked: &ShoesQuery, group: &FacetGroup) -> Facet {
    let chosen = group.values.iter().any(|value| value.selected);
    Facet {
        label: group.group.label().to_owned(),
        values: values(asked, group),
        open: chosen || OPEN.contains(&group.group),
    }
}

fn values(asked: &ShoesQuery, group: &FacetGroup) -> Vec<FacetValue> {
    let value = |value: &indexer::search::FacetValue| FacetValue {
        label: value.label.to_string(),
        count: value.count as usize,
        selected: value.selected,
        toggle: (value.selected || value.count > 0)
            .then(|| asked.toggled(group.group.key(), &value.value).href(SHOES)),
    };
    group.values.iter().map(value).collect()
}

/// The groups with numbers, as histograms with their preset bands.
pub fn ranges(asked: &ShoesQuery, results: &Results) -> Vec<RangeFacet> {
    results.ranges.iter().map(|range| range_facet(asked, results, range)).collect()
}

fn range_facet(asked: &ShoesQuery, results: &Results, range: &Counted) -> RangeFacet {
    let key = range.group.key();
    let (from, to) = (format!("{key}_from"), format!("{key}_to"));
    let bands = results.facets.iter().find(|group| group.group == range.group);
    let narrowed = |name: &str| !asked.first(name).is_empty();
    RangeFacet {
        key: key.to_owned(),
        label: range.group.label().to_owned(),
        unit: range.unit.to_owned(),
        bins: range.bins.iter().map(|bin| bar(asked, range, bin)).collect(),
        bands: bands.map_or_else(Vec::new, |group| values(asked, group)),
        unknown: range.unknown as usize,
        action: SHOES.to_owned(),
        hidden: asked.hidden(&[&from, &to]),
        open: narrowed(&from) || narrowed(&to) || !asked.chosen(range.group).is_empty(),
        from: (from.clone(), asked.first(&from).to_owned()),
        to: (to.clone(), asked.first(&to).to_owned()),
    }
}

fn bar(asked: &ShoesQuery, range: &Counted, bin: &indexer::search::Bin) -> Bin {
    let within = asked.search().ranges.get(&range.group).copied().unwrap_or_default();
    let reaches = within.from.is_none_or(|from| bin.to > from) && within.to.is_none_or(|to| bin.from <= to);
    Bin {
        label: format!("{} to {}", shown(bin.from, range.decimals), shown(bin.to, range.decimals)),
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
pub fn chips(asked: &ShoesQuery, results: &Results) -> Chips {
    let chips = results.hidden.iter().map(|(group, hides)| Chip {
        label: said(asked, results, *group),
        hides: Some(*hides as usize),
        remove: Act::Go(asked.without_group(*group).href(SHOES)),
    });
    Chips { chips: chips.collect(), add: None }
}

/// A filter in words: its values, or its range.
fn said(asked: &ShoesQuery, results: &Results, group: Group) -> String {
    let counted = results.facets.iter().find(|of| of.group == group);
    let label = |value: &str| {
        let found = counted.and_then(|of| of.values.iter().find(|v| &*v.value == value));
        found.map_or_else(|| value.to_owned(), |v| v.label.to_string())
    };
    let mut parts: Vec<String> = asked.chosen(group).into_iter().map(label).collect();
    let end = |which: &str| asked.first(&format!("{}_{which}", group.key())).to_owned();
    match (end("from"), end("to")) {
        (from, to) if from.is_empty() && to.is_empty() => {}
        (from, to) if to.is_empty() => parts.push(format!("from {from}")),
        (from, to) if from.is_empty() => parts.push(format!("up to {to}")),
        (from, to) => parts.push(format!("{from} to {to}")),
    }
    format!("{}: {}", group.label(), parts.join(" or "))
}

/// With nothing found: what each filter alone keeps away, most first.
pub fn without(asked: &ShoesQuery, results: &Results) -> Vec<Link> {
    let mut hidden: Vec<_> = results.hidden.iter().filter(|(_, hides)| *hides > 0).collect();
    hidden.sort_by_key(|(_, hides)| std::cmp::Reverse(*hides));
    let link = |(group, hides): &&(Group, u32)| {
        let label = format!("Without {}: {hides} styles", said(asked, results, *group));
        Link::new(label, asked.without_group(*group).href(SHOES))
    };
    let mut links: Vec<_> = hidden.iter().map(link).collect();
    if !asked.words().is_empty() {
        links.push(Link::new(
            format!("Without the words “{}”", asked.words()),
            asked.without("q").without("page").href(SHOES),
        ));
    }
    links
}

/// Leads to the list without any filter.
pub fn clear(asked: &ShoesQuery) -> Option<String> {
    let words_only = |query: &ShoesQuery| {
        let words = query.words();
        if words.is_empty() { ShoesQuery::default() } else { ShoesQuery::default().toggled("q", words) }
    };
    asked.is_narrowed().then(|| words_only(asked).href(SHOES))
}

/// Everything of the page that narrows it.
pub fn into(page: &mut ShoesPage, asked: &ShoesQuery, results: &Results) {
    page.chips = chips(asked, results);
    page.clear = clear(asked);
    page.facets = facets(asked, results);
    page.ranges = ranges(asked, results);
    if results.total == 0 {
        page.without = without(asked, results);
    }
}
