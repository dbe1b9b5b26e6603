//! Does a minimal shoe ask for care after bone stress in the foot?

use super::examples::{anyone, blank, case, heel_only, hurt, shoe};
use super::minimal_and_mass::against_minimal;
use super::{Example, Gives, Question, Rule, Share, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::rank::Case;

/// The bones of the foot that these rules speak of.
pub(super) const REGIONS: &[Region] = &[Region::FootBone, Region::Navicular];

pub(super) const RULE: Rule = Rule {
    id: "bone-stress-minimal",
    question: Question::Injury,
    says: "After bone stress in the foot one trial leans against minimal shoes.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::RIDGE_2013, &sources::SALZLER_2012],
        shows: "Ten weeks into minimal shoes 10 of 19 runners had more swelling in a bone of the foot than the controls (P = 0.009).",
        studied: "36 runners of 24 to 48 km a week, scanned; ten more who were injured after the change.",
        limits: "Runners without earlier bone stress; a fast change, with no slower one beside it.",
    },
    tissue: Tissue::FootBone,
    pull: None,
    regions: REGIONS,
    applies: |case| case.runner.ever(REGIONS),
    speaks: Speaks::OfShoe(|_, shoe| {
        against_minimal(shoe, 10, "A minimal shoe, and a foot that has had bone stress.")
    }),
    examples: &[
        Example {
            says: "Bone stress, 16/12 shoe",
            case: healed,
            shoe: || shoe(16, 12),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Bone stress, 32/24 shoe",
            case: healed,
            shoe: || shoe(32, 24),
            gives: Gives::Silent,
        },
        Example {
            says: "Bone stress, heel of 18 mm, drop not given",
            case: healed,
            shoe: || heel_only(18),
            gives: Gives::Missed("drop"),
        },
        Example { says: "Nothing given", case: healed, shoe: blank, gives: Gives::Missed("heel stack") },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || shoe(16, 12),
            gives: Gives::NotInForce,
        },
    ],
};

fn healed() -> Case {
    case(hurt(Region::FootBone))
}
