//! Who decides among shoes that are nearly equal?

use super::examples::{anyone, blank, case};
use super::{Example, Gives, Question, Rule, Speaks, Tissue};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::rules::examples::hurt;

pub(super) const RULE: Rule = Rule {
    id: "comfort-last",
    question: Question::Choice,
    says: "Among near equals let the customer run in each and rank them, the first shoe once more at the end.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::NIGG_2015, &sources::AGRESTA_2022, &sources::MENZ_2021],
        shows: "A simple rating of comfort can be reliable; that choosing by comfort lowers risk is a hypothesis.",
        studied: "Reviews of many small studies.",
        limits: "Not tested as a way of choosing shoes in a trial; first impressions change.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| {
        case.runner.history_asked
            || !case.runner.injuries.is_empty()
            || case.worn.is_some()
            || case.runner.purpose.is_some()
    },
    speaks: Speaks::OfRunner,
    examples: &[
        Example {
            says: "Somebody to be fitted",
            case: || case(hurt(Region::Shin)),
            shoe: blank,
            gives: Gives::Note,
        },
        Example {
            says: "Nobody has been asked anything",
            case: || case(anyone()),
            shoe: blank,
            gives: Gives::NotInForce,
        },
    ],
};
