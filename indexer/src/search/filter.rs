//! A search made ready: for every narrowed group of styles the rows it accepts, for every code of a SKU whether it
//! fails.

use std::collections::BTreeMap;

use catalogue::size::{FootLength, SizeLabel};

use super::asked::{Choice, Range, Search, Warning, size_label};
use crate::snapshot::bands::Bins;
use crate::snapshot::bits::{Bits, Sets};
use crate::snapshot::stock::{Record, Size, Stock};
use crate::snapshot::styles::Styles;
use crate::snapshot::vocabulary::{Lists, NOT_GIVEN, Vocabulary};
use crate::snapshot::{Group, Snapshot};

/// What the narrowed groups accept.
pub(super) struct Filter {
    /// The narrowed groups of styles and the styles that each accepts.
    pub(super) of_styles: Vec<(Layer, Group, Bits)>,
    /// By code of a SKU: the bits of its group where that does not accept it, else 0; empty when none is narrowed.
    pub(super) sku_fails: Vec<u16>,
    /// The groups that were chosen in, as bits.
    pub(super) chosen: u16,
    /// The groups that are narrowed whatever is chosen, as bits.
    pub(super) within: u16,
    /// The bits of SKUs in use, of both layers.
    pub(super) sku_active: u16,
}

/// Which of the two layers of filters narrows a group: what was chosen, or what stands whatever is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Layer {
    Chosen,
    Within,
}

impl Layer {
    /// The bit of a group of SKUs in a fail mask. Groups of styles need none there, so that theirs are free for the
    /// second layer.
    fn sku_bit(self, group: Group) -> u16 {
        match self {
            Self::Chosen => group.bit(),
            Self::Within => 1 << group.place(),
        }
    }
}

/// What narrows one group.
#[derive(Clone, Copy)]
struct Narrowing<'a> {
    choice: Option<&'a Choice>,
    range: Option<&'a Range>,
    feet: &'a [FootLength],
}

impl Filter {
    pub(super) fn of(search: &Search, snapshot: &Snapshot, warnings: &mut Vec<Warning>) -> Self {
        let Snapshot { columns: styles, stock, .. } = snapshot;
        let mut filter =
            Self { of_styles: Vec::new(), sku_fails: Vec::new(), chosen: 0, within: 0, sku_active: 0 };
        let layers = [Layer::Within, Layer::Chosen];
        for (group, layer) in Group::ALL.into_iter().flat_map(|group| layers.map(|layer| (group, layer))) {
            let vocabulary = snapshot.vocabulary(group);
            let Some(narrowing) = Narrowing::of(search, layer, group, vocabulary) else { continue };
            filter.mark(layer, group);
            if group.is_of_sku() {
                filter.sku_active |= layer.sku_bit(group);
                filter.narrow_skus(layer, group, narrowing, stock, warnings);
            } else {
                filter.of_styles.push((layer, group, accepted(group, narrowing, styles, warnings)));
            }
        }
        filter
    }

    fn mark(&mut self, layer: Layer, group: Group) {
        match layer {
            Layer::Chosen => self.chosen |= group.bit(),
            Layer::Within => self.within |= group.bit(),
        }
    }

    /// The groups that do not accept a SKU.
    pub(super) fn sku_fail(&self, sku: &Record) -> u16 {
        sku.codes.iter().fold(0, |mask, code| mask | self.sku_fails.get(*code as usize).unwrap_or(&0))
    }

    fn narrow_skus(
        &mut self,
        layer: Layer,
        group: Group,
        narrowing: Narrowing<'_>,
        stock: &Stock,
        warnings: &mut Vec<Warning>,
    ) {
        let vocabulary = &stock.level.vocabularies[group.place()];
        let accepted = match narrowing.choice {
            Some(choice) if group == Group::Size => by_size(choice, stock, warnings),
            Some(choice) => by_value(group, choice, vocabulary, warnings),
            None => vec![true; vocabulary.len()],
        };
        self.sku_fails.resize(stock.level.codes, 0);
        for (code, accepted) in accepted.into_iter().enumerate() {
            let in_range = |range: &Range| range.accepts(vocabulary.numbers.get(code).copied().flatten());
            let passes = accepted
                && narrowing.range.is_none_or(in_range)
                && (narrowing.feet.is_empty() || fits(narrowing.feet, stock, code));
            self.sku_fails[vocabulary.first_code + code] |= if passes { 0 } else { layer.sku_bit(group) };
        }
    }
}

impl<'a> Narrowing<'a> {
    /// What narrows a group in a layer; `None` when nothing does.
    fn of(search: &'a Search, layer: Layer, group: Group, vocabulary: &Vocabulary) -> Option<Self> {
        let (choices, ranges, feet) = said(search, layer);
        let choice = choices.get(&group).filter(|choice| !choice.values.is_empty());
        let range = ranges.get(&group).filter(|r| !r.is_open() && vocabulary.bins.is_some());
        let feet = if group == Group::Size { feet } else { &[] };
        (choice.is_some() || range.is_some() || !feet.is_empty()).then_some(Self { choice, range, feet })
    }
}

/// Everything that one layer says.
type Said<'a> = (&'a BTreeMap<Group, Choice>, &'a BTreeMap<Group, Range>, &'a [FootLength]);

