//! Codes: each group turns what a shoe says into a small number, and knows which facet values it stands for.
//!
//! A code is one distinct thing that is said (a drop of 8.0 mm, road and trail together); a slot is one thing that
//! is counted for a reader (the band 6-8 mm, a bar of the histogram, road).

use super::bands::{Bands, Bins};
use super::bits::Sets;

/// The value of a shoe that does not say.
pub const NOT_GIVEN: &str = "not-given";

/// A value of a facet: as it is written in a URL, and as it is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Value {
    pub(crate) value: String,
    pub(crate) label: String,
}

/// What the codes of one group stand for.
#[derive(Debug)]
pub(crate) struct Vocabulary {
    /// The facet values in reading order; they are the first slots.
    pub(crate) values: Vec<Value>,
    /// The bars of the histogram, of a group with numbers; their slots follow the values.
    pub(crate) bins: Option<Bins>,
    /// The number behind each code, of a group with numbers.
    pub(crate) numbers: Vec<Option<i64>>,
    /// Its first code and its first slot among those of its level.
    pub(crate) first_code: usize,
    pub(crate) first_slot: usize,
    slots: Lists,
}

/// The codes of one group, row by row, and what they stand for.
pub(crate) struct Column {
    pub(crate) codes: Vec<u32>,
    pub(crate) vocabulary: Vocabulary,
}

/// The groups of one level (styles or SKUs), their codes and slots numbered through.
#[derive(Debug)]
pub(crate) struct Level {
    pub(crate) vocabularies: Vec<Vocabulary>,
    pub(crate) codes: usize,
    pub(crate) slots: usize,
    /// By slot: whether a style that is supplied counts there. A value that none has is nobody's choice.
    given: Vec<bool>,
}

/// Many short lists in one allocation.
#[derive(Clone, Debug)]
pub(crate) struct Lists {
    ends: Vec<u32>,
    members: Vec<u32>,
}

impl Value {
    pub(crate) fn new(value: &str, label: &str) -> Self {
        Self { value: value.into(), label: label.into() }
    }

    /// A value that is written as it is read.
    pub(crate) fn plain(word: &str) -> Self {
        Self::new(word, word)
    }

    pub(crate) fn not_given() -> Self {
        Self::new(NOT_GIVEN, "not given")
    }
}

impl Column {
    /// Codes `said`, one entry a row. `slots` gives the values that a thing said counts for.
    pub(crate) fn of<K: Ord + Clone>(
        said: &[K],
        values: Vec<Value>,
        slots: impl Fn(&K) -> Vec<usize>,
    ) -> (Self, Vec<K>) {
        let (codes, distinct) = coded(said);
        let vocabulary = Vocabulary {
            values,
            bins: None,
            numbers: Vec::new(),
            first_code: 0,
            first_slot: 0,
            slots: Lists::of(distinct.iter().map(slots)),
        };
        (Self { codes, vocabulary }, distinct)
    }

    /// Codes numbers: each counts for its band and for its bar, a missing one for *not given*.
    pub(crate) fn of_numbers(said: &[Option<i64>], bands: &Bands, bins: Bins) -> Self {
        let not_given = bands.values.len();
        let slots = |number: &Option<i64>| match *number {
            None => vec![not_given],
            Some(n) => vec![bands.of(n), not_given + 1 + bins.of(n)],
        };
        let values = bands.values.iter().cloned().chain([Value::not_given()]).collect();
        let (mut column, numbers) = Self::of(said, values, slots);
        column.vocabulary.numbers = numbers;
        column.vocabulary.bins = Some(bins);
        column
    }
}

impl Vocabulary {
    /// How many codes there are.
    pub(crate) fn len(&self) -> usize {
        self.slots.ends.len()
    }

    /// The slots that a code of this group counts for, numbered from the group's first.
    pub(crate) fn slots(&self, code: usize) -> &[u32] {
        self.slots.get(code)
    }

    /// The same for a code of the level's numbering.
    pub(crate) fn slots_of(&self, code: u32) -> &[u32] {
        self.slots(code as usize - self.first_code)
    }

