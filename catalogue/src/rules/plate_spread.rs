//! Is a plate sure to help in a race?

use super::examples::{anyone, blank, case, plated};
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;
use crate::runner::Runner;
use crate::style::Purpose;

pub(super) const RULE: Rule = Rule {
    id: "plate-spread",
    question: Question::Race,
    says: "Plated race shoes save a few percent on average and differ widely from person to person.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::HOOGKAMER_2018, &sources::KNOPP_2023, &sources::TENFORDE_2023],
        shows: "About 4 % less energy in fast runners; from 11 % gain to 11 % loss from person to person.",
        studied: "18 fast runners; world-class and amateur runners in a second laboratory.",
        limits: "Plate, foam and shape cannot be told apart; gradual exposure is asked for.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.purpose == Some(Purpose::Race),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example { says: "Racing, plate", case: racing, shoe: || plated(true), gives: Gives::Printed },
        Example { says: "Racing, plate not given", case: racing, shoe: blank, gives: Gives::Silent },
        Example {
            says: "Not racing",
            case: || case(anyone()),
            shoe: || plated(true),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    if shoe.plate() == Some(true) {
        Verdict::Printed("A plate: a few percent on average, a gain or a loss for one person.")
    } else {
        Verdict::Silent
    }
}

fn racing() -> Case {
    case(Runner { purpose: Some(Purpose::Race), ..Runner::default() })
}
