//! What is known of shoes and knee arthritis?

use super::examples::{anyone, blank, case, hurt};
use super::{Example, Gives, Question, Rule, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;

const REGIONS: &[Region] = &[Region::KneeArthritis];

pub(super) const RULE: Rule = Rule {
    id: "knee-arthritis",
    question: Question::Injury,
    says: "With knee arthritis a trial in walkers leans towards stable shoes, loads in the laboratory the other way: no points.",
    evidence: Evidence {
        grade: Grade::Conflicting,
        sources: &[&sources::PATERSON_2021, &sources::ZHANG_2022, &sources::SINCLAIR_2014],
        shows: "Stable shoes were better than flat flexible ones for pain in walking by 1.1 of 10 (0.5 to 1.8); less drop lowers loads at the knee.",
        studied: "164 people with arthritis on the inner side of the knee, walking, over 6 months; healthy runners in the laboratory.",
        limits: "Walking shoes, not running.",
    },
    tissue: Tissue::Knee,
    pull: None,
    regions: REGIONS,
    applies: |case| case.runner.ever(REGIONS),
    speaks: Speaks::OfRunner,
    examples: &[
        Example {
            says: "Knee arthritis",
            case: || case(hurt(Region::KneeArthritis)),
            shoe: blank,
            gives: Gives::Note,
        },
        Example { says: "No history asked", case: || case(anyone()), shoe: blank, gives: Gives::NotInForce },
    ],
};
