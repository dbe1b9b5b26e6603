//! How many of some rows count in each slot: row by row, or set by set, whichever is cheaper.

use crate::snapshot::bits::Bits;
use crate::snapshot::stock::Stock;
use crate::snapshot::styles::Styles;

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
const WORDS_A_ROW: usize = 20;
/// Hits that are this few are listed once for all groups that count them.
pub(super) const FEW: u32 = 200;

impl Form {
    fn is_by_rows(self, rows: u32, cost_of_sets: usize) -> bool {
        match self {
            Self::Cheaper => rows as usize * WORDS_A_ROW < cost_of_sets,
            #[cfg(test)]
            Self::Rows => true,
            #[cfg(test)]
            Self::Sets => false,
        }
    }
}

/// Rows to be counted.
pub(super) struct Counted<'a> {
    pub(super) rows: &'a Bits,
    /// How many they are.
    pub(super) many: u32,
    /// The same, where they have been listed.
    pub(super) listed: Option<&'a [u32]>,
}

/// Counts rows in the slots of the group at `place`.
pub(super) fn by_slot(styles: &Styles, place: usize, counted: &Counted<'_>, form: Form, counts: &mut [u32]) {
    let vocabulary = &styles.level.vocabularies[place];
    let counts = &mut counts[vocabulary.first_slot..][..vocabulary.width()];
    match &styles.sets[place] {
        Some(sets) if !form.is_by_rows(counted.many, sets.cost()) => sets.count(counted.rows, counts),
        _ => {
            let codes = &styles.by_group[place];
            let mut count = |row: u32| {
                for slot in vocabulary.slots_of(codes[row as usize]) {
                    counts[*slot as usize] += 1;
                }
            };
            match counted.listed {
                Some(listed) => listed.iter().for_each(|row| count(*row)),
                None => counted.rows.rows().for_each(count),
            }
        }
    }
}

/// The same for the slots of SKUs, in each of which a style counts once, when nothing narrows its SKUs.
pub(super) fn by_slot_of_skus(stock: &Stock, rows: &Bits, many: u32, form: Form) -> Vec<u32> {
    let mut counts = vec![0; stock.level.slots];
    match &stock.sets {
        Some(sets) if !form.is_by_rows(many, sets.cost()) => sets.count(rows, &mut counts),
        _ => {
            let slots = rows.rows().flat_map(|row| stock.slots(row as usize));
            slots.for_each(|slot| counts[*slot as usize] += 1);
        }
    }
    counts
}
