//! What is known of a low drop in somebody who runs now and then?

use super::examples::{anyone, case, heel_only, shoe};
use super::low_drop_regular::LOW_DROP_CUT;
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Answer;
use crate::measures::Measures;
use crate::rank::Case;
use crate::runner::Runner;

pub(super) const RULE: Rule = Rule {
    id: "low-drop-occasional",
    question: Question::Measures,
    says: "For occasional runners the same trial leans the other way; it gives no points.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::MALISOUX_2016_DROP],
        shows: "Among occasional runners fewer were injured in 6 and 0 mm than in 10 mm: hazard ratio 0.48 (0.23 to 0.98).",
        studied: "553 recreational runners over 6 months; occasional means fewer than 6 months of weekly running.",
        limits: "A subgroup: over all runners there was no difference.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.regular.is_no(),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Occasional runner, shoe of 4 mm",
            case: occasional,
            shoe: || shoe(28, 24),
            gives: Gives::Printed,
        },
        Example {
            says: "Occasional runner, drop not given",
            case: occasional,
            shoe: || heel_only(30),
            gives: Gives::Silent,
        },
        Example {
            says: "Nobody asked how regularly",
            case: || case(anyone()),
            shoe: || shoe(28, 24),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.drop() {
        Some(drop) if drop <= LOW_DROP_CUT => {
            Verdict::Printed("A low drop: in one trial occasional runners were injured less in such shoes.")
        }
        _ => Verdict::Silent,
    }
}

fn occasional() -> Case {
    case(Runner { regular: Answer::No, ..Runner::default() })
}
