//! Does a plate ask for care after bone stress in the foot?

use super::bone_stress_minimal::REGIONS;
use super::examples::{anyone, blank, case, hurt, plated};
use super::{Example, Gives, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;

pub(super) const RULE: Rule = Rule {
    id: "bone-stress-plate",
    question: Question::Injury,
    says: "After bone stress in the foot five reported cases lean against plates.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::TENFORDE_2023],
        shows: "Five bone stress injuries of the navicular in plated shoes; the authors ask for a slow, gradual change.",
        studied: "Five competitive runners.",
        limits: "Cases without anything to compare with.",
    },
    tissue: Tissue::FootBone,
    pull: None,
    regions: REGIONS,
    applies: |case| case.runner.ever(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Bone stress, plate",
            case: || case(hurt(Region::Navicular)),
            shoe: || plated(true),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Bone stress, no plate",
            case: || case(hurt(Region::Navicular)),
            shoe: || plated(false),
            gives: Gives::Silent,
        },
        Example {
            says: "Plate not given",
            case: || case(hurt(Region::Navicular)),
            shoe: blank,
            gives: Gives::Missed("plate"),
        },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || plated(true),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.plate() {
        None => Verdict::Missed("plate", Share::AGAINST, Share::ZERO),
        Some(true) => Verdict::Share(Share::AGAINST, "A plate, and a foot that has had bone stress."),
        Some(false) => Verdict::Silent,
    }
}
