//! What else is known to ask less of a kneecap?

use super::examples::{anyone, blank, case, hurt};
use super::{Example, Gives, Question, Rule, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;

const REGIONS: &[Region] = &[Region::Kneecap];

pub(super) const RULE: Rule = Rule {
    id: "cadence",
    question: Question::Injury,
    says: "For the kneecap, steps 5 to 10 % quicker lean towards less load at the knee, in any shoe.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::ANDERSON_2022, &sources::ESCULIER_2018],
        shows: "Quicker steps lower knee bending and the moment at the knee; pain was better at 4 and 12 weeks in very limited data.",
        studied: "37 studies of runners, some with kneecap pain.",
        limits: "Loads mostly; in a trial of 69 runners advice on load alone did as well.",
    },
    tissue: Tissue::Kneecap,
    pull: None,
    regions: REGIONS,
    applies: |case| case.runner.recent(REGIONS),
    speaks: Speaks::OfRunner,
    examples: &[
        Example {
            says: "Kneecap pain",
            case: || case(hurt(Region::Kneecap)),
            shoe: blank,
            gives: Gives::Note,
        },
        Example { says: "No history asked", case: || case(anyone()), shoe: blank, gives: Gives::NotInForce },
    ],
};
