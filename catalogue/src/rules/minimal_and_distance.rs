//! Does a minimal shoe ask for care in somebody who runs far?

use super::examples::{blank, case, shoe};
use super::minimal_and_mass::against_minimal;
use super::{Example, Gives, Question, Rule, Share, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::rank::Case;
use crate::runner::Runner;
use crate::slow::DISTANCE_CUT;

pub(super) const RULE: Rule = Rule {
    id: "minimal-and-distance",
    question: Question::Measures,
    says: "Above 35 km a week one small trial saw more pain in minimal shoes.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::FULLER_2017],
        shows: "Pain in minimal shoes rose by more than 10 mm on a 100 mm scale when the weekly distance passed 35 km.",
        studied: "61 trained men who landed on the rearfoot, over 26 weeks; no women.",
        limits: "Pain on a scale, not injuries; the distance was the runners' own choice.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.weekly_km.is_some_and(|km| km > DISTANCE_CUT),
    speaks: Speaks::OfShoe(|_, shoe| {
        against_minimal(
            shoe,
            10,
            "A minimal shoe, and a weekly distance at which one small trial saw more pain.",
        )
    }),
    examples: &[
        Example {
            says: "40 km, 16/12 shoe",
            case: || weekly(40),
            shoe: || shoe(16, 12),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "40 km, 20/16 shoe",
            case: || weekly(40),
            shoe: || shoe(20, 16),
            gives: Gives::Share(Share::HALF_AGAINST),
        },
        Example { says: "35 km", case: || weekly(35), shoe: || shoe(16, 12), gives: Gives::NotInForce },
        Example {
            says: "Neither stack nor drop given",
            case: || weekly(40),
            shoe: blank,
            gives: Gives::Missed("heel stack"),
        },
    ],
};

fn weekly(km: u16) -> Case {
    case(Runner { weekly_km: Some(km), ..Runner::default() })
}
