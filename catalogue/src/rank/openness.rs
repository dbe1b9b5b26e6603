//! What a sheet leaves open for one runner: which measures are needed, and what each would settle once it is known.

use super::evidence::Tally;
use super::explanation::{Explanation, What};
use super::{Case, Points, Ranker};
use crate::measures::{Landing, Measure, Measures};
use crate::rules::{Rule, Speaks, Verdict};
use crate::style::{Bending, BendingWord, Specification, words};
use crate::units::Mm;

words! {
    /// A measure of a shoe that a person can take at the bench or ask a supplier for.
    Need {
        /// Heel-to-toe drop.
        Drop => "drop",
        /// Stack under the heel.
        HeelStack => "heel stack",
        /// Stack under the forefoot.
        ForefootStack => "forefoot stack",
        /// Mass of one shoe.
        Mass => "mass",
        /// Longitudinal bending.
        Bending => "bending",
        /// Whether there is a plate.
        Plate => "plate",
        /// Whether the sole is a rocker.
        Rocker => "rocker",
    }
}

/// A set of measures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Needs(u8);

/// What the interval of a shoe would become, were something known that is not given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Opening {
    /// What would have to be known: mostly one measure.
    pub by: Needs,
    /// The suitability and its interval as they are, tenths of a point.
    pub now: Points,
    /// As they would be, were what is then known to count as it counts now. Wherever in the interval of now the shoe
    /// would come to stand, it is this width that would be left.
    pub then: Points,
}

/// Heel, forefoot and drop: any two give the third.
const STACKS: Needs = Needs::of(&[Need::Drop, Need::HeelStack, Need::ForefootStack]);

impl Needs {
    /// A set of these.
    pub const fn of(needs: &[Need]) -> Self {
        let (mut bits, mut at) = (0, 0);
        while at < needs.len() {
            bits |= 1 << needs[at] as u8;
            at += 1;
        }
        Self(bits)
    }

    /// The measures a shoe gives; one that is worked out of two others is given.
    pub fn given_by(shoe: &Measures) -> Self {
        let given = [
            (Need::Drop, shoe.drop().is_some()),
            (Need::HeelStack, shoe.heel_stack().is_some()),
            (Need::ForefootStack, shoe.forefoot_stack().is_some()),
            (Need::Mass, shoe.mass().is_some()),
            (Need::Bending, shoe.bending().is_some()),
            (Need::Plate, shoe.plate().is_some()),
            (Need::Rocker, shoe.rocker().is_some()),
        ];
        given.into_iter().filter(|(_, is)| *is).fold(Self::default(), |set, (need, _)| set.with(need))
    }

    /// The set and one more.
    #[must_use]
    pub const fn with(self, need: Need) -> Self {
        Self(self.0 | 1 << need as u8)
    }

    /// What is in either.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// What is in this set and not in the other.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether all of it is in the other.
    pub const fn is_within(self, other: Self) -> bool {
        self.without(other).0 == 0
    }

    /// Whether a measure is in it.
    pub const fn contains(self, need: Need) -> bool {
        self.0 & 1 << need as u8 != 0
    }

    /// How many.
    pub const fn count(self) -> usize {
        self.0.count_ones() as usize
    }

    /// The measures, in reading order.
    pub fn iter(self) -> impl Iterator<Item = Need> {
        Need::ALL.iter().copied().filter(move |need| self.contains(*need))
    }

    /// With the third of heel, forefoot and drop, where two are in it.
    fn worked_out(self) -> Self {
        let two = STACKS.without(STACKS.without(self)).count() >= 2;
        if two { self.or(STACKS) } else { self }
    }
}

impl Opening {
    /// How much narrower the interval would be, tenths of a point.
    pub const fn settles(&self) -> i32 {
        (self.now.high - self.now.low) - (self.then.high - self.then.low)
    }
}

impl Ranker {
    /// The measures that the bands and the rules in force for this runner need to know of a shoe.
    pub fn needs(&self) -> Needs {
        let bands = Measure::ALL.iter().map(|measure| of_band(*measure, self.landing()));
        let rules = self.rules.kept().map(|rule| of_rule(rule, &self.case));
        bands.chain(rules).fold(Needs::default(), Needs::or)
    }

