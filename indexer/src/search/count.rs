//! How many of some rows count in each slot: row by row, or set by set, whichever is cheaper.

use super::asked::Counts;
use crate::snapshot::Group;
use crate::snapshot::bits::{Bits, Sets};
use crate::snapshot::stock::Stock;
use crate::snapshot::styles::Styles;
use crate::snapshot::vocabulary::Lists;

/// How rows are counted; the answer is the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Whichever is cheaper for the group and the number of rows.
    Cheaper,
    /// Row by row: each adds one where it counts.
    #[cfg(test)]
    Rows,
    /// Set by set: the bits that each slot shares with the rows.
    #[cfg(test)]
    Sets,
}

/// How many words of a set are counted while one row adds one in a group; measured.
const WORDS_A_CODE: usize = 20;
/// How many while one row adds one in each of its slots in all groups; measured.
const WORDS_A_ROW: usize = 200;

/// How many words of a set of SKUs are swept while one SKU is walked past; measured.
const WORDS_A_SKU: usize = 6;
/// What a sweep takes besides counting, as so many sets of SKUs.
const SETS_A_SWEEP: usize = 8;

impl Form {
    /// Whether the SKUs of so many styles are swept at once with all others.
    pub(super) fn is_sweep(self, stock: &Stock, styles: u32, counts: Counts) -> bool {
        let skus = stock.records.len();
        let walked = styles as usize * skus / stock.pairs.len().max(1);
        let sets = SETS_A_SWEEP + if counts == Counts::All { stock.level.slots } else { 0 };
        !self.is_by_rows(walked * WORDS_A_SKU, skus.div_ceil(64) * sets)
    }

    fn is_by_rows(self, cost_of_rows: usize, cost_of_sets: usize) -> bool {
        match self {
            Self::Cheaper => cost_of_rows < cost_of_sets,
            #[cfg(test)]
            Self::Rows => true,
            #[cfg(test)]
            Self::Sets => false,
        }
    }
}

/// Counts rows in the slots of all groups of styles.
pub(super) fn by_slot_of_styles(styles: &Styles, rows: &Bits, many: u32, form: Form) -> Vec<u32> {
    let mut counts = vec![0; styles.level.slots];
    let cost: usize = styles.sets.iter().flatten().map(Sets::cost).sum();
    if form.is_by_rows(many as usize * WORDS_A_ROW, cost) {
        one_by_one(&styles.slots, rows, &mut counts);
    } else {
        (0..Group::OF_STYLE).for_each(|place| by_slot(styles, place, rows, many, form, &mut counts));
    }
    counts
}

/// Counts rows in the slots of the group of styles at `place`.
pub(super) fn by_slot(styles: &Styles, place: usize, rows: &Bits, many: u32, form: Form, counts: &mut [u32]) {
    let vocabulary = &styles.level.vocabularies[place];
    let counts = &mut counts[vocabulary.first_slot..][..vocabulary.width()];
    match &styles.sets[place] {
        Some(sets) if !form.is_by_rows(many as usize * WORDS_A_CODE, sets.cost()) => {
            sets.count(rows, counts);
        }
        _ => {
            counts.fill(0);
            let codes = &styles.by_group[place];
            let slots = rows.rows().flat_map(|row| vocabulary.slots_of(codes[row as usize]));
            slots.for_each(|slot| counts[*slot as usize] += 1);
        }
    }
}

/// The same for the slots of SKUs, in each of which a style counts once, when nothing narrows its SKUs.
pub(super) fn by_slot_of_skus(stock: &Stock, rows: &Bits, many: u32, form: Form) -> Vec<u32> {
    let mut counts = vec![0; stock.level.slots];
    match &stock.sets {
        Some(sets) if !form.is_by_rows(many as usize * WORDS_A_ROW, sets.cost()) => {
            sets.count(rows, &mut counts);
        }
        _ => one_by_one(&stock.slots, rows, &mut counts),
    }
    counts
}

/// Adds one for each row in each of its slots.
fn one_by_one(slots: &Lists, rows: &Bits, counts: &mut [u32]) {
    for row in rows.rows() {
        for slot in slots.get(row as usize) {
            counts[*slot as usize] += 1;
        }
    }
}
