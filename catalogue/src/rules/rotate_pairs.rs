//! Is there a reason to keep the old pair in use?

use super::examples::{anyone, blank, case};
use super::{Example, Gives, Question, Rule, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::rank::Case;
use crate::runner::{OldPair, Runner};

pub(super) const RULE: Rule = Rule {
    id: "rotate-pairs",
    question: Question::Choice,
    says: "Whoever ran in more than one pair was hurt less in one cohort: keep the old pair in use beside the new.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::MALISOUX_2015],
        shows: "Hazard ratio 0.61 (0.39 to 0.97) with several pairs in parallel.",
        studied: "264 recreational runners over 22 weeks.",
        limits: "A cohort, not a trial: runners with several pairs may differ in much else.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.now.old_pair == Some(OldPair::Keep),
    speaks: Speaks::OfRunner,
    examples: &[
        Example { says: "The old pair stays", case: keeping, shoe: blank, gives: Gives::Note },
        Example { says: "Nobody asked", case: || case(anyone()), shoe: blank, gives: Gives::NotInForce },
    ],
};

fn keeping() -> Case {
    let mut runner = Runner::default();
    runner.now.old_pair = Some(OldPair::Keep);
    case(runner)
}
