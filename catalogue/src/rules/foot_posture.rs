//! Should motion-control devices be matched to the foot's posture?

use super::examples::{anyone, blank, built, case};
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;

pub(super) const RULE: Rule = Rule {
    id: "foot-posture",
    question: Question::Measures,
    says: "Whether motion-control devices suit a pronated foot: one trial leans towards them, three found that matching made no difference.",
    evidence: Evidence {
        grade: Grade::Conflicting,
        sources: &[
            &sources::MALISOUX_2016_MOTION,
            &sources::WILLEMS_2021,
            &sources::KNAPIK_2014,
            &sources::NIELSEN_2014,
        ],
        shows: "0.34 times the risk (0.13 to 0.84) for pronated feet in one trial; rate ratios of 0.97 where shoes were given by the arch; pronators in a neutral shoe were not worse off.",
        studied: "372 recreational runners; thousands of recruits in military training; 927 new runners.",
        limits: "The 94 pronated runners are a part of one trial. Posture is measured by trained people, not at the bench.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |_| true,
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Two devices",
            case: || case(anyone()),
            shoe: || built(Some(32), Some(24), |s| s.devices = Some(2)),
            gives: Gives::Printed,
        },
        Example {
            says: "No devices",
            case: || case(anyone()),
            shoe: || built(Some(32), Some(24), |s| s.devices = Some(0)),
            gives: Gives::Silent,
        },
        Example { says: "Devices not given", case: || case(anyone()), shoe: blank, gives: Gives::Silent },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.devices() {
        Some(1..) => {
            Verdict::Printed("Has motion-control devices; studies of matching them to feet point both ways.")
        }
        _ => Verdict::Silent,
    }
}
