//! What is known of thin, flat shoes for somebody who lands on the rearfoot?

use super::examples::{anyone, case, shoe};
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::minimalism::MinimalDegree;
use crate::rank::Case;
use crate::runner::Runner;
use crate::strike::{Strike, StrikePattern, StrikeSeen};

pub(super) const RULE: Rule = Rule {
    id: "rearfoot-thin",
    question: Question::Measures,
    says: "Landing on the heel in a thin shoe raises loads at impact; whether that matters is not known.",
    evidence: Evidence {
        grade: Grade::Conflicting,
        sources: &[&sources::XU_2021, &sources::FULLER_2017],
        shows: "Impact peak and loading rate are higher in a rearfoot strike; studies disagree on whether loading rate goes with injury.",
        studied: "26 laboratory studies, 472 people; the trial of minimal shoes had 61 men who landed on the rearfoot.",
        limits: "Loads in a laboratory, not injuries.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.strike.used() == Some(StrikePattern::Rearfoot),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Rearfoot on video, 16/12 shoe",
            case: rearfoot,
            shoe: || shoe(16, 12),
            gives: Gives::Printed,
        },
        Example {
            says: "Rearfoot on video, 32/24 shoe",
            case: rearfoot,
            shoe: || shoe(32, 24),
            gives: Gives::Silent,
        },
        Example {
            says: "Strike unseen",
            case: || case(anyone()),
            shoe: || shoe(16, 12),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    if MinimalDegree::of(shoe).is_minimal_type() {
        Verdict::Printed("A thin shoe under a rearfoot landing: higher loads at impact, meaning unknown.")
    } else {
        Verdict::Silent
    }
}

fn rearfoot() -> Case {
    let strike =
        Strike { pattern: Some(StrikePattern::Rearfoot), seen: Some(StrikeSeen::Video), ..Strike::default() };
    case(Runner { strike, ..Runner::default() })
}
