//! Does a low drop ask for care in somebody who runs every week?

use super::examples::{anyone, blank, heel_only, shoe, wearing};
use super::{Example, Gives, Pull, Pulled, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Answer;
use crate::measures::Measures;
use crate::rank::Case;
use crate::runner::Runner;
use crate::units::Mm;

/// The trial's low-drop arms were 6 and 0 mm (Malisoux 2016).
pub const LOW_DROP_CUT: Mm = Mm::whole(6);

pub(super) const RULE: Rule = Rule {
    id: "low-drop-regular",
    question: Question::Measures,
    says: "For weekly runners used to more, one trial leans against a drop of 6 mm or less.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::MALISOUX_2016_DROP],
        shows: "Among regular runners more were injured in 6 and 0 mm than in 10 mm: hazard ratio 1.67 (1.07 to 2.62).",
        studied: "553 recreational runners over 6 months; regular means weekly running in 6 of the last 12 months.",
        limits: "A subgroup: over all runners there was no difference. The drop worn before is not reported.",
    },
    tissue: Tissue::Whole,
    pull: Some(Pull { on: Pulled::Drop, up: true }),
    regions: &[],
    applies,
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Weekly runner from 8 mm, shoe of 4 mm",
            case: weekly_from_8,
            shoe: || shoe(28, 24),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Weekly runner from 8 mm, shoe of 8 mm",
            case: weekly_from_8,
            shoe: || shoe(32, 24),
            gives: Gives::Silent,
        },
        Example {
            says: "Weekly runner already in 6 mm",
            case: || wearing(weekly(), 26, 20),
            shoe: || shoe(28, 24),
            gives: Gives::NotInForce,
        },
        Example {
            says: "Nobody asked how regularly",
            case: || wearing(anyone(), 32, 24),
            shoe: blank,
            gives: Gives::NotInForce,
        },
        Example {
            says: "Drop not on the sheet",
            case: weekly_from_8,
            shoe: || heel_only(30),
            gives: Gives::Missed("drop"),
        },
    ],
};

fn applies(case: &Case) -> bool {
    case.runner.regular.is_yes() && case.reference_drop() > LOW_DROP_CUT
}

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.drop() {
        None => Verdict::Missed("drop", Share::AGAINST, Share::ZERO),
        Some(drop) if drop <= LOW_DROP_CUT => {
            Verdict::Share(Share::AGAINST, "A low drop for a weekly runner used to more.")
        }
        Some(_) => Verdict::Silent,
    }
}

fn weekly() -> Runner {
    Runner { regular: Answer::Yes, ..Runner::default() }
}

fn weekly_from_8() -> Case {
    wearing(weekly(), 32, 24)
}
