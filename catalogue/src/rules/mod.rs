//! The rules: one record a rule, one file a rule, one visible list.
//!
//! A rule speaks either of a shoe (and gives it a share of its grade's weight, or a printed sentence) or of the
//! runner (and is printed once, as a note). It never removes a shoe.

use crate::evidence::{Evidence, Grade};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;
use crate::style::words;
use crate::units::div_round;

mod achilles_rocker;
mod ankle_tall;
mod big_toe_bending;
mod bone_stress_minimal;
mod bone_stress_plate;
mod cadence;
mod calf_drop;
mod comfort_last;
mod examples;
mod foot_posture;
mod knee_arthritis;
mod kneecap_drop;
mod kneecap_rocker;
mod low_drop_occasional;
mod low_drop_regular;
mod minimal_and_distance;
mod minimal_and_mass;
mod plate_spread;
mod previous_injury;
mod race_mass;
mod race_thickness;
mod rearfoot_thin;
mod rotate_pairs;
mod soft_for_light;
mod tall_stack;

pub use low_drop_regular::LOW_DROP_CUT;

/// All rules, in reading order: grouped by the question they answer.
pub static RULES: &[&Rule] = &[
    &low_drop_regular::RULE,
    &low_drop_occasional::RULE,
    &soft_for_light::RULE,
    &minimal_and_mass::RULE,
    &minimal_and_distance::RULE,
    &rearfoot_thin::RULE,
    &tall_stack::RULE,
    &foot_posture::RULE,
    &calf_drop::RULE,
    &achilles_rocker::RULE,
    &kneecap_drop::RULE,
    &kneecap_rocker::RULE,
    &cadence::RULE,
    &big_toe_bending::RULE,
    &bone_stress_minimal::RULE,
    &bone_stress_plate::RULE,
    &ankle_tall::RULE,
    &knee_arthritis::RULE,
    &race_mass::RULE,
    &plate_spread::RULE,
    &race_thickness::RULE,
    &previous_injury::RULE,
    &rotate_pairs::RULE,
    &comfort_last::RULE,
];

/// One rule. Nothing in it may be left out.
#[derive(Debug)]
pub struct Rule {
    /// Its name in links, files and printed advice; never changes.
    pub id: &'static str,
    /// What it answers.
    pub question: Question,
    /// One sentence in the fitter's words.
    pub says: &'static str,
    /// What stands behind it.
    pub evidence: Evidence,
    /// Whose load it speaks of; rules of one tissue are capped together.
    pub tissue: Tissue,
    /// The measure it pulls, and which way.
    pub pull: Option<Pull>,
    /// The injuries it follows from; empty when it follows from none.
    pub regions: &'static [Region],
    /// Whether it is in force for a runner.
    pub applies: fn(&Case) -> bool,
    /// What it says of a shoe, or that it speaks of the runner.
    pub speaks: Speaks,
    /// Cases that show it: used by the tests and by the page of rules.
    pub examples: &'static [Example],
}

/// What a rule speaks of.
#[derive(Clone, Copy, Debug)]
pub enum Speaks {
    /// Of a shoe.
    OfShoe(fn(&Case, &Measures) -> Verdict),
    /// Of the runner: printed once, as a note.
    OfRunner,
}

