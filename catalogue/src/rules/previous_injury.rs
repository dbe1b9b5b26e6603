//! What does a recent injury say before any shoe does?

use super::examples::{anyone, blank, case, hurt};
use super::{Example, Gives, Question, Rule, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;

pub(super) const RULE: Rule = Rule {
    id: "previous-injury",
    question: Question::Choice,
    says: "An injury in the last 12 months matters more than any number on a sheet: stay close to the pair worn now.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::THEISEN_2014, &sources::MALISOUX_2015],
        shows: "Whoever was hurt in the last 12 months was hurt again about 1.7 times as often, whatever the shoe.",
        studied: "247 and 264 recreational runners over 5 months.",
        limits: "That staying close to the worn pair helps is our house's view.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.any_recent_injury(),
    speaks: Speaks::OfRunner,
    examples: &[
        Example {
            says: "A recent injury",
            case: || case(hurt(Region::Iliotibial)),
            shoe: blank,
            gives: Gives::Note,
        },
        Example { says: "No history asked", case: || case(anyone()), shoe: blank, gives: Gives::NotInForce },
    ],
};
