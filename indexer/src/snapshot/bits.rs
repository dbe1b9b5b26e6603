//! Sets of rows as bits: one bit a row, sixty-four rows a word.

use multiversion::multiversion;

/// The most slots of a group for which a set each is kept. A chain may know thousands of makers; their rows are then
/// counted one by one, and the sets of a million styles stay below 32 MB a group.
const MOST_SETS: usize = 256;

/// A set of rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Bits(Vec<u64>);

/// Many sets over the same rows, side by side.
#[derive(Clone, Debug)]
pub(crate) struct Sets {
    words: usize,
    bits: Vec<u64>,
}

/// The rows of a set in order.
pub(crate) struct Rows<'a> {
    words: std::slice::Iter<'a, u64>,
    /// Where the word in hand ends.
    end: u32,
    /// What is left of it.
    rest: u64,
}

impl Bits {
    /// No row of so many.
    pub(crate) fn none(rows: usize) -> Self {
        Self(vec![0; rows.div_ceil(64)])
    }

    /// These rows of so many. A row beyond them is left out.
    pub(crate) fn of(rows: usize, members: impl IntoIterator<Item = u32>) -> Self {
        let mut bits = Self::none(rows);
        members.into_iter().for_each(|row| bits.insert(row));
        bits
    }

    /// All of so many rows.
    pub(crate) fn all(rows: usize) -> Self {
        let mut bits = Self(vec![u64::MAX; rows.div_ceil(64)]);
        if let Some(last) = bits.0.last_mut().filter(|_| !rows.is_multiple_of(64)) {
            *last = (1 << (rows % 64)) - 1;
        }
        bits
    }

    /// Takes a row in.
    pub(crate) fn insert(&mut self, row: u32) {
        if let Some(word) = self.0.get_mut(row as usize / 64) {
            *word |= 1 << (row % 64);
        }
    }

    /// Takes a row out.
    pub(crate) fn remove(&mut self, row: u32) {
        if let Some(word) = self.0.get_mut(row as usize / 64) {
            *word &= !(1 << (row % 64));
        }
    }

    /// Whether a row is in it.
    pub(crate) fn holds(&self, row: u32) -> bool {
        self.0.get(row as usize / 64).is_some_and(|word| word >> (row % 64) & 1 == 1)
    }

    /// How many rows it holds.
    pub(crate) fn count(&self) -> u32 {
        let mut count = [0];
        count_each(&self.0, &self.0, &mut count);
        count[0]
    }

    /// Whether both hold some row.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(word, other)| word & other != 0)
    }

    /// Keeps what the other holds too.
    pub(crate) fn keep(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, other)| *word &= other);
    }

    /// Takes out what the other holds.
    pub(crate) fn drop_all(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, other)| *word &= !other);
    }

    /// Takes in what the other holds.
    pub(crate) fn add(&mut self, other: &Self) {
        self.add_words(&other.0);
    }

    /// Takes in one of many sets.
    pub(crate) fn add_set(&mut self, sets: &Sets, set: usize) {
        self.add_words(sets.words_of(set));
    }

    /// Its rows in order.
    pub(crate) fn rows(&self) -> Rows<'_> {
        rows_of(&self.0)
    }

    fn add_words(&mut self, words: &[u64]) {
        self.0.iter_mut().zip(words).for_each(|(word, other)| *word |= other);
    }
}

impl Sets {
    /// So many sets of so many rows, filled by (row, set); none when a group would have too many of them.
    pub(crate) fn of_slots(
        rows: usize,
        sets: usize,
        members: impl Iterator<Item = (usize, usize)>,
    ) -> Option<Self> {
        (sets <= MOST_SETS).then(|| Self::of(rows, sets, members))
    }

    /// So many sets of so many rows, filled by (row, set).
    pub(crate) fn of(rows: usize, sets: usize, members: impl Iterator<Item = (usize, usize)>) -> Self {
        let words = rows.div_ceil(64);
        let mut bits = vec![0; words * sets];
        for (row, set) in members {
            bits[set * words + row / 64] |= 1 << (row % 64);
        }
        Self { words, bits }
    }

    /// How many words of 64 rows all sets together have: what counting them costs.
    pub(crate) fn cost(&self) -> usize {
        self.bits.len()
    }

    /// How many of `among` each set holds.
    pub(crate) fn count(&self, among: &Bits, counts: &mut [u32]) {
        count_each(&among.0, &self.bits, counts);
    }

    /// Takes a row out of some sets and into others; `None` when there is no such set.
    pub(crate) fn exchange(&mut self, row: usize, from: &[usize], to: &[usize]) -> Option<()> {
        let bit = 1 << (row % 64);
        for set in from {
            *self.bits.get_mut(set * self.words + row / 64)? &= !bit;
        }
        for set in to {
            *self.bits.get_mut(set * self.words + row / 64)? |= bit;
        }
        Some(())
    }

    fn words_of(&self, set: usize) -> &[u64] {
        &self.bits[set * self.words..(set + 1) * self.words]
    }
}

/// For each of the sets that stand side by side in `sets`, how many bits it shares with `among`.
///
/// Compiled for what processors may have and chosen when the program runs: the plain form of x86-64 has no
/// instruction that counts bits.
#[multiversion(targets(
    "x86_64+avx512f+avx512bw+avx512dq+avx512vl+avx512vpopcntdq+avx2+bmi1+bmi2+popcnt",
    "x86_64+avx2+bmi1+bmi2+popcnt",
))]
fn count_each(among: &[u64], sets: &[u64], counts: &mut [u32]) {
    for (count, set) in counts.iter_mut().zip(sets.chunks_exact(among.len().max(1))) {
        *count = among.iter().zip(set).map(|(a, b)| (a & b).count_ones()).sum();
    }
}

