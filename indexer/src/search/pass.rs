//! The one pass: which styles are found, and how many each facet value would show.
//!
//! Every narrowed group of styles comes with the styles it accepts. A style that all accept is a hit, which counts
//! everywhere. A style that only one of them does not accept is hidden by that group alone, and counts among that
//! group's own values, which is what a facet shows that ignores its own selection. Where a group of SKUs is narrowed,
//! one SKU of the style must be accepted by all of these; the run of each style in question is then walked, or all SKUs
//! are swept at once.

use super::asked::Counts;
use super::count::{Form, by_slot, by_slot_of_skus, by_slot_of_styles};
use super::filter::{Filter, Layer};
use super::sweep::Swept;
use crate::snapshot::bits::Bits;
use crate::snapshot::sku_sets::SkuSets;
use crate::snapshot::stock::{Record, Stock};
use crate::snapshot::styles::Styles;
use crate::snapshot::{Group, Snapshot};

/// What the pass found.
pub(super) struct Tally {
    /// The styles that were found.
    pub(super) hits: Bits,
    /// How many they are.
    pub(super) total: u32,
    /// How many pairs of them match.
    pub(super) all_pairs: u64,
    /// The matching pairs of each hit in the order of rows; `None` when all its pairs match.
    pub(super) matching: Option<Vec<u32>>,
    /// By slot of a style.
    pub(super) style_counts: Vec<u32>,
    /// By slot of a SKU: how many styles have a SKU there.
    pub(super) sku_counts: Vec<u32>,
    /// By group: the styles that what was chosen in it alone hides.
    pub(super) hidden: [u32; Group::ALL.len()],
    /// By group: the styles that the filter alone hides that stands whatever is chosen.
    pub(super) hidden_within: [u32; Group::ALL.len()],
}

/// The styles that pass all groups of styles, or all but one.
struct Found {
    hits: Bits,
    /// For each narrowed group: the hits and what it alone hides.
    without: Vec<(Layer, Group, Bits)>,
}

/// The walk over the SKUs of styles.
struct Walk<'a> {
    stock: &'a Stock,
    filter: &'a Filter,
    counts: Counts,
    sku_counts: Vec<u32>,
    /// By bit of the fail mask.
    hidden: [u32; u16::BITS as usize],
    matching: Vec<u32>,
    /// By slot of a SKU: the last row (plus one) that counted there, since a style counts once.
    stamps: Vec<u32>,
}

/// What a look at the SKUs has found.
struct Looked {
    sku_counts: Vec<u32>,
    /// By bit of the fail mask.
    hidden: [u32; u16::BITS as usize],
    /// The matching pairs of each hit.
    matching: Vec<u32>,
}

/// What the SKUs of one style say.
struct Shelf {
    /// One SKU is accepted by all groups.
    passes: bool,
    /// The groups that each would be the only one to stand in the way.
    one_away: u16,
    pairs: u32,
}

impl Tally {
    /// Looks at all rows, or at those that hold the words.
    pub(super) fn of(
        snapshot: &Snapshot,
        filter: &Filter,
        by_words: Option<&Bits>,
        counts: Counts,
        form: Form,
    ) -> Self {
        let Snapshot { columns: styles, stock, .. } = snapshot;
        let mut found = Found::of(styles, filter, by_words);
        let looked = (filter.sku_active != 0).then(|| found.look(stock, filter, counts, form));
        let total = found.hits.count();
        let (mut hidden, mut hidden_within) = looked.as_ref().map_or_else(Default::default, Looked::hidden);
        for (layer, group, rows) in &found.without {
            let of_layer = if *layer == Layer::Chosen { &mut hidden } else { &mut hidden_within };
            of_layer[*group as usize] = rows.count() - total;
        }
        let style_counts =
            if counts == Counts::None { Vec::new() } else { found.counts(styles, total, form) };
        let (sku_counts, matching) = match looked {
            Some(looked) => (looked.sku_counts, Some(looked.matching)),
            None if counts == Counts::All => (by_slot_of_skus(stock, &found.hits, total, form), None),
            None => (Vec::new(), None),
        };
        let all_pairs = match &matching {
            Some(matching) => matching.iter().map(|pairs| u64::from(*pairs)).sum(),
            None => stock.pairs_of(&found.hits),
        };
        Self { hits: found.hits, total, all_pairs, matching, style_counts, sku_counts, hidden, hidden_within }
    }

    /// The matching pairs of every hit, in the order of rows.
    pub(super) fn pairs<'a>(&'a self, stock: &'a Stock) -> impl Iterator<Item = u32> + 'a {
        self.hits.rows().enumerate().map(move |(at, row)| match &self.matching {
            Some(matching) => matching[at],
            None => stock.pairs[row as usize],
        })
    }
}

impl Found {
    fn of(styles: &Styles, filter: &Filter, by_words: Option<&Bits>) -> Self {
        let mut hits = styles.live.clone();
        if let Some(rows) = by_words {
            hits.keep(rows);
        }
        // Each group's rows need all groups but its own: those before it here, those after it on the way back.
        let mut without = Vec::with_capacity(filter.of_styles.len());
        for (layer, group, accepted) in &filter.of_styles {
            without.push((*layer, *group, hits.clone()));
            hits.keep(accepted);
        }
        let mut after: Option<Bits> = None;
        for ((.., rows), (.., accepted)) in without.iter_mut().zip(&filter.of_styles).rev() {
            match &mut after {
                Some(after) => {
                    rows.keep(after);
                    after.keep(accepted);
                }
                None => after = Some(accepted.clone()),
            }
        }
        Self { hits, without }
    }

