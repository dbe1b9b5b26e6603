//! Does a stiffer forefoot suit a big-toe joint with arthritis?

use super::examples::{anyone, bending, blank, case, hurt, plated};
use super::{Example, Gives, Pull, Pulled, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;
use crate::style::BendingWord;

const REGIONS: &[Region] = &[Region::BigToeJoint];

pub(super) const RULE: Rule = Rule {
    id: "big-toe-bending",
    question: Question::Injury,
    says: "With arthritis of the big-toe joint one trial in walkers leans towards a stiffer forefoot.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::MUNTEANU_2021],
        shows: "With stiff inserts 61 % improved against 34 % with sham inserts; pain differed by 6.7 points (0.7 to 12.7).",
        studied: "100 people of 57 years on average who walked, over 12 weeks.",
        limits: "Inserts in walking shoes; not tested in runners.",
    },
    tissue: Tissue::BigToe,
    pull: Some(Pull { on: Pulled::Bending, up: true }),
    regions: REGIONS,
    applies: |case| case.runner.ever(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Stiff shoe",
            case: toe,
            shoe: || bending(BendingWord::Stiff),
            gives: Gives::Share(Share::FULL),
        },
        Example {
            says: "Shoe of medium bending",
            case: toe,
            shoe: || bending(BendingWord::Medium),
            gives: Gives::Share(Share::ZERO),
        },
        Example {
            says: "Flexible shoe",
            case: toe,
            shoe: || bending(BendingWord::Flexible),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Plate, bending not given",
            case: toe,
            shoe: || plated(true),
            gives: Gives::Share(Share::FULL),
        },
        Example {
            says: "No plate, bending not given",
            case: toe,
            shoe: || plated(false),
            gives: Gives::Missed("bending"),
        },
        Example { says: "Neither given", case: toe, shoe: blank, gives: Gives::Missed("bending") },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || plated(true),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    let plate = shoe.plate();
    let stiff =
        Verdict::Share(Share::FULL, "Bends little: one trial in walkers leans towards that for the big toe.");
    // Where the plate is not given it could still be there, and would count for the shoe.
    let by_bending = |share, says| match plate {
        None => Verdict::Missed("plate", share, Share::FULL),
        Some(_) => Verdict::Share(share, says),
    };
    match (plate, shoe.bending().map(BendingWord::step)) {
        (Some(true), _) | (_, Some(4..)) => stiff,
        (_, None) => Verdict::Missed("bending", Share::AGAINST, Share::FULL),
        (_, Some(3)) => by_bending(Share::ZERO, "Bends neither much nor little."),
        (_, Some(_)) => by_bending(Share::AGAINST, "Bends easily: more movement for the big-toe joint."),
    }
}

fn toe() -> Case {
    case(hurt(Region::BigToeJoint))
}
