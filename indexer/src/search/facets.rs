//! From counts to what a page shows: facet values, histograms, and what each filter hides.

use std::sync::Arc;

use super::asked::{Counts, Search};
use super::filter::Filter;
use super::pass::Tally;
use crate::snapshot::vocabulary::{Level, Value, Vocabulary};
use crate::snapshot::{Group, Snapshot};

/// How many groups have a histogram: drop, stack, mass and price.
const MOST_RANGES: usize = 4;

/// The facets of an answer, each ignoring its own selection. It holds counts alone: the words for them are the
/// snapshot's, which it shares.
#[derive(Clone, Debug)]
pub struct Facets {
    counted: Counts,
    styles: Counted,
    skus: Counted,
    /// The groups and slots of the values that were chosen.
    chosen: Vec<(Group, usize)>,
}

/// The counts of one level, slot by slot.
#[derive(Clone, Debug)]
struct Counted {
    level: Arc<Level>,
    counts: Vec<u32>,
}

/// The values of one group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FacetGroup<'f> {
    /// The group; its key and label are the group's.
    pub group: Group,
    /// Its values in reading order: those that any shoe has, whether or not it is found, and those chosen. So a value
    /// keeps its place whatever is chosen.
    pub values: FacetValues<'f>,
}

/// The values of one group, read one by one.
#[derive(Clone, Copy, Debug)]
pub struct FacetValues<'f> {
    group: Group,
    level: &'f Level,
    known: &'f Vocabulary,
    counts: &'f [u32],
    chosen: &'f [(Group, usize)],
}

/// One value that can be chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FacetValue<'f> {
    /// As it is written in a URL.
    pub value: &'f str,
    /// As it is read.
    pub label: &'f str,
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

impl Facets {
    /// What the pass has counted.
    pub(super) fn of(search: &Search, snapshot: &Snapshot, tally: Tally) -> Self {
        let Snapshot { columns, stock, .. } = snapshot;
        let styles = Counted { level: Arc::clone(&columns.level), counts: tally.style_counts };
        let skus = Counted { level: Arc::clone(&stock.level), counts: tally.sku_counts };
        let chosen = search.choices.iter().flat_map(|(group, choice)| {
            let known = snapshot.vocabulary(*group);
            choice.values.iter().filter_map(move |value| Some((*group, known.slot_of(value)?)))
        });
        Self { counted: search.counts, styles, skus, chosen: chosen.collect() }
    }

    /// The facets that were asked for, in the order of [`Group::ALL`].
    pub fn iter(&self) -> impl Iterator<Item = FacetGroup<'_>> {
        Group::ALL.into_iter().filter_map(|group| self.group(group))
    }

    /// The facet of one group; `None` when it was not asked for.
    pub fn group(&self, group: Group) -> Option<FacetGroup<'_>> {
        let Counted { level, counts } = if group.is_of_sku() { &self.skus } else { &self.styles };
        let known = &level.vocabularies[group.place()];
        let counts = counts.get(known.first_slot..).unwrap_or_default();
        let values = FacetValues { group, level, known, counts, chosen: &self.chosen };
        self.counted.hold(group).then_some(FacetGroup { group, values })
    }
}

impl<'f> FacetValues<'f> {
    /// In reading order.
    pub fn iter(&self) -> impl Iterator<Item = FacetValue<'f>> + use<'f> {
        let Self { group, level, known, counts, chosen } = *self;
        known.values.iter().zip(counts).enumerate().filter_map(
            move |(slot, (Value { value, label }, count))| {
                let selected = chosen.contains(&(group, slot));
                let keeps_its_place = selected || level.is_given(known.first_slot + slot);
                keeps_its_place.then_some(FacetValue { value, label, count: *count, selected })
            },
        )
    }
}

impl PartialEq for FacetValues<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl Eq for FacetValues<'_> {}

/// The histograms that were asked for, in the order of [`Group::ALL`].
pub(super) fn ranges(search: &Search, snapshot: &Snapshot, tally: &Tally) -> Vec<RangeFacet> {
    let asked = Group::ALL.into_iter().filter(|group| search.counts.hold(*group));
    let mut ranges = Vec::with_capacity(MOST_RANGES);
    ranges.extend(asked.filter_map(|group| range(group, snapshot, tally)));
    ranges
}

/// The styles that each narrowed group alone hides: as chosen, and whatever is chosen.
pub(super) fn hidden(filter: &Filter, tally: &Tally) -> [Vec<(Group, u32)>; 2] {
    let of = |active: u16, hidden: &[u32; Group::ALL.len()]| {
        let groups = Group::ALL.into_iter().filter(|group| active & group.bit() != 0);
        groups.map(|group| (group, hidden[group as usize])).collect()
    };
    [of(filter.chosen, &tally.hidden), of(filter.within, &tally.hidden_within)]
}

fn range(group: Group, snapshot: &Snapshot, tally: &Tally) -> Option<RangeFacet> {
    let vocabulary = snapshot.vocabulary(group);
    let counts = if group.is_of_sku() { &tally.sku_counts } else { &tally.style_counts };
    let (bins, counts) = (vocabulary.bins?, &counts[vocabulary.first_slot..]);
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