    /// The codes of the numbers from `from` to `to`, numbered from the group's first: they stand in the order of
    /// numbers, behind the one that does not say.
    pub(crate) fn codes_between(&self, from: i64, to: i64) -> std::ops::Range<usize> {
        let before = |number: &Option<i64>| number.is_none_or(|n| n < from);
        let within = |number: &Option<i64>| number.is_none_or(|n| n <= to);
        self.numbers.partition_point(before)..self.numbers.partition_point(within)
    }

    /// The slot of a value as it is written in a URL, numbered from the group's first.
    pub(crate) fn slot_of(&self, value: &str) -> Option<usize> {
        self.values.iter().position(|known| *known.value == *value)
    }

    /// How many slots there are: values and bars.
    pub(crate) fn width(&self) -> usize {
        self.values.len() + self.bins.as_ref().map_or(0, |bins| bins.count)
    }

    /// The rows of each code one code after the other, so that those between two numbers are one piece; `None` for a
    /// group without numbers.
    pub(crate) fn in_order(&self, codes: &[u32]) -> Option<Lists> {
        self.bins.map(|_| {
            let mut rows: Vec<Vec<usize>> = vec![Vec::new(); self.len()];
            codes.iter().enumerate().for_each(|(row, code)| rows[*code as usize - self.first_code].push(row));
            Lists::of(rows)
        })
    }

    /// The rows of each slot, from the code of each row in the level's numbering.
    pub(crate) fn sets(&self, codes: &[u32]) -> Option<Sets> {
        let members = codes.iter().enumerate();
        let members = members
            .flat_map(|(row, code)| self.slots_of(*code).iter().map(move |slot| (row, *slot as usize)));
        Sets::of_slots(codes.len(), self.width(), members)
    }
}

impl Level {
    /// Numbers the codes of all columns through and lays them out row by row.
    pub(crate) fn of<const N: usize>(columns: [Column; N]) -> (Self, Vec<[u32; N]>) {
        let mut level = Self { vocabularies: Vec::with_capacity(N), codes: 0, slots: 0, given: Vec::new() };
        let mut rows = vec![[0; N]; columns.first().map_or(0, |column| column.codes.len())];
        for (place, Column { codes, mut vocabulary }) in columns.into_iter().enumerate() {
            for (row, code) in rows.iter_mut().zip(codes) {
                row[place] = code + level.codes as u32;
            }
            vocabulary.first_code = level.codes;
            vocabulary.first_slot = level.slots;
            level.codes += vocabulary.len();
            level.slots += vocabulary.width();
            level.vocabularies.push(vocabulary);
        }
        (level, rows)
    }

    /// Takes in which values the rows have that are supplied, each as the codes of all groups.
    pub(crate) fn give<'c>(&mut self, rows: impl Iterator<Item = &'c [u32]>) {
        self.given = self.given_by(rows);
    }

    /// Whether these rows give the values that are given.
    pub(crate) fn gives_the_same<'c>(&self, rows: impl Iterator<Item = &'c [u32]>) -> bool {
        self.given == self.given_by(rows)
    }

    fn given_by<'c>(&self, rows: impl Iterator<Item = &'c [u32]>) -> Vec<bool> {
        let mut codes = vec![false; self.codes];
        rows.flatten().for_each(|code| codes[*code as usize] = true);
        let mut given = vec![false; self.slots];
        for vocabulary in &self.vocabularies {
            let own = (0..vocabulary.len()).filter(|code| codes[vocabulary.first_code + code]);
            for slot in own.flat_map(|code| vocabulary.slots(code)) {
                given[vocabulary.first_slot + *slot as usize] = true;
            }
        }
        given
    }

    /// Whether a style that is supplied counts in a slot.
    pub(crate) fn is_given(&self, slot: usize) -> bool {
        self.given.get(slot).copied().unwrap_or(false)
    }

    /// The slots of a code of this level's numbering.
    pub(crate) fn slots_of(&self, place: usize, code: u32) -> impl Iterator<Item = usize> + '_ {
        let vocabulary = &self.vocabularies[place];
        vocabulary.slots_of(code).iter().map(|slot| vocabulary.first_slot + *slot as usize)
    }
}

