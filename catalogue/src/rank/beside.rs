//! Why one shoe stands above another: their lines side by side, and what of the order decided.

use super::Ranker;
use super::explanation::{Explanation, Line, What};
use super::groups::are_near_twins;
use super::score::Score;
use crate::measures::Measures;
use crate::style::words;
use crate::units::div_half_up;

words! {
    /// What put one of two shoes above the other, in the order in which it is asked.
    Decided {
        /// Suitability in whole points.
        Points => "points",
        /// Pairs in the working sizes.
        Pairs => "pairs",
        /// Exact suitability, within one whole point.
        Exact => "exact points",
        /// The narrower interval.
        Interval => "interval",
        /// Nothing of the shoe: the order of the keys.
        Key => "key",
    }
}

/// One line of two explanations.
#[derive(Clone, Copy, Debug)]
pub struct Beside {
    /// What it is about.
    pub what: What,
    /// The line of the first shoe; `None` where a rule is silent on it, which counts 0.
    pub this: Option<Line>,
    /// The line of the second.
    pub other: Option<Line>,
}

impl Beside {
    /// How much more the first shoe has of this line, in tenths of a point.
    pub fn difference(&self) -> i32 {
        let at = |line: Option<Line>| line.map_or(0, |line| line.points.at);
        at(self.this) - at(self.other)
    }
}

impl Explanation {
    /// The lines of two shoes of one runner side by side; their differences add up to that of the totals.
    pub fn beside(&self, other: &Self) -> Vec<Beside> {
        let (mine, theirs) = (self.merged(), other.merged());
        let find = |lines: &[Line], what: &What| lines.iter().copied().find(|l| l.what.is_about(what));
        let both = mine.iter().map(|line| Beside {
            what: line.what,
            this: Some(*line),
            other: find(&theirs, &line.what),
        });
        let theirs_alone = theirs.iter().filter(|line| find(&mine, &line.what).is_none());
        let alone = theirs_alone.map(|line| Beside { what: line.what, this: None, other: Some(*line) });
        both.chain(alone).collect()
    }

    /// The lines, two caps of one tissue as one line.
    fn merged(&self) -> Vec<Line> {
        let mut merged: Vec<Line> = Vec::new();
        for line in &self.lines {
            match merged.iter_mut().find(|known| known.what.is_about(&line.what)) {
                Some(known) => known.points += line.points,
                None => merged.push(*line),
            }
        }
        merged
    }
}

impl What {
    /// Whether two lines are about the same thing, whatever they say of it.
    pub fn is_about(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Base, Self::Base) => true,
            (Self::Measure(a), Self::Measure(b)) => a.band.measure == b.band.measure,
            (Self::Rule(a), Self::Rule(b)) => a.rule.id == b.rule.id,
            (Self::Cap(a), Self::Cap(b)) => a == b,
            _ => false,
        }
    }
}

impl Ranker {
    /// Whether two shoes are so near to each other that only one of them is brought out first.
    pub fn are_near_twins(&self, this: &Measures, other: &Measures) -> bool {
        are_near_twins(this, other, self.landing())
    }
}

impl Score {
    /// The suitability in whole points, rounded half up: what the order asks first.
    pub const fn whole_points(&self) -> i64 {
        div_half_up(self.suitability as i64, 10)
    }
}

/// What decides between two shoes, each with its pairs in the working sizes.
pub fn decided((this, pairs): (&Score, u32), (other, other_pairs): (&Score, u32)) -> Decided {
    let width = |score: &Score| score.high - score.low;
    if this.whole_points() != other.whole_points() {
        Decided::Points
    } else if pairs != other_pairs {
        Decided::Pairs
    } else if this.suitability != other.suitability {
        Decided::Exact
    } else if width(this) != width(other) {
        Decided::Interval
    } else {
        Decided::Key
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::injury::{Answer, Injury, Region};
    use crate::policy::HousePolicy;
    use crate::runner::{BodyMass, Runner};
    use crate::style::Specification;
    use crate::units::{Kilograms, Mm};

    fn shoe(heel: i32, forefoot: Option<i32>) -> Measures {
        let (heel_stack, forefoot_stack) = (Some(Mm::whole(heel)), forefoot.map(Mm::whole));
        Measures::of(&Specification { heel_stack, forefoot_stack, ..Specification::default() }, None)
    }

    fn ranker() -> Ranker {
        let calf = Injury { recent: Answer::Yes, ..Injury::of(Region::Calf) };
        let bone = Injury { cleared: Answer::Yes, ..Injury::of(Region::FootBone) };
        let runner = Runner {
            injuries: vec![calf, bone],
            body_mass: Some(BodyMass::Exactly(Kilograms::whole(88))),
            weekly_km: Some(50),
            ..Runner::default()
        };
        Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap()
    }

    #[test]
    fn the_differences_of_the_lines_add_up_to_that_of_the_totals() {
        let ranker = ranker();
        let shoes = [shoe(32, Some(24)), shoe(12, Some(12)), shoe(50, Some(40)), shoe(18, None)];
        for (a, b) in shoes.iter().flat_map(|a| shoes.iter().map(move |b| (a, b))) {
            let (a, b) = (ranker.explain(a), ranker.explain(b));
            let sum: i32 = a.beside(&b).iter().map(Beside::difference).sum();
            assert_eq!(sum, a.total().at - b.total().at);
        }
        assert!(ranker.explain(&shoes[1]).lines.iter().any(|line| matches!(line.what, What::Cap(_))));
    }

    #[test]
    fn what_decides_is_what_the_order_asks_first() {
        let score =
            |suitability, low| Score { suitability, low, high: 900, known_weight: 90, may_lead: true };
        let shoes = [
            (score(704, 600), 3),
            (score(704, 600), 1),
            (score(700, 600), 3),
            (score(704, 500), 3),
            (score(690, 0), 9),
        ];
        let against = |other: usize| decided((&shoes[0].0, shoes[0].1), (&shoes[other].0, shoes[other].1));
        let said: Vec<_> = (0..shoes.len()).map(against).collect();
        assert_eq!(said, [Decided::Key, Decided::Pairs, Decided::Exact, Decided::Interval, Decided::Points]);
        for (score, pairs) in &shoes[1..] {
            assert!(shoes[0].0.order_key(shoes[0].1) < score.order_key(*pairs));
        }
    }
}