/// What a rule says of one shoe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing.
    Silent,
    /// A share of its weight, with the sentence for it.
    Share(Share, &'static str),
    /// The shoe lacks this measure; the share would lie between these.
    Missed(&'static str, Share, Share),
    /// A sentence without points.
    Printed(&'static str),
}

/// A share of a rule's weight, -1 to +1, kept exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Share(i32);

/// The parts of a whole share: halves of a degree in thousandths, and the 336 steps between the two midsoles that were
/// tested, are whole numbers of them.
const WHOLE: i32 = 42_000;

words! {
    /// What a rule answers.
    Question {
        /// Which measures suit this runner.
        Measures => "Which measures suit this runner?",
        /// What an injury asks of a shoe.
        Injury => "What does an injury ask of a shoe?",
        /// What matters in a race.
        Race => "What matters in a race?",
        /// How to choose and change.
        Choice => "How to choose, and how to change?",
    }
}
words! {
    /// Whose load a rule speaks of.
    Tissue {
        /// The whole runner; rules of this tissue are no injury rules.
        Whole => "whole",
        /// Calf and Achilles tendon.
        Calf => "calf",
        /// The kneecap and what is behind it.
        Kneecap => "kneecap",
        /// The big-toe joint.
        BigToe => "big toe",
        /// Bones of the foot.
        FootBone => "foot bone",
        /// The ankle.
        Ankle => "ankle",
        /// The knee joint.
        Knee => "knee",
    }
}
words! {
    /// A measure that rules pull.
    Pulled {
        /// Heel-to-toe drop.
        Drop => "drop",
        /// Longitudinal bending.
        Bending => "bending",
        /// A rocker sole.
        Rocker => "rocker",
    }
}

/// A pull on one measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pull {
    /// Which measure.
    pub on: Pulled,
    /// Towards more of it.
    pub up: bool,
}

/// A case that shows a rule.
#[derive(Debug)]
pub struct Example {
    /// In words.
    pub says: &'static str,
    /// The runner.
    pub case: fn() -> Case,
    /// The shoe.
    pub shoe: fn() -> Measures,
    /// What the rule gives.
    pub gives: Gives,
}

/// What an example gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// This share.
    Share(Share),
    /// A sentence without points.
    Printed,
    /// A note about the runner.
    Note,
    /// It misses this measure.
    Missed(&'static str),
    /// It is in force and has nothing to say of this shoe.
    Silent,
    /// It is not in force.
    NotInForce,
}

impl Share {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// The whole weight for the shoe.
    pub const FULL: Self = Self(WHOLE);
    /// The whole weight against it.
    pub const AGAINST: Self = Self(-WHOLE);
    /// Half of the weight for the shoe.
    pub const HALF: Self = Self(WHOLE / 2);
    /// Half of the weight against it.
    pub const HALF_AGAINST: Self = Self(-WHOLE / 2);

    /// A share as a fraction, held within -1..=+1. Exact for the fractions that rules give.
    pub const fn of(numerator: i32, denominator: i32) -> Self {
        let parts = numerator as i64 * WHOLE as i64 / denominator as i64;
        if parts > WHOLE as i64 {
            Self::FULL
        } else if parts < -(WHOLE as i64) {
            Self::AGAINST
        } else {
            Self(parts as i32)
        }
    }

    /// Its line in tenths of a point: round(half x share x weight), half away from zero.
    pub fn line(self, grade: Grade) -> i32 {
        div_round(i64::from(self.0) * i64::from(grade.weight()), 2 * i64::from(WHOLE)) as i32
    }

    /// From -1 to +1, for replies.
    pub fn as_fraction(self) -> f64 {
        f64::from(self.0) / f64::from(WHOLE)
    }
}

impl Rule {
    /// The rule of this id.
    pub fn find(id: &str) -> Option<&'static Self> {
        RULES.iter().copied().find(|rule| rule.id == id)
    }

    /// Whether it follows from an injury: any rule whose tissue is not the whole runner.
    pub fn is_injury_rule(&self) -> bool {
        self.tissue != Tissue::Whole
    }

    /// What it gives in an example's case.
    pub fn gives(&self, case: &Case, shoe: &Measures) -> Gives {
        if !(self.applies)(case) {
            return Gives::NotInForce;
        }
        match self.speaks {
            Speaks::OfRunner => Gives::Note,
            Speaks::OfShoe(judge) => match judge(case, shoe) {
                Verdict::Silent => Gives::Silent,
                Verdict::Share(share, _) => Gives::Share(share),
                Verdict::Missed(measure, ..) => Gives::Missed(measure),
                Verdict::Printed(_) => Gives::Printed,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::{SOURCES, UNSUPPORTED, claims};
    use std::collections::BTreeSet;

    #[test]
    fn ids_are_unique_and_in_kebab_case() {
        let ids: BTreeSet<_> = RULES.iter().map(|rule| rule.id).collect();
        assert_eq!(ids.len(), RULES.len());
        assert!(ids.iter().all(|id| id.chars().all(|c| c == '-' || c.is_ascii_lowercase())));
        assert!(RULES.iter().all(|rule| Rule::find(rule.id).is_some()));
    }

    #[test]
    fn every_rule_has_sources_people_and_limits() {
        for rule in RULES {
            let evidence = &rule.evidence;
            assert!(!evidence.sources.is_empty(), "{}", rule.id);
            for sentence in [rule.says, evidence.shows, evidence.studied, evidence.limits] {
                assert!(sentence.ends_with('.') && sentence.len() < 320, "{}: {sentence}", rule.id);
            }
        }
    }

    #[test]
    fn every_source_is_in_the_bibliography_and_something_rests_on_each() {
        let of_rules = RULES.iter().map(|rule| rule.evidence);
        let of_claims = claims().map(|claim| claim.evidence);
        let of_beliefs = UNSUPPORTED.iter().map(|entry| entry.evidence);
        let all = of_rules.chain(of_claims).chain(of_beliefs);
        let used: BTreeSet<_> = all.flat_map(|evidence| evidence.sources).map(|source| source.id).collect();
        let listed: BTreeSet<_> = SOURCES.iter().map(|source| source.id).collect();
        assert_eq!(used, listed);
    }

    #[test]
    fn every_example_gives_what_it_says() {
        for rule in RULES {
            for example in rule.examples {
                let gives = rule.gives(&(example.case)(), &(example.shoe)());
                assert_eq!(gives, example.gives, "{}: {}", rule.id, example.says);
            }
        }
    }

    #[test]
    fn every_rule_is_shown_in_force_and_out_of_it_and_a_scoring_one_missing_its_measure() {
        for rule in RULES {
            let gives: Vec<_> = rule.examples.iter().map(|e| e.gives).collect();
            let speaks = |g: &Gives| matches!(g, Gives::Share(_) | Gives::Printed | Gives::Note);
            assert!(gives.iter().any(speaks), "{} never speaks", rule.id);
            let quiet = |g: &Gives| matches!(g, Gives::NotInForce | Gives::Silent);
            assert!(gives.iter().any(quiet), "{} is never quiet", rule.id);
            let scores = gives.iter().any(|g| matches!(g, Gives::Share(_)));
            let misses = gives.iter().any(|g| matches!(g, Gives::Missed(_)));
            // A compression nobody measured by the marked method is silence by design, not a miss.
            assert!(!scores || misses || rule.id == "soft-for-light", "{} never misses", rule.id);
        }
    }

    #[test]
    fn no_rule_promises() {
        for rule in RULES {
            let words =
                format!("{} {} {}", rule.says, rule.evidence.shows, rule.evidence.limits).to_lowercase();
            for word in ["prevents", "cures", "corrects", "protects"] {
                assert!(!words.contains(word), "{} says {word}", rule.id);
            }
        }
    }

    #[test]
    fn pulls_belong_to_rules_that_judge_a_shoe() {
        for rule in RULES.iter().filter(|rule| rule.pull.is_some()) {
            assert!(matches!(rule.speaks, Speaks::OfShoe(_)), "{}", rule.id);
            assert_eq!(rule.is_injury_rule(), !rule.regions.is_empty(), "{}", rule.id);
        }
    }
}
