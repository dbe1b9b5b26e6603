//! From counts to what a page shows: facet values, histograms, and what each filter hides.

use std::ops::{Deref, Range};
use std::sync::Arc;

use smol_str::SmolStr;

use super::asked::{Counts, Search};
use super::filter::Filter;
use super::pass::Tally;
use crate::snapshot::vocabulary::{Level, Value, Vocabulary};
use crate::snapshot::{Group, Snapshot};

/// How many groups have a histogram: drop, stack, mass and price.
const MOST_RANGES: usize = 4;

/// The values of one group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FacetGroup {
    /// The group; its key and label are the group's.
    pub group: Group,
    /// Its values in reading order: those with a shoe, and those chosen.
    pub values: FacetValues,
}

/// The values of one group, kept in one piece with those of the others; read as a slice.
#[derive(Clone, Debug)]
pub struct FacetValues {
    all: Arc<Vec<FacetValue>>,
    own: Range<usize>,
}

/// One value that can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FacetValue {
    /// As it is written in a URL.
    pub value: SmolStr,
    /// As it is read.
    pub label: SmolStr,
    /// How many styles it would show, the group's own selection aside.
    pub count: u32,
    /// It is chosen now.
    pub selected: bool,
}

/// The histogram of one group of numbers, its own selection aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RangeFacet {
    /// The group.
    pub group: Group,
    /// The unit: mm, g, or the currency.
    pub unit: &'static str,
    /// The decimals of the numbers below: 1 for tenths.
    pub decimals: u8,
    /// The least number in the catalogue.
    pub min: Option<i64>,
    /// The greatest.
    pub max: Option<i64>,
    /// How many styles do not say.
    pub unknown: u32,
    /// The bars, in order.
    pub bins: Vec<Bin>,
}

/// One bar: from this number on, below that one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bin {
    /// From here on.
    pub from: i64,
    /// Below this.
    pub to: i64,
    /// How many styles.
    pub count: u32,
}

impl Deref for FacetValues {
    type Target = [FacetValue];

    fn deref(&self) -> &[FacetValue] {
        self.all.get(self.own.clone()).unwrap_or_default()
    }
}

impl PartialEq for FacetValues {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl Eq for FacetValues {}

/// The facets that were asked for, in the order of [`Group::ALL`].
pub(super) fn facets(
    search: &Search,
    snapshot: &Snapshot,
    tally: &Tally,
) -> (Vec<FacetGroup>, Vec<RangeFacet>) {
    if search.counts == Counts::None {
        return (Vec::new(), Vec::new());
    }
    let levels = (&snapshot.columns.level, &snapshot.stock.level);
    let asked = |group: &Group| search.counts == Counts::All || !group.is_of_sku();
    let slots = tally.style_counts.len() + tally.sku_counts.len();
    let (mut all, mut ends) = (Vec::with_capacity(slots), Vec::with_capacity(Group::ALL.len()));
    let mut ranges = Vec::with_capacity(MOST_RANGES);
    for group in Group::ALL.into_iter().filter(asked) {
        let (level, counts) =
            if group.is_of_sku() { (levels.1, &tally.sku_counts) } else { (levels.0, &tally.style_counts) };
        let (vocabulary, counts) = of_group(group, level, counts);
        add_values(group, search, vocabulary, counts, &mut all);
        ends.push((group, all.len()));
        ranges.extend(range(group, snapshot, vocabulary, counts));
    }
    (groups(all, &ends), ranges)
}

/// The groups, given all values and where those of each end.
fn groups(all: Vec<FacetValue>, ends: &[(Group, usize)]) -> Vec<FacetGroup> {
    let all = Arc::new(all);
    let starts = [0].into_iter().chain(ends.iter().map(|(_, end)| *end));
    let own = starts.zip(ends).map(|(start, (group, end))| FacetGroup {
        group: *group,
        values: FacetValues { all: all.clone(), own: start..*end },
    });
    own.collect()
}

/// The styles that each narrowed group alone hides: as chosen, and whatever is chosen.
pub(super) fn hidden(filter: &Filter, tally: &Tally) -> [Vec<(Group, u32)>; 2] {
    let of = |active: u16, hidden: &[u32; Group::ALL.len()]| {
        let groups = Group::ALL.into_iter().filter(|group| active & group.bit() != 0);
        groups.map(|group| (group, hidden[group as usize])).collect()
    };
    [of(filter.chosen, &tally.hidden), of(filter.within, &tally.hidden_within)]
}

fn of_group<'a>(group: Group, level: &'a Level, counts: &'a [u32]) -> (&'a Vocabulary, &'a [u32]) {
    let vocabulary = &level.vocabularies[group.place()];
    (vocabulary, &counts[vocabulary.first_slot..])
}

fn add_values(
    group: Group,
    search: &Search,
    vocabulary: &Vocabulary,
    counts: &[u32],
    all: &mut Vec<FacetValue>,
) {
    let chosen = search.choices.get(&group).map_or(&[][..], |choice| &choice.values);
    let chosen: Vec<usize> = chosen.iter().filter_map(|value| vocabulary.slot_of(value)).collect();
    for (slot, (known, count)) in vocabulary.values.iter().zip(counts).enumerate() {
        let selected = chosen.contains(&slot);
        if *count > 0 || selected {
            let Value { value, label } = known.clone();
            all.push(FacetValue { value, label, count: *count, selected });
        }
    }
}

fn range(group: Group, snapshot: &Snapshot, vocabulary: &Vocabulary, counts: &[u32]) -> Option<RangeFacet> {
    let bins = vocabulary.bins?;
    let currency = &snapshot.policy().currency;
    let (unit, decimals) = match group {
        Group::Price => (currency.code, currency.decimals),
        Group::Mass => ("g", 1),
        _ => ("mm", 1),
    };
    let values = vocabulary.values.len();
    let bars = counts[values..values + bins.count].iter().zip(0..);
    let bar = |(count, at): (&u32, i64)| {
        let from = bins.from + at * bins.step;
        Bin { from, to: from + bins.step, count: *count }
    };
    Some(RangeFacet {
        group,
        unit,
        decimals,
        min: bins.ends.map(|(least, _)| least),
        max: bins.ends.map(|(_, greatest)| greatest),
        unknown: counts[values - 1],
        bins: bars.map(bar).collect(),
    })
}
