//! Does a minimal shoe ask for care in a heavier runner?

use super::examples::{blank, case, shoe, weighing};
use super::{Example, Gives, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::minimalism::MinimalDegree;
use crate::rank::Case;
use crate::slow::{MASS_CUT, MASS_CUT_STRONGER};

pub(super) const RULE: Rule = Rule {
    id: "minimal-and-mass",
    question: Question::Measures,
    says: "Above 71.4 kg one small trial leans against minimal shoes, above 85.7 kg more so.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::FULLER_2017],
        shows: "The risk in minimal shoes rose with body mass, from 71.4 kg on and more clearly at 85.7 kg (shoe by mass p = 0.01).",
        studied: "61 trained men of 74.6 kg on average who landed on the rearfoot, over 26 weeks; no women.",
        limits: "Overall 16 of 31 in minimal and 11 of 30 in conventional shoes were injured: not significant.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| above(case, false),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "75 kg, 16/12 shoe",
            case: || case(weighing(75)),
            shoe: || shoe(16, 12),
            gives: Gives::Share(Share::HALF_AGAINST),
        },
        Example {
            says: "88 kg, 16/12 shoe",
            case: || case(weighing(88)),
            shoe: || shoe(16, 12),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "75 kg, 32/24 shoe",
            case: || case(weighing(75)),
            shoe: || shoe(32, 24),
            gives: Gives::Silent,
        },
        Example {
            says: "70 kg",
            case: || case(weighing(70)),
            shoe: || shoe(16, 12),
            gives: Gives::NotInForce,
        },
        Example {
            says: "Neither stack nor drop given",
            case: || case(weighing(75)),
            shoe: blank,
            gives: Gives::Missed("heel stack"),
        },
    ],
};

fn above(case: &Case, stronger: bool) -> bool {
    let cut = if stronger { MASS_CUT_STRONGER } else { MASS_CUT };
    case.runner.body_mass.and_then(|mass| mass.above(cut)) == Some(true)
}

fn judge(case: &Case, shoe: &Measures) -> Verdict {
    let per_degree = if above(case, true) { 10 } else { 5 };
    against_minimal(
        shoe,
        per_degree,
        "A minimal shoe, and a body mass at which one small trial saw more injuries.",
    )
}

/// The share against a minimal shoe: `per_degree` ten-thousandths a thousandth of its degree.
pub(super) fn against_minimal(shoe: &Measures, per_degree: i32, says: &'static str) -> Verdict {
    let degree = MinimalDegree::of(shoe);
    let share = |degree: i32| Share::of(-degree * per_degree, 10_000);
    match (degree.low, degree.high) {
        (_, 0) => Verdict::Silent,
        (low, high) if low == high => Verdict::Share(share(low), says),
        (low, high) if shoe.heel_stack().is_some() => Verdict::Missed("drop", share(high), share(low)),
        (low, high) => Verdict::Missed("heel stack", share(high), share(low)),
    }
}