fn said(search: &Search, layer: Layer) -> Said<'_> {
    match layer {
        Layer::Chosen => (&search.choices, &search.ranges, &search.feet),
        Layer::Within => (&search.within.choices, &search.within.ranges, &search.within.feet),
    }
}

/// The styles that a narrowed group accepts.
fn accepted(group: Group, narrowing: Narrowing<'_>, styles: &Styles, warnings: &mut Vec<Warning>) -> Bits {
    let (vocabulary, codes) = (&styles.level.vocabularies[group.place()], &styles.by_group[group.place()]);
    let sets = styles.sets[group.place()].as_ref();
    let chosen = narrowing.choice.map(|choice| match sets {
        Some(sets) => union(codes.len(), sets, &slots(group, choice, vocabulary, warnings)),
        None => by_code(codes, vocabulary, &by_value(group, choice, vocabulary, warnings)),
    });
    let ranged = narrowing.range.map(|range| match (sets, &styles.in_order[group.place()]) {
        (Some(sets), Some(in_order)) => by_bars(range, vocabulary, codes.len(), sets, in_order),
        _ => by_code(codes, vocabulary, &in_range(range, vocabulary)),
    });
    match (chosen, ranged) {
        (Some(mut chosen), Some(ranged)) => {
            chosen.keep(&ranged);
            chosen
        }
        (chosen, ranged) => chosen.or(ranged).unwrap_or_else(|| styles.live.clone()),
    }
}

fn union(rows: usize, sets: &Sets, slots: &[usize]) -> Bits {
    let mut union = Bits::none(rows);
    for slot in slots {
        union.add_set(sets, *slot);
    }
    union
}

/// The rows in a range: bars that lie wholly within it are taken as they are; of the others the rows between the ends
/// stand side by side in the order of numbers.
fn by_bars(range: &Range, vocabulary: &Vocabulary, rows: usize, sets: &Sets, in_order: &Lists) -> Bits {
    let mut within = Bits::none(rows);
    let (values, bins) = (vocabulary.values.len(), vocabulary.bins.as_ref());
    if range.keep_unknown {
        within.add_set(sets, values - 1);
    }
    for (bar, (first, last)) in bins.into_iter().flat_map(Bins::bars).enumerate() {
        let (from, to) = (range.from.unwrap_or(first).max(first), range.to.unwrap_or(last).min(last));
        if (from, to) == (first, last) {
            within.add_set(sets, values + bar);
        } else if from <= to {
            in_order.span(vocabulary.codes_between(from, to)).iter().for_each(|row| within.insert(*row));
        }
    }
    within
}

/// The rows whose code is accepted, one by one.
fn by_code(codes: &[u32], vocabulary: &Vocabulary, accepted: &[bool]) -> Bits {
    let rows = codes.iter().zip(0..).filter(|(code, _)| accepted[**code as usize - vocabulary.first_code]);
    Bits::of(codes.len(), rows.map(|(_, row)| row))
}

fn in_range(range: &Range, vocabulary: &Vocabulary) -> Vec<bool> {
    vocabulary.numbers.iter().map(|number| range.accepts(*number)).collect()
}

/// The slots of the values that are let in.
fn slots(group: Group, choice: &Choice, known: &Vocabulary, warnings: &mut Vec<Warning>) -> Vec<usize> {
    for value in choice.values.iter().filter(|value| known.slot_of(value).is_none()) {
        warnings.push(Warning::NoSuchValue { group, value: value.clone() });
    }
    choice.accepted().filter_map(|value| known.slot_of(value)).collect()
}

fn fits(feet: &[FootLength], stock: &Stock, code: usize) -> bool {
    match stock.sizes[code] {
        Size::Fits(fits) => feet.iter().any(|foot| fits.meets(*foot)),
        Size::NotInStock | Size::NoFoot => false,
    }
}

/// By code: whether it counts for one of the values that are let in.
fn by_value(group: Group, choice: &Choice, known: &Vocabulary, warnings: &mut Vec<Warning>) -> Vec<bool> {
    let slots = slots(group, choice, known, warnings);
    let accepts = |code| known.slots(code).iter().any(|slot| slots.contains(&(*slot as usize)));
    (0..known.len()).map(accepts).collect()
}

/// By size code: a label finds what is made for its foot, read for the audience of each shoe, in any system and
/// whether or not that very label is in stock.
fn by_size(choice: &Choice, stock: &Stock, warnings: &mut Vec<Warning>) -> Vec<bool> {
    let is_size = |value: &str| value == NOT_GIVEN || size_label(value).is_some();
    for value in choice.values.iter().filter(|value| !is_size(value)) {
        warnings.push(Warning::NoSuchValue { group: Group::Size, value: value.clone() });
    }
    let labels: Vec<SizeLabel> = choice.accepted().filter_map(size_label).collect();
    let not_given = choice.accepted().any(|value| value == NOT_GIVEN);
    let accepts = |size: &Size| match size {
        Size::NotInStock => false,
        Size::NoFoot => not_given,
        Size::Fits(fits) => {
            labels.iter().filter_map(|label| label.foot(fits.audience)).any(|foot| fits.meets(foot))
        }
    };
    stock.sizes.iter().map(accepts).collect()
}