impl Lists {
    pub(crate) fn of(lists: impl IntoIterator<Item = Vec<usize>>) -> Self {
        let mut all = Self { ends: Vec::new(), members: Vec::new() };
        for list in lists {
            all.members.extend(list.into_iter().map(|member| member as u32));
            all.ends.push(all.members.len() as u32);
        }
        all
    }

    /// Puts other lists in place of some, which are in order.
    pub(crate) fn exchange(&mut self, others: Vec<(usize, Vec<u32>)>) {
        let mut next = Self {
            ends: Vec::with_capacity(self.ends.len()),
            members: Vec::with_capacity(self.members.len()),
        };
        let mut from = 0;
        for (at, list) in others {
            next.take(self, from..at);
            next.members.extend(list);
            next.ends.push(next.members.len() as u32);
            from = at + 1;
        }
        next.take(self, from..self.ends.len());
        *self = next;
    }

    /// Takes lists of another over, behind its own.
    fn take(&mut self, other: &Self, lists: std::ops::Range<usize>) {
        let (start, own) =
            (if lists.start == 0 { 0 } else { other.ends[lists.start - 1] }, self.members.len() as u32);
        self.ends.extend(other.ends[lists.clone()].iter().map(|end| end - start + own));
        self.members.extend(other.span(lists));
    }

    pub(crate) fn get(&self, at: usize) -> &[u32] {
        self.span(at..at + 1)
    }

    /// The members of lists that stand one behind the other.
    pub(crate) fn span(&self, lists: std::ops::Range<usize>) -> &[u32] {
        let start = |at: usize| if at == 0 { 0 } else { self.ends[at - 1] as usize };
        &self.members[start(lists.start)..start(lists.end)]
    }
}

/// The distinct things said, in order, and for each row the place of its own among them.
fn coded<K: Ord + Clone>(said: &[K]) -> (Vec<u32>, Vec<K>) {
    let mut order: Vec<u32> = (0..said.len() as u32).collect();
    order.sort_by_key(|row| &said[*row as usize]);
    let mut codes = vec![0; said.len()];
    let mut distinct: Vec<K> = Vec::new();
    for row in order {
        let own = &said[row as usize];
        if distinct.last() != Some(own) {
            distinct.push(own.clone());
        }
        codes[row as usize] = distinct.len() as u32 - 1;
    }
    (codes, distinct)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_number_the_distinct_things_that_are_said() {
        assert_eq!(
            coded(&["road", "trail", "road", "indoor"]),
            (vec![1, 2, 1, 0], vec!["indoor", "road", "trail"])
        );
    }

    #[test]
    fn seventy_thousand_distinct_things_have_seventy_thousand_codes() {
        let said: Vec<u32> = (0..70_000).collect();
        assert_eq!(coded(&said).0, said);
    }

    #[test]
    fn the_rows_between_two_numbers_stand_side_by_side() {
        let said = [Some(30), None, Some(10), Some(30), Some(20)];
        let bins = Bins::over(said.iter().flatten().copied(), 10);
        let Column { codes, vocabulary } = Column::of_numbers(&said, &Bands::drop(), bins);
        let in_order = vocabulary.in_order(&codes).unwrap();
        let between = |from, to| in_order.span(vocabulary.codes_between(from, to));
        assert_eq!(between(11, 30), [4, 0, 3]);
        assert_eq!(between(i64::MIN, i64::MAX), [2, 4, 0, 3], "nobody who does not say");
        assert!(between(11, 19).is_empty() && between(31, 40).is_empty());
    }

    #[test]
    fn the_codes_of_a_level_are_numbered_through() {
        let column = || Column::of(&[2, 1], vec![Value::plain("a"), Value::plain("b")], |n| vec![*n - 1]).0;
        let (level, rows) = Level::of([column(), column()]);
        assert_eq!(rows, [[1, 3], [0, 2]]);
        assert_eq!(level.slots_of(1, 3).collect::<Vec<_>>(), [3]);
    }
}