    /// What would settle most, first; what would settle nothing by itself is left out.
    pub fn openings(&self, shoe: &Measures) -> Vec<Opening> {
        let explanation = self.explain(shoe);
        let (given, now) = (Needs::given_by(shoe), explanation.total());
        let missing = self.needs().without(given);
        let opening = |by: Needs| {
            let then = self.knowing(&explanation, given.or(by).worked_out());
            Opening { by, now, then }
        };
        let alone = missing.iter().map(|need| Needs::default().with(need));
        let both = Needs::of(&[Need::HeelStack, Need::ForefootStack]);
        // With none of the three given, one stack alone settles little: the two are measured together.
        let both = STACKS.is_within(STACKS.without(given)).then_some(both);
        let mut openings: Vec<Opening> = alone.chain(both).map(opening).filter(|o| o.settles() > 0).collect();
        openings.sort_by_key(|opening| -opening.settles());
        openings
    }

    /// The total, were these measures known and did each line they settle count as it counts now.
    fn knowing(&self, explanation: &Explanation, known: Needs) -> Points {
        let mut tally = Tally::default();
        let mut total = Points::default();
        for line in &explanation.lines {
            let settled = |needs: Needs| {
                if needs.is_within(known) { Points::exactly(line.points.at) } else { line.points }
            };
            match &line.what {
                What::Base => total += line.points,
                What::Measure(of) => total += settled(of_band(of.band.measure, self.landing())),
                What::Rule(of) => tally.count(of.rule, settled(of_rule(of.rule, &self.case))),
                // What the caps take follows from what they cap.
                What::Cap(_) => {}
            }
        }
        total + tally.total()
    }
}

const fn of_band(measure: Measure, landing: Landing) -> Needs {
    match (measure, landing) {
        (Measure::Drop, _) => Needs::of(&[Need::Drop]),
        (Measure::LandingStack, Landing::Heel) => Needs::of(&[Need::HeelStack]),
        (Measure::LandingStack, Landing::Forefoot) => Needs::of(&[Need::ForefootStack]),
        (Measure::LandingStack, Landing::Mean) => Needs::of(&[Need::HeelStack, Need::ForefootStack]),
        (Measure::Mass, _) => Needs::of(&[Need::Mass]),
        (Measure::Bending, _) => Needs::of(&[Need::Bending]),
    }
}

/// The measures a rule needs, asked of the rule itself: it is shown a blank shoe, then one that gives what it missed.
fn of_rule(rule: &Rule, case: &Case) -> Needs {
    let Speaks::OfShoe(judge) = rule.speaks else { return Needs::default() };
    let mut needs = Needs::default();
    while let Verdict::Missed(word, ..) = judge(case, &giving(needs)) {
        let Some(need) = Need::from_word(word).filter(|need| !needs.contains(*need)) else { break };
        needs = needs.with(need);
    }
    needs
}