/// Places stand in runs, and `ends` has the last place of each: those of runs of which any place is in `places`.
pub(crate) fn runs_with_any(places: &Bits, ends: &Bits) -> Bits {
    let mut carry = false;
    let words = places.0.iter().zip(&ends.0).map(|(word, ends)| any_of_runs(*word, *ends, &mut carry));
    Bits(words.collect())
}

/// How many runs with an end in `among` have a place that is both in `places` and in one of the sets.
pub(crate) fn count_runs(places: &Bits, (sets, set): (&Sets, usize), ends: &Bits, among: &Bits) -> u32 {
    count_of_runs(&places.0, sets.words_of(set), &ends.0, &among.0)
}

#[multiversion(targets("x86_64+avx2+bmi1+bmi2+popcnt"))]
fn count_of_runs(places: &[u64], set: &[u64], ends: &[u64], among: &[u64]) -> u32 {
    let (mut carry, mut count) = (false, 0);
    for (((place, set), ends), among) in places.iter().zip(set).zip(ends).zip(among) {
        count += (any_of_runs(place & set, *ends, &mut carry) & among).count_ones();
    }
    count
}

/// One word of sixty-four places, from the lowest on: the ends of runs of which any place is set. In each run ones are
/// added to all places but the last, so that any that is set carries into that of the last, and no further; a run that
/// goes on in the next word carries there.
#[inline]
fn any_of_runs(word: u64, ends: u64, carry: &mut bool) -> u64 {
    let others = !ends;
    let (sum, beyond) = (word & others).overflowing_add(others);
    let (sum, further) = sum.overflowing_add(u64::from(*carry));
    *carry = beyond | further;
    (sum | word) & ends
}

fn rows_of(words: &[u64]) -> Rows<'_> {
    Rows { words: words.iter(), end: 0, rest: 0 }
}

impl Iterator for Rows<'_> {
    type Item = u32;

    fn next(&mut self) -> Option<u32> {
        while self.rest == 0 {
            self.rest = *self.words.next()?;
            self.end += 64;
        }
        let row = self.end - 64 + self.rest.trailing_zeros();
        self.rest &= self.rest - 1;
        Some(row)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: [u32; 5] = [0, 63, 64, 129, 199];

    #[test]
    fn the_rows_of_a_set_are_those_put_in_across_words() {
        let bits = Bits::of(200, ROWS.into_iter().chain([5_000]));
        assert_eq!(bits.rows().collect::<Vec<_>>(), ROWS);
        assert_eq!(
            (bits.count(), bits.holds(129), bits.holds(130), bits.holds(5_000)),
            (5, true, false, false)
        );
        assert_eq!((Bits::none(0).count(), Bits::none(0).rows().count()), (0, 0));
    }

    #[test]
    fn sets_are_counted_among_the_rows_asked_for() {
        let sets = Sets::of(200, 3, [(0, 0), (64, 0), (199, 0), (64, 2), (65, 2)].into_iter());
        let mut counts = [9; 3];
        sets.count(&Bits::of(200, ROWS), &mut counts);
        assert_eq!(counts, [3, 0, 1]);
        let mut third = Bits::none(200);
        third.add_set(&sets, 2);
        assert_eq!(third.rows().collect::<Vec<_>>(), [64, 65]);
    }

    #[test]
    fn rows_are_kept_added_and_dropped() {
        let mut bits = Bits::of(200, ROWS);
        bits.keep(&Bits::of(200, [63, 64, 65]));
        bits.add(&Bits::of(200, [1, 199]));
        bits.drop_all(&Bits::of(200, [63]));
        bits.insert(65);
        bits.remove(65);
        assert_eq!(bits.rows().collect::<Vec<_>>(), [1, 64, 199]);
    }

    #[test]
    fn a_run_has_any_of_its_places_wherever_it_stands_in_words() {
        // Runs of 1, 3, 60, 2, 130, 1, 3 places, so that they end at, before and far behind the end of a word.
        let lengths = [1, 3, 60, 2, 130, 1, 3];
        let ends: Vec<u32> = lengths
            .iter()
            .scan(0, |end, length| {
                *end += length;
                Some(*end - 1)
            })
            .collect();
        let ends_as_bits = Bits::of(200, ends.iter().copied());
        let run_of = |place: u32| ends.iter().position(|end| place <= *end);
        let mut picked = vec![vec![], (0..200).collect(), vec![0], vec![1], vec![3, 4], vec![63, 64, 65]];
        picked.extend((0..200).map(|place| vec![place]));
        picked.extend((0..190).map(|place| vec![place, place + 7]));
        for places in picked {
            let mut expected: Vec<u32> =
                places.iter().filter_map(|place| Some(ends[run_of(*place)?])).collect();
            expected.dedup();
            let bits = Bits::of(200, places.iter().copied());
            assert_eq!(
                runs_with_any(&bits, &ends_as_bits).rows().collect::<Vec<_>>(),
                expected,
                "{places:?}"
            );
            let sets = Sets::of(200, 1, (0..200).map(|place| (place, 0)));
            assert_eq!(count_runs(&bits, (&sets, 0), &ends_as_bits, &ends_as_bits), expected.len() as u32);
        }
        assert_eq!(Bits::all(130).count(), 130);
        assert_eq!((Bits::all(0).count(), Bits::all(64).count()), (0, 64));
    }

    #[test]
    fn a_group_of_very_many_values_has_no_sets() {
        assert!(Sets::of_slots(10, MOST_SETS, std::iter::empty()).is_some());
        assert!(Sets::of_slots(10, MOST_SETS + 1, std::iter::empty()).is_none());
    }
}
