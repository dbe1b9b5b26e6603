//! On the foot: in which order shoes are tried, and what the customer's own rank of comfort decides.
//!
//! Comfort is a rank, never a number: no least difference in mm that matters was found (evidence C6). The first shoe is
//! worn once more at the end, because first impressions change (C7). Both are the rule `comfort-last`.

use super::groups::FIRST_WITHIN;
use super::{Ranker, Score};
use crate::measures::{Landing, Measures};

/// Why a shoe is tried when it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// The first: nearest to the pair worn now, or the first of the order when nothing is known of that pair.
    Nearest,
    /// Then what differs most from it.
    Contrast,
    /// Then the others, in order.
    Other,
    /// The first once more, before anything is ranked.
    Again,
}

/// A shoe that was tried: how it scores, and the customer's rank of comfort, 1 for the best; the same rank twice says
/// that no difference was felt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tried {
    /// How it suits.
    pub score: Score,
    /// The customer's rank; `None` when nobody said.
    pub rank: Option<u8>,
}

/// What the rank of comfort decides. Places are those of the list given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Fewer than two shoes have a rank.
    Unranked,
    /// The best on the foot is among those that the order cannot tell apart: comfort decides.
    Comfort {
        /// The shoe.
        best: usize,
        /// The near equals, this one included, best of the order first.
        among: Vec<usize>,
    },
    /// No difference was felt between these, and none is told by the order: looks and price decide.
    Alike(Vec<usize>),
    /// The best on the foot lies clearly further from what is looked for than another that was tried.
    Apart {
        /// The shoe.
        best: usize,
        /// The one that suits best of those tried.
        suits: usize,
    },
}

impl Ranker {
    /// The order in which shoes are tried; `shoes` are in the order of the list. With fewer than two there is none.
    pub fn turns(&self, shoes: &[Measures]) -> Vec<(usize, Turn)> {
        let landing = self.brief.landing;
        let others = || 1..shoes.len();
        if others().is_empty() {
            return Vec::new();
        }
        let worn = self.case.worn.map(|worn| worn.measures);
        let nearest = worn.and_then(|worn| least(0..shoes.len(), |at| apart(&shoes[at], &worn, landing)));
        let first = nearest.unwrap_or(0);
        let rest = || (0..shoes.len()).filter(|at| *at != first);
        let most = least(rest(), |at| apart(&shoes[at], &shoes[first], landing).map(|apart| -apart));
        let contrast = most.into_iter().map(|at| (at, Turn::Contrast));
        let others = rest().filter(|at| Some(*at) != most).map(|at| (at, Turn::Other));
        let begun = std::iter::once((first, Turn::Nearest)).chain(contrast).chain(others);
        begun.chain(std::iter::once((first, Turn::Again))).collect()
    }
}

/// What the ranks of comfort decide among the shoes that were tried.
pub fn by_comfort(tried: &[Tried]) -> Verdict {
    let ranked: Vec<usize> = (0..tried.len()).filter(|at| tried[*at].rank.is_some()).collect();
    let best_rank = ranked.iter().filter_map(|at| tried[*at].rank).min();
    let suits = |at: &usize| (-tried[*at].score.suitability, *at);
    let (Some(best_rank), Some(top)) = (best_rank, ranked.iter().copied().min_by_key(suits)) else {
        return Verdict::Unranked;
    };
    if ranked.len() < 2 {
        return Verdict::Unranked;
    }
    let near = |at: &usize| tried[top].score.suitability - tried[*at].score.suitability <= FIRST_WITHIN;
    let mut best: Vec<usize> =
        ranked.iter().copied().filter(|at| tried[*at].rank == Some(best_rank)).collect();
    best.sort_by_key(suits);
    let near_and_best: Vec<usize> = best.iter().copied().filter(near).collect();
    let mut among: Vec<usize> = ranked.iter().copied().filter(near).collect();
    among.sort_by_key(suits);
    match near_and_best.as_slice() {
        [] => Verdict::Apart { best: best[0], suits: top },
        [best] => Verdict::Comfort { best: *best, among },
        alike => Verdict::Alike(alike.to_vec()),
    }
}