/// A minimal, bendable shoe of which only these measures are given: one on which rules have the most to ask.
fn giving(needs: Needs) -> Measures {
    let specification = Specification {
        heel_stack: needs.contains(Need::HeelStack).then_some(Mm::whole(10)),
        drop_stated: needs.contains(Need::Drop).then_some(Mm::whole(0)),
        bending: needs.contains(Need::Bending).then_some(Bending::Word(BendingWord::VeryFlexible)),
        plate: needs.contains(Need::Plate).then_some(false),
        rocker: needs.contains(Need::Rocker).then_some(false),
        ..Specification::default()
    };
    Measures::of(&specification, None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::injury::{Answer, Injury, Region};
    use crate::policy::HousePolicy;
    use crate::rules::{Gives, RULES};
    use crate::runner::{BodyMass, Runner};
    use crate::strike::{Strike, StrikePattern, StrikeSeen};
    use crate::units::{Grams, Kilograms};

    fn ranker(set: impl Fn(&mut Runner)) -> Ranker {
        let mut runner = Runner::default();
        set(&mut runner);
        Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap()
    }

    fn calf(runner: &mut Runner) {
        runner.injuries = vec![Injury { recent: Answer::Yes, ..Injury::of(Region::Calf) }];
        runner.strike = Strike {
            pattern: Some(StrikePattern::Rearfoot),
            seen: Some(StrikeSeen::Video),
            ..Strike::default()
        };
    }

    fn shoe(set: impl Fn(&mut Specification)) -> Measures {
        let mut specification = Specification { mass: Some(Grams::whole(250)), ..Specification::default() };
        set(&mut specification);
        Measures::of(&specification, None)
    }

    fn words(needs: Needs) -> Vec<&'static str> {
        needs.iter().map(Need::word).collect()
    }

    #[test]
    fn every_measure_a_rule_can_miss_is_one_that_can_be_named() {
        for rule in RULES {
            for example in rule.examples {
                if let Gives::Missed(word) = example.gives {
                    let need = Need::from_word(word);
                    assert!(need.is_some(), "{}: {word}", rule.id);
                    let needs = of_rule(rule, &(example.case)());
                    assert!(needs.contains(need.unwrap()), "{}: {word}", rule.id);
                }
            }
        }
    }

    #[test]
    fn a_runner_needs_what_the_bands_and_the_rules_in_force_ask() {
        assert_eq!(words(ranker(calf).needs()), ["drop", "heel stack", "mass", "bending"]);
        let mean = ranker(|_| {}).needs();
        assert_eq!(words(mean), ["drop", "heel stack", "forefoot stack", "mass", "bending"]);
        let achilles = ranker(|runner| {
            calf(runner);
            runner.injuries[0].region = Region::Achilles;
        });
        assert_eq!(words(achilles.needs()), ["drop", "heel stack", "mass", "bending", "rocker"]);
    }

    #[test]
    fn what_a_shoe_gives_counts_what_is_worked_out() {
        let given = Needs::given_by(&shoe(|s| {
            s.heel_stack = Some(Mm::whole(32));
            s.drop_stated = Some(Mm::whole(8));
        }));
        assert_eq!(words(given), ["drop", "heel stack", "forefoot stack", "mass"]);
    }

    /// Worked by hand: a heel of 32 mm in 28 to 36, mass 250 g in 180 to 300, drop and bending unknown.
    #[test]
    fn a_known_drop_leaves_the_width_of_the_other_lines() {
        let ranker = ranker(calf);
        let openings = ranker.openings(&shoe(|s| s.heel_stack = Some(Mm::whole(32))));
        let of: Vec<_> = openings.iter().map(|o| (words(o.by), o.settles())).collect();
        // Drop: 21.0 of the band and the calf rule from -3.0 to +3.0; bending: 7.0 of the band.
        assert_eq!(of, [(vec!["drop"], 270), (vec!["bending"], 70)]);
        let Opening { now, then, .. } = openings[0];
        assert_eq!((now.high - now.low, then.high - then.low), (340, 70));
        assert_eq!((then.at, then.high - then.at), (now.at, 35));
    }

    #[test]
    fn of_a_shoe_without_any_stack_the_two_are_asked_for_together() {
        let openings = ranker(|_| {}).openings(&shoe(|_| {}));
        assert_eq!(words(openings[0].by), ["heel stack", "forefoot stack"]);
        assert_eq!(openings[0].settles(), 210 + 280);
        assert!(openings.iter().any(|o| words(o.by) == ["drop"] && o.settles() == 210));
        assert!(!openings.iter().any(|o| words(o.by) == ["heel stack"]), "alone it settles nothing");
    }

    #[test]
    fn a_shoe_that_gives_everything_leaves_nothing_open() {
        let full = shoe(|s| {
            (s.heel_stack, s.forefoot_stack) = (Some(Mm::whole(32)), Some(Mm::whole(24)));
            s.bending = Some(Bending::Word(BendingWord::Medium));
        });
        assert_eq!(ranker(calf).openings(&full), []);
    }

    /// Whatever the drop turns out to be, the interval is not wider than was said.
    #[test]
    fn no_value_leaves_more_open_than_was_said() {
        let ranker = ranker(|runner| {
            calf(runner);
            runner.body_mass = Some(BodyMass::Exactly(Kilograms::whole(88)));
            runner.weekly_km = Some(60);
        });
        for heel in [10, 18, 24, 40] {
            let without = shoe(|s| s.heel_stack = Some(Mm::whole(heel)));
            let opening = ranker.openings(&without)[0];
            for drop in 0..=heel {
                let score = ranker.score(&shoe(|s| {
                    s.heel_stack = Some(Mm::whole(heel));
                    s.drop_stated = Some(Mm::whole(drop));
                }));
                let left = i32::from(score.high) - i32::from(score.low);
                assert!(left <= opening.then.high - opening.then.low, "heel {heel}, drop {drop}");
                let (low, high) = (i32::from(score.low), i32::from(score.high));
                assert!(low >= opening.now.low && high <= opening.now.high, "heel {heel}, drop {drop}");
            }
        }
    }
}
