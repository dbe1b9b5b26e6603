//! The one pass over the styles and, where needed, their SKUs.
//!
//! Every group that does not accept a shoe sets its bit in a fail mask. No bit: a hit, which counts everywhere. One
//! bit: the shoe is hidden by that group alone, and counts among that group's own values, which is what a facet
//! shows that ignores its own selection. Two bits: nothing to count.

use super::asked::Counts;
use super::filter::Filter;
use crate::snapshot::Group;
use crate::snapshot::stock::{Record, Stock};
use crate::snapshot::styles::Styles;

/// What the pass found.
pub(super) struct Tally {
    /// The hits, in the order of rows.
    pub(super) hits: Vec<Found>,
    /// By code of a style.
    pub(super) style_counts: Vec<u32>,
    /// By slot of a SKU: how many styles have a SKU there.
    pub(super) sku_counts: Vec<u32>,
    /// By group: the styles that it alone hides.
    pub(super) hidden: [u32; Group::ALL.len()],
}

/// A style that was found.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub(super) row: u32,
    pub(super) relevance: f32,
    /// Pairs of the SKUs that match.
    pub(super) pairs: u32,
}

/// The pass while it runs.
pub(super) struct Pass<'a> {
    styles: &'a Styles,
    stock: &'a Stock,
    filter: &'a Filter,
    counts: Counts,
    tally: Tally,
    /// By slot of a SKU: the last row (plus one) that counted there, since a style counts once.
    stamps: Vec<u32>,
}

/// What the SKUs of one style say.
struct Shelf {
    /// One SKU is accepted by all groups, or none of them is narrowed.
    passes: bool,
    /// The groups that each would be the only one to stand in the way.
    one_away: u16,
    pairs: u32,
}

impl<'a> Pass<'a> {
    pub(super) fn new(styles: &'a Styles, stock: &'a Stock, filter: &'a Filter, counts: Counts) -> Self {
        let slots = if counts == Counts::All { stock.level.slots } else { 0 };
        let tally = Tally {
            hits: Vec::new(),
            style_counts: vec![0; styles.level.codes],
            sku_counts: vec![0; slots],
            hidden: [0; Group::ALL.len()],
        };
        Self { styles, stock, filter, counts, tally, stamps: vec![0; slots] }
    }

    /// Looks at all rows, or at those that hold the words.
    pub(super) fn over(mut self, by_words: Option<Vec<(u32, f32)>>) -> Tally {
        let (styles, filter) = (self.styles, self.filter);
        match by_words {
            Some(rows) => {
                for (row, relevance) in rows {
                    let codes = styles.codes.get(row as usize);
                    if let Some(codes) = codes {
                        self.visit(row, filter.style_fail(codes), relevance);
                    }
                }
            }
            None => {
                for (fail, row) in filter.style_fails(styles).into_iter().zip(0..) {
                    self.visit(row, fail, 0.0);
                }
            }
        }
        self.tally
    }

    fn visit(&mut self, row: u32, fail: u16, relevance: f32) {
        let at = row as usize;
        if fail & fail.wrapping_sub(1) != 0 || self.styles.retired[at] {
            return;
        }
        if fail == 0 {
            self.accepted(at, relevance);
        } else if self.has_matching_sku(at) {
            let group = fail.trailing_zeros() as usize;
            self.tally.hidden[group] += 1;
            if self.counts != Counts::None {
                self.tally.style_counts[self.styles.codes[at][group] as usize] += 1;
            }
        }
    }

    /// A style that all groups of styles accept.
    fn accepted(&mut self, row: usize, relevance: f32) {
        let shelf = self.shelf(row);
        if !shelf.passes {
            let groups = (0..Group::ALL.len()).filter(|group| shelf.one_away >> group & 1 == 1);
            groups.for_each(|group| self.tally.hidden[group] += 1);
            return;
        }
        self.tally.hits.push(Found { row: row as u32, relevance, pairs: shelf.pairs });
        if self.counts != Counts::None {
            for code in &self.styles.codes[row] {
                self.tally.style_counts[*code as usize] += 1;
            }
        }
    }

    fn has_matching_sku(&self, row: usize) -> bool {
        self.filter.sku_active == 0 || self.stock.run(row).iter().any(|sku| self.filter.sku_fail(sku) == 0)
    }

    /// Walks the SKUs of a style, counting those that no group, or only their own, does not accept.
    fn shelf(&mut self, row: usize) -> Shelf {
        let active = self.filter.sku_active;
        if active == 0 {
            self.count_all(row);
            return Shelf { passes: true, one_away: 0, pairs: self.stock.pairs[row] };
        }
        // Without its one narrowed group a style needs no SKU at all.
        let mut shelf =
            Shelf { passes: false, one_away: if active.is_power_of_two() { active } else { 0 }, pairs: 0 };
        let stock = self.stock;
        for sku in stock.run(row) {
            let fail = self.filter.sku_fail(sku);
            if fail.count_ones() > 1 {
                continue;
            }
            if fail == 0 {
                shelf.passes = true;
                shelf.pairs = shelf.pairs.saturating_add(sku.pairs);
            }
            shelf.one_away |= fail;
            self.count_sku(row, sku, fail);
        }
        shelf
    }

    fn count_all(&mut self, row: usize) {
        if self.counts == Counts::All {
            for slot in self.stock.slots(row) {
                self.tally.sku_counts[*slot as usize] += 1;
            }
        }
    }

    fn count_sku(&mut self, row: usize, sku: &Record, fail: u16) {
        if self.counts != Counts::All {
            return;
        }
        let stamp = row as u32 + 1;
        let only = (fail != 0).then(|| fail.trailing_zeros() as usize - Group::OF_STYLE);
        for (place, code) in sku.codes.into_iter().enumerate() {
            if only.is_some_and(|only| only != place) {
                continue;
            }
            for slot in self.stock.level.slots_of(place, code) {
                if self.stamps[slot] != stamp {
                    self.stamps[slot] = stamp;
                    self.tally.sku_counts[slot] += 1;
                }
            }
        }
    }
}
