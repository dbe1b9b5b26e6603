//! The rows that hold what was asked for, and how well each does.

use std::sync::Arc;

use super::build::FIELDS;
use crate::snapshot::bits::Bits;

/// What a word that only begins alike counts: less than any word that is the same.
const PREFIX_SCORE: f32 = 0.01;
/// What the fields count, each once, most first.
const BOOSTS: [f32; 3] = [3.0, 2.0, 1.0];

/// The rows that hold all words.
pub(crate) struct Held {
    /// The rows.
    pub(crate) rows: Bits,
    /// Those with a score of their own, in order.
    scored: Vec<(u32, f32)>,
    /// What the others score.
    begins: Option<Arc<Beginnings>>,
}

/// The rows that hold a word with some beginning, by what the field counts.
pub(super) struct Beginnings([Bits; BOOSTS.len()]);

impl Held {
    /// Rows with a score each, in order, out of so many.
    pub(super) fn scored(rows: usize, scored: Vec<(u32, f32)>) -> Self {
        Self { rows: Bits::of(rows, scored.iter().map(|(row, _)| *row)), scored, begins: None }
    }

    /// Rows with some beginning, of which those in `whole` have a score of their own.
    pub(super) fn beginning(begins: Arc<Beginnings>, mut whole: Vec<(u32, f32)>) -> Self {
        for (row, score) in &mut whole {
            *score = score.max(begins.score(*row).unwrap_or(0.0));
        }
        Self { rows: begins.all(), scored: whole, begins: Some(begins) }
    }

    /// Every row with its score.
    pub(super) fn all(&self) -> Vec<(u32, f32)> {
        self.scores(self.rows.rows()).collect()
    }

    /// At least the `most` best of `hits`, with their scores, in any order: of rows that score alike the first.
    pub(crate) fn leading(&self, hits: &Bits, most: usize) -> Vec<(u32, f32)> {
        let scored = self.scored.iter().copied().filter(|(row, _)| hits.holds(*row));
        let mut leading: Vec<(u32, f32)> = scored.collect();
        let Some(begins) = &self.begins else { return leading };
        let mut left = hits.clone();
        self.scored.iter().for_each(|(row, _)| left.remove(*row));
        for (rows, boost) in begins.0.iter().zip(BOOSTS) {
            let mut alike = left.clone();
            alike.keep(rows);
            left.drop_all(rows);
            leading.extend(alike.rows().take(most).map(|row| (row, PREFIX_SCORE * boost)));
        }
        leading
    }

    /// Each of `rows`, which are in order, with its score; 0 for one that does not hold the words.
    pub(crate) fn scores(&self, rows: impl Iterator<Item = u32>) -> impl Iterator<Item = (u32, f32)> {
        let mut scored = self.scored.iter().peekable();
        rows.map(move |row| {
            while scored.next_if(|(other, _)| *other < row).is_some() {}
            let own = scored.peek().filter(|(other, _)| *other == row).map(|(_, score)| *score);
            let begins = || self.begins.as_ref().and_then(|begins| begins.score(row));
            (row, own.or_else(begins).unwrap_or(0.0))
        })
    }
}

/// The place of what a field counts among the boosts.
pub(super) fn boost_place(field: usize) -> usize {
    let boost = FIELDS[field].1;
    let place = BOOSTS.iter().take_while(|other| **other > boost).count();
    place.min(BOOSTS.len() - 1)
}

impl Beginnings {
    /// No row of so many.
    pub(super) fn none(rows: usize) -> Self {
        Self(BOOSTS.map(|_| Bits::none(rows)))
    }

    /// Takes in a row with the place of what its field counts.
    pub(super) fn insert(&mut self, row: u32, boost: u8) {
        self.0[usize::from(boost)].insert(row);
    }

    /// What a row scores by its best field; `None` when it holds no such word.
    pub(super) fn score(&self, row: u32) -> Option<f32> {
        let best = self.0.iter().zip(BOOSTS).find(|(rows, _)| rows.holds(row));
        best.map(|(_, boost)| PREFIX_SCORE * boost)
    }

    fn all(&self) -> Bits {
        let [first, rest @ ..] = &self.0;
        let mut all = first.clone();
        for rows in rest {
            all.add(rows);
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_counts_as_one_of_the_three_boosts() {
        for (place, (name, boost)) in FIELDS.into_iter().enumerate() {
            let mut begins = Beginnings::none(70);
            begins.insert(65, boost_place(place) as u8);
            let expected = PREFIX_SCORE * boost;
            assert!((begins.score(65).unwrap() - expected).abs() < 1e-9, "{name}");
        }
    }

    #[test]
    fn a_row_scores_its_own_or_by_its_best_beginning() {
        let mut begins = Beginnings::none(70);
        for (field, row) in [(0, 3), (4, 3), (3, 69), (4, 69), (2, 5)] {
            begins.insert(row, boost_place(field) as u8);
        }
        let held = Held::beginning(Arc::new(begins), vec![(5, 1.5), (69, 0.0)]);
        let scores: Vec<_> = held.scores(held.rows.rows()).collect();
        assert_eq!(scores, [(3, 0.03), (5, 1.5), (69, 0.01)]);
        let mut leading = held.leading(&held.rows, 1);
        leading.sort_by_key(|(row, _)| *row);
        assert_eq!(leading, scores, "one of each boost");
        assert_eq!(held.leading(&Bits::of(70, [5]), 9), [(5, 1.5)]);
        assert_eq!(held.scores([4, 5].into_iter()).collect::<Vec<_>>(), [(4, 0.0), (5, 1.5)]);
    }
}
