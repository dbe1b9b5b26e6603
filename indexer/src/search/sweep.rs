//! The look at the SKUs of very many styles at once, sixty-four places at a time, where a walk from run to run would take
//! longer. The answer is the same.
//!
//! For each narrowed group stand the SKUs that it accepts, a bit each. A SKU that all accept matches, and so does a style
//! with such a SKU; a group counts the SKUs that all groups but itself accept. What is asked of a run of SKUs, whether any
//! is set, is one addition over all of them: in each run every bit but the last is filled up with ones, so that any bit
//! that is set carries into the place of the last one and no further.

use super::asked::Counts;
use super::filter::Filter;
use crate::snapshot::Group;
use crate::snapshot::bits::{Bits, count_runs, runs_with_any};
use crate::snapshot::sku_sets::SkuSets;
use crate::snapshot::stock::Stock;

/// What the SKUs of styles say.
pub(super) struct Swept {
    /// The styles with a matching SKU.
    pub(super) matching_styles: Bits,
    /// Of styles that all groups of styles accept: those with a matching SKU.
    pub(super) hits: Bits,
    /// The matching pairs of each hit, in the order of rows.
    pub(super) pairs: Vec<u32>,
    /// By slot: how many hits have a matching SKU there, each group's own choice aside.
    pub(super) counts: Vec<u32>,
    /// By bit of the fail mask: the styles that it alone hides.
    pub(super) hidden: [u32; u16::BITS as usize],
}

/// The SKUs that each narrowed group accepts.
struct Accepted<'a> {
    stock: &'a Stock,
    sets: &'a SkuSets,
    /// By bit of the fail mask.
    by_bit: Vec<(usize, Bits)>,
}

impl Swept {
    /// Sweeps the SKUs of all styles for those in `near`, which all groups of styles accept.
    pub(super) fn of(stock: &Stock, sets: &SkuSets, filter: &Filter, near: &Bits, counts: Counts) -> Self {
        let accepted = Accepted::of(stock, sets, filter);
        let all = accepted.but(None);
        let matching_styles = accepted.styles_of(&all);
        let mut hits = near.clone();
        hits.keep(&matching_styles);
        let near_ends = stock.ends_of(near);
        Self {
            counts: if counts == Counts::All { accepted.count(&all, &near_ends) } else { Vec::new() },
            hidden: accepted.hidden(near, &near_ends, hits.count()),
            pairs: pairs(stock, &all, &hits),
            matching_styles,
            hits,
        }
    }
}

impl<'a> Accepted<'a> {
    fn of(stock: &'a Stock, sets: &'a SkuSets, filter: &Filter) -> Self {
        let bits = (0..u16::BITS as usize).filter(|bit| filter.sku_active >> bit & 1 == 1);
        let of_bit = |bit: usize| {
            let passes = |code: usize| filter.sku_fails[code] >> bit & 1 == 0;
            (bit, sets.accepted(group_of(bit), &stock.records, &stock.level, passes))
        };
        Self { stock, sets, by_bit: bits.map(of_bit).collect() }
    }

    /// The SKUs that all accept, but for the one of a bit.
    fn but(&self, left_out: Option<usize>) -> Bits {
        let mut others = self.by_bit.iter().filter(|(bit, _)| Some(*bit) != left_out).map(|(_, skus)| skus);
        let Some(first) = others.next() else { return Bits::all(self.stock.records.len()) };
        let mut all = first.clone();
        others.for_each(|skus| all.keep(skus));
        all
    }

    /// The styles of which any SKU is among these.
    fn styles_of(&self, skus: &Bits) -> Bits {
        let ends = runs_with_any(skus, &self.sets.ends);
        Bits::of(self.stock.pairs.len(), self.stock.rows_of_ends(ends.rows()))
    }

    /// By slot: how many styles, given by the ends of their runs, have an accepted SKU there.
    fn count(&self, all: &Bits, near_ends: &Bits) -> Vec<u32> {
        let mut counts = vec![0; self.stock.level.slots];
        for (place, vocabulary) in self.stock.level.vocabularies.iter().enumerate() {
            let own = Group::OF_STYLE + place;
            let narrowed = self.by_bit.iter().any(|(bit, _)| *bit == own);
            let base = if narrowed { &self.but(Some(own)) } else { all };
            let slots = vocabulary.first_slot..vocabulary.first_slot + vocabulary.width();
            for (count, slot) in counts[slots.clone()].iter_mut().zip(slots) {
                *count = count_runs(base, (&self.sets.slots, slot), &self.sets.ends, near_ends);
            }
        }
        counts
    }

    fn hidden(&self, near: &Bits, near_ends: &Bits, hits: u32) -> [u32; u16::BITS as usize] {
        let mut hidden = [0; u16::BITS as usize];
        for (bit, _) in &self.by_bit {
            // Without its one narrowed group a style needs no SKU at all.
            let found = if self.by_bit.len() == 1 {
                near.count()
            } else {
                let mut ends = runs_with_any(&self.but(Some(*bit)), &self.sets.ends);
                ends.keep(near_ends);
                ends.count()
            };
            hidden[*bit] = found - hits;
        }
        hidden
    }
}

/// The group of a bit of the fail mask, in either layer.
fn group_of(bit: usize) -> Group {
    let of_sku = [Group::Size, Group::Width, Group::Stock, Group::Price];
    of_sku[if bit < Group::OF_STYLE { bit } else { bit - Group::OF_STYLE }]
}

/// The pairs of the SKUs in `matching`, hit by hit.
fn pairs(stock: &Stock, matching: &Bits, hits: &Bits) -> Vec<u32> {
    let mut rows = hits.rows();
    let mut pairs: Vec<u32> = Vec::new();
    let mut end = 0;
    let mut begin = 0;
    for at in matching.rows().map(|at| at as usize) {
        while at >= end {
            let Some(row) = rows.next() else { return pairs };
            let run = stock.range(row as usize);
            (begin, end) = (run.start, run.end);
            pairs.push(0);
        }
        if at >= begin
            && let Some(own) = pairs.last_mut()
        {
            *own = own.saturating_add(stock.records[at].pairs);
        }
    }
    pairs
}
