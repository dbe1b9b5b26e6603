//! Is a shoe tall for an ankle that gives way?

use super::examples::{anyone, blank, case, hurt, shoe};
use super::{Example, Gives, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;
use crate::units::Mm;

const REGIONS: &[Region] = &[Region::Ankle];
/// *Our choice*, below the 50 mm at which the study saw less steadiness (Kettner 2025).
const TALL: Mm = Mm::whole(45);

pub(super) const RULE: Rule = Rule {
    id: "ankle-tall",
    question: Question::Injury,
    says: "For an ankle that gives way, one small study leans against very tall shoes.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::KETTNER_2025],
        shows: "At 50 mm the foot stayed everted longer and the hip was less steady than at 27 and 35 mm.",
        studied: "17 experienced, healthy runners.",
        limits: "Nobody in it had an unstable ankle; no trial of running shoes for such ankles was found.",
    },
    tissue: Tissue::Ankle,
    pull: None,
    regions: REGIONS,
    applies: |case| case.runner.recent(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Heel of 45 mm",
            case: || case(hurt(Region::Ankle)),
            shoe: || shoe(45, 37),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Heel of 44 mm",
            case: || case(hurt(Region::Ankle)),
            shoe: || shoe(44, 37),
            gives: Gives::Silent,
        },
        Example {
            says: "Heel not given",
            case: || case(hurt(Region::Ankle)),
            shoe: blank,
            gives: Gives::Missed("heel stack"),
        },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || shoe(45, 37),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.heel_stack() {
        None => Verdict::Missed("heel stack", Share::AGAINST, Share::ZERO),
        Some(heel) if heel >= TALL => Verdict::Share(Share::AGAINST, "Tall, for an ankle that gives way."),
        Some(_) => Verdict::Silent,
    }
}
