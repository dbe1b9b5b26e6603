//! The groups of a ranked list: what to bring out first, what else to try, what lies further away.

use super::score::Score;
use super::{NotFirst, Ranker, Row};
use crate::measures::{Landing, Measures};
use crate::style::words;

words! {
    /// Where a shoe stands.
    Group {
        /// Bring out first.
        First => "first",
        /// Also worth trying.
        Also => "also",
        /// Further away.
        Further => "further",
        /// The sheet says too little to rank it.
        TooLittle => "too-little",
        /// The style worn now, beside the list: only when less or more is looked for.
        Aside => "aside",
    }
}

/// One shoe in its place.
#[derive(Clone, Copy, Debug)]
pub struct Placed {
    /// Its measures.
    pub measures: Measures,
    /// Its score.
    pub score: Score,
    /// It is the style worn now.
    pub worn: bool,
}

/// The groups, and what kept shoes near the top from being brought out first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grouping {
    /// One a shoe, in the order given.
    pub groups: Vec<Group>,
    /// Shoes within 15 points of the first that may not be brought out first, with the reason.
    pub kept_back: Vec<(usize, NotFirst)>,
}

/// At most this many are brought out first, within `FIRST_WITHIN` tenths of a point.
const FIRST_AT_MOST: usize = 3;
pub(super) const FIRST_WITHIN: i16 = 150;
/// At most this many more are worth trying, within `ALSO_WITHIN` tenths of a point.
const ALSO_AT_MOST: usize = 7;
const ALSO_WITHIN: i16 = 250;

impl Ranker {
    /// Puts a list, sorted in order, into groups.
    pub fn group(&self, ordered: &[Placed]) -> Grouping {
        let aside = matches!(self.brief.row, Row::Less | Row::More);
        let mut groups: Vec<Group> = ordered.iter().map(|shoe| start(shoe, aside)).collect();
        let ranked: Vec<usize> = (0..ordered.len()).filter(|i| groups[*i] == Group::Further).collect();
        let Some(best) = ranked.first().map(|i| ordered[*i].score.suitability) else {
            return Grouping { groups, kept_back: Vec::new() };
        };
        let within = |limit: i16| {
            ranked.iter().copied().filter(move |i| best - ordered[*i].score.suitability <= limit)
        };
        let (first, kept_back) = self.first(within(FIRST_WITHIN), ordered, aside);
        for i in &first {
            groups[*i] = Group::First;
        }
        for i in within(ALSO_WITHIN).filter(|i| !first.contains(i)).take(ALSO_AT_MOST) {
            groups[i] = Group::Also;
        }
        Grouping { groups, kept_back }
    }

    /// Walks down the order and takes up to three that may lead and are no near twins of one taken.
    fn first(
        &self,
        candidates: impl Iterator<Item = usize>,
        ordered: &[Placed],
        aside: bool,
    ) -> (Vec<usize>, Vec<(usize, NotFirst)>) {
        let mut taken: Vec<usize> = Vec::new();
        let mut kept_back = Vec::new();
        for i in candidates {
            let shoe = &ordered[i].measures;
            if let Some(reason) = self.why_not_first(shoe) {
                kept_back.push((i, reason));
            } else if taken.len() < FIRST_AT_MOST && !self.is_twin(shoe, &taken, ordered, aside) {
                taken.push(i);
            }
        }
        (taken, kept_back)
    }

    fn is_twin(&self, shoe: &Measures, taken: &[usize], ordered: &[Placed], aside: bool) -> bool {
        let worn = self.case.worn.filter(|_| aside).map(|worn| worn.measures);
        let twins = |other: &Measures| are_near_twins(shoe, other, self.brief.landing);
        taken.iter().any(|i| twins(&ordered[*i].measures)) || worn.is_some_and(|worn| twins(&worn))
    }
}

fn start(shoe: &Placed, aside: bool) -> Group {
    if shoe.worn && aside {
        Group::Aside
    } else if shoe.score.is_ranked() {
        Group::Further
    } else {
        Group::TooLittle
    }
}

/// Within 1 mm of drop, 2 mm of landing stack, 15 g and a bending step, those included. A measure unknown in either
/// makes no difference; with neither drop nor landing stack known in both there are no twins.
pub(super) fn are_near_twins(a: &Measures, b: &Measures, landing: Landing) -> bool {
    let drop = a.drop().zip(b.drop()).map(|(a, b)| (a.in_tenths() - b.in_tenths()).abs() <= 10);
    let stack = a.landing_stack(landing).zip(b.landing_stack(landing));
    let stack = stack.map(|(a, b)| (a.in_tenths() - b.in_tenths()).abs() <= 20);
    let mass = a.mass().zip(b.mass()).map(|(a, b)| (a.in_tenths() - b.in_tenths()).abs() <= 150);
    let bending = a.bending().zip(b.bending()).map(|(a, b)| a.step().abs_diff(b.step()) <= 1);
    let comparable = drop.is_some() || stack.is_some();
    comparable && [drop, stack, mass, bending].into_iter().all(|near| near.unwrap_or(true))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::Specification;
    use crate::units::{Grams, Mm};

    fn shoe(heel: i32, drop: Option<i32>, mass: i32) -> Measures {
        let specification = Specification {
            heel_stack: Some(Mm::tenths(heel)),
            drop_stated: drop.map(Mm::tenths),
            mass: Some(Grams::tenths(mass)),
            ..Specification::default()
        };
        Measures::of(&specification, None)
    }

    #[test]
    fn near_twins_include_the_limits() {
        let a = shoe(320, Some(80), 2500);
        assert!(are_near_twins(&a, &shoe(340, Some(90), 2650), Landing::Heel));
        assert!(!are_near_twins(&a, &shoe(341, Some(90), 2650), Landing::Heel));
        assert!(!are_near_twins(&a, &shoe(340, Some(91), 2650), Landing::Heel));
        assert!(!are_near_twins(&a, &shoe(340, Some(90), 2651), Landing::Heel));
    }

    #[test]
    fn a_measure_unknown_in_either_makes_no_difference_but_both_unknown_make_no_twins() {
        let a = shoe(320, Some(80), 2500);
        assert!(are_near_twins(&a, &shoe(320, None, 2500), Landing::Heel));
        assert!(!are_near_twins(&Measures::UNKNOWN, &Measures::UNKNOWN, Landing::Heel));
    }
}