    /// Leaves only styles with a matching SKU: from run to run where there are few, in one sweep where there are many.
    fn look(&mut self, stock: &Stock, filter: &Filter, counts: Counts, form: Form) -> Looked {
        match &stock.sku_sets {
            Some(sets) if form.is_sweep(stock, self.hits.count(), counts) => {
                self.sweep(stock, sets, filter, counts)
            }
            _ => self.walk(stock, filter, counts),
        }
    }

    fn sweep(&mut self, stock: &Stock, sets: &SkuSets, filter: &Filter, counts: Counts) -> Looked {
        let near = std::mem::replace(&mut self.hits, Bits::none(0));
        let swept = Swept::of(stock, sets, filter, &near, counts);
        for (.., rows) in &mut self.without {
            rows.drop_all(&near);
            rows.keep(&swept.matching_styles);
            rows.add(&swept.hits);
        }
        self.hits = swept.hits;
        Looked { sku_counts: swept.counts, hidden: swept.hidden, matching: swept.pairs }
    }

    /// Counts the SKUs of the hits on the way.
    fn walk(&mut self, stock: &Stock, filter: &Filter, counts: Counts) -> Looked {
        let mut walk = Walk::new(stock, filter, counts);
        let near = std::mem::replace(&mut self.hits, Bits::none(stock.pairs.len()));
        for row in near.rows() {
            if walk.accepts(row) {
                self.hits.insert(row);
            }
        }
        for (.., rows) in &mut self.without {
            rows.drop_all(&near);
            let alone: Vec<u32> = rows.rows().filter(|row| walk.has_matching_sku(*row)).collect();
            *rows = self.hits.clone();
            for row in alone {
                rows.insert(row);
            }
        }
        Looked { sku_counts: walk.sku_counts, hidden: walk.hidden, matching: walk.matching }
    }

    /// Each group that was chosen in counts without its own selection.
    fn counts(&self, styles: &Styles, total: u32, form: Form) -> Vec<u32> {
        let mut counts = by_slot_of_styles(styles, &self.hits, total, form);
        for (_, group, rows) in self.without.iter().filter(|(layer, ..)| *layer == Layer::Chosen) {
            by_slot(styles, group.place(), rows, rows.count(), form, &mut counts);
        }
        counts
    }
}

impl Looked {
    /// What each group of SKUs alone hides: as chosen, and whatever is chosen.
    fn hidden(&self) -> ([u32; Group::ALL.len()], [u32; Group::ALL.len()]) {
        let (mut chosen, mut within) = ([0; Group::ALL.len()], [0; Group::ALL.len()]);
        chosen[Group::OF_STYLE..].copy_from_slice(&self.hidden[Group::OF_STYLE..]);
        within[Group::OF_STYLE..].copy_from_slice(&self.hidden[..Group::OF_SKU]);
        (chosen, within)
    }
}

impl<'a> Walk<'a> {
    fn new(stock: &'a Stock, filter: &'a Filter, counts: Counts) -> Self {
        let slots = if counts == Counts::All { stock.level.slots } else { 0 };
        let hidden = [0; u16::BITS as usize];
        let (sku_counts, stamps) = (vec![0; slots], vec![0; slots]);
        Self { stock, filter, counts, sku_counts, hidden, matching: Vec::new(), stamps }
    }

    /// Whether a style that all groups of styles accept has a matching SKU.
    fn accepts(&mut self, row: u32) -> bool {
        let shelf = self.shelf(row);
        if shelf.passes {
            self.matching.push(shelf.pairs);
        } else {
            let bits = (0..self.hidden.len()).filter(|bit| shelf.one_away >> bit & 1 == 1);
            bits.for_each(|bit| self.hidden[bit] += 1);
        }
        shelf.passes
    }

    fn has_matching_sku(&self, row: u32) -> bool {
        self.stock.run(row as usize).iter().any(|sku| self.filter.sku_fail(sku) == 0)
    }

    /// Walks the SKUs of a style, counting those that no group, or only their own, does not accept.
    fn shelf(&mut self, row: u32) -> Shelf {
        let active = self.filter.sku_active;
        // Without its one narrowed group a style needs no SKU at all.
        let mut shelf =
            Shelf { passes: false, one_away: if active.is_power_of_two() { active } else { 0 }, pairs: 0 };
        let stock = self.stock;
        for sku in stock.run(row as usize) {
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

    fn count_sku(&mut self, row: u32, sku: &Record, fail: u16) {
        if self.counts != Counts::All {
            return;
        }
        let stamp = row + 1;
        let only = (fail != 0).then(|| fail.trailing_zeros() as usize);
        // What stands whatever is chosen does not accept this one: it counts nowhere.
        if only.is_some_and(|only| only < Group::OF_STYLE) {
            return;
        }
        for (place, code) in sku.codes.into_iter().enumerate() {
            if only.is_some_and(|only| only != Group::OF_STYLE + place) {
                continue;
            }
            for slot in self.stock.level.slots_of(place, code) {
                if self.stamps[slot] != stamp {
                    self.stamps[slot] = stamp;
                    self.sku_counts[slot] += 1;
                }
            }
        }
    }
}
