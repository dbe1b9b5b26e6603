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
const WORDS_A_ROW: usize = 8;

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

/// Counts `rows`, of which there are `many`, in the slots of the group at `place`.
pub(super) fn by_slot(styles: &Styles, place: usize, rows: &Bits, many: u32, form: Form, counts: &mut [u32]) {
    let vocabulary = &styles.level.vocabularies[place];
    let counts = &mut counts[vocabulary.first_slot..][..vocabulary.width()];
    match &styles.sets[place] {
        Some(sets) if !form.is_by_rows(many, sets.cost()) => sets.count(rows, counts),
        _ => {
            for row in rows.rows() {
                for slot in vocabulary.slots_of(styles.by_group[place][row as usize]) {
                    counts[*slot as usize] += 1;
                }
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
