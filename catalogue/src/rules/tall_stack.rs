//! What is known of very tall shoes?

use super::examples::{anyone, case, shoe};
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;

pub(super) const RULE: Rule = Rule {
    id: "tall-stack",
    question: Question::Measures,
    says: "A very tall heel was less stable in one laboratory; try it on a curve and a kerb.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::KETTNER_2025],
        shows: "At 50 mm the foot stayed everted longer and the hip was less steady than at 27 and 35 mm; 35 was steadiest.",
        studied: "17 experienced, healthy runners at 10 and 15 km/h.",
        limits: "Steadiness in a laboratory, not injuries.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |_| true,
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Heel of 50 mm",
            case: || case(anyone()),
            shoe: || shoe(50, 42),
            gives: Gives::Printed,
        },
        Example {
            says: "Heel of 40 mm",
            case: || case(anyone()),
            shoe: || shoe(40, 32),
            gives: Gives::Silent,
        },
    ],
};

fn judge(case: &Case, shoe: &Measures) -> Verdict {
    match shoe.heel_stack() {
        Some(heel) if heel >= case.policy.tall_stack => {
            Verdict::Printed("Very tall: less steady in one laboratory.")
        }
        _ => Verdict::Silent,
    }
}