/// How far apart two shoes are, the limits of near twins as the unit of each measure; the mean over what is known of
/// both, in thousandths. `None` with neither drop nor landing stack known of both: there is nothing to go by.
fn apart(a: &Measures, b: &Measures, landing: Landing) -> Option<i32> {
    let between = |a: Option<i32>, b: Option<i32>, unit: i32| Some((a? - b?).abs() * 1_000 / unit);
    let tenths = |length: Option<crate::units::Mm>| length.map(crate::units::Mm::in_tenths);
    let drop = between(tenths(a.drop()), tenths(b.drop()), 10);
    let stack = between(tenths(a.landing_stack(landing)), tenths(b.landing_stack(landing)), 20);
    let mass = between(a.mass().map(|mass| mass.in_tenths()), b.mass().map(|mass| mass.in_tenths()), 150);
    let step = |shoe: &Measures| shoe.bending().map(|bending| i32::from(bending.step()));
    let bending = between(step(a), step(b), 1);
    drop.or(stack)?;
    let known: Vec<i32> = [drop, stack, mass, bending].into_iter().flatten().collect();
    Some(known.iter().sum::<i32>() / i32::try_from(known.len()).ok()?)
}

/// The first of those with the least value; `None` when none has one.
fn least(places: impl Iterator<Item = usize>, value: impl Fn(usize) -> Option<i32>) -> Option<usize> {
    places.filter_map(|at| Some((value(at)?, at))).min().map(|(_, at)| at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measures::Worn;
    use crate::policy::HousePolicy;
    use crate::runner::Runner;
    use crate::style::{Purposes, Specification};
    use crate::units::{Grams, Mm};

    fn shoe(heel: i32, drop: i32) -> Measures {
        let specification = Specification {
            heel_stack: Some(Mm::whole(heel)),
            drop_stated: Some(Mm::whole(drop)),
            mass: Some(Grams::whole(250)),
            ..Specification::default()
        };
        Measures::of(&specification, None)
    }

    fn ranker(worn: Option<Measures>) -> Ranker {
        let worn = worn.map(|measures| Worn { measures, purposes: Purposes::default() });
        Ranker::prepare(&Runner::default(), worn.as_ref(), &HousePolicy::standard()).unwrap()
    }

    fn tried(suitability: i16, rank: u8) -> Tried {
        let score =
            Score { suitability, low: suitability, high: suitability, known_weight: 100, may_lead: true };
        Tried { score, rank: Some(rank).filter(|rank| *rank > 0) }
    }

    #[test]
    fn the_first_is_nearest_to_the_worn_pair_then_a_contrast_and_the_first_again() {
        let turns = ranker(Some(shoe(34, 8))).turns(&[shoe(30, 6), shoe(33, 8), shoe(24, 4), shoe(32, 8)]);
        let expected =
            [(1, Turn::Nearest), (2, Turn::Contrast), (0, Turn::Other), (3, Turn::Other), (1, Turn::Again)];
        assert_eq!(turns, expected);
    }

    #[test]
    fn with_an_unknown_worn_pair_the_first_of_the_order_begins() {
        let turns = ranker(None).turns(&[shoe(30, 6), shoe(24, 4)]);
        assert_eq!(turns, [(0, Turn::Nearest), (1, Turn::Contrast), (0, Turn::Again)]);
        assert!(ranker(None).turns(&[shoe(30, 6)]).is_empty(), "one shoe needs no order");
    }

    #[test]
    fn a_shoe_of_which_nothing_is_known_is_no_contrast_and_is_tried_all_the_same() {
        let blank = Measures::of(&Specification::default(), None);
        let turns = ranker(None).turns(&[shoe(30, 6), blank]);
        assert_eq!(turns, [(0, Turn::Nearest), (1, Turn::Other), (0, Turn::Again)]);
    }

    #[test]
    fn comfort_decides_among_near_equals_and_nothing_beyond_them() {
        let among = vec![1, 0];
        assert_eq!(by_comfort(&[tried(600, 1), tried(750, 2)]), Verdict::Comfort { best: 0, among });
        assert_eq!(by_comfort(&[tried(599, 1), tried(750, 2)]), Verdict::Apart { best: 0, suits: 1 });
    }

    #[test]
    fn a_shoe_nobody_ranked_takes_no_part() {
        assert_eq!(by_comfort(&[tried(600, 1), tried(900, 0)]), Verdict::Unranked);
        let among = vec![0, 1];
        assert_eq!(
            by_comfort(&[tried(600, 2), tried(590, 1), tried(900, 0)]),
            Verdict::Comfort { best: 1, among }
        );
    }

    #[test]
    fn the_same_rank_twice_says_that_no_difference_was_felt() {
        assert_eq!(by_comfort(&[tried(600, 1), tried(650, 1), tried(640, 2)]), Verdict::Alike(vec![1, 0]));
        let among = vec![1];
        assert_eq!(
            by_comfort(&[tried(400, 1), tried(650, 1)]),
            Verdict::Comfort { best: 1, among },
            "of two that feel alike only one is near what is looked for"
        );
    }
}
