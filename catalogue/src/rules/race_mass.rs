//! Does a lighter shoe matter in a race?

use super::examples::{anyone, blank, of_mass, wearing};
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;
use crate::runner::Runner;
use crate::style::Purpose;
use crate::units::Grams;

/// About 1 % more oxygen for 100 g a shoe; shown from half a percent on (Hoogkamer 2016).
const WORTH_SAYING: i32 = 500;

pub(super) const RULE: Rule = Rule {
    id: "race-mass",
    question: Question::Race,
    says: "In a race about 1 % of oxygen goes with 100 g of shoe; it gives no points beside the mass band.",
    evidence: Evidence {
        grade: Grade::Strong,
        sources: &[&sources::HOOGKAMER_2016],
        shows: "About 1 % more oxygen for each 100 g added to a shoe.",
        studied: "Trained runners in laboratories, in several studies.",
        limits: "A difference of 30 g is about 0.3 %, below what anybody feels.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.purpose == Some(Purpose::Race),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example { says: "Racing, 80 g lighter", case: racing, shoe: || of_mass(200), gives: Gives::Printed },
        Example { says: "Racing, 30 g lighter", case: racing, shoe: || of_mass(250), gives: Gives::Silent },
        Example { says: "Racing, mass not given", case: racing, shoe: blank, gives: Gives::Silent },
        Example {
            says: "Not racing",
            case: || wearing(anyone(), 32, 24),
            shoe: || of_mass(200),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(case: &Case, shoe: &Measures) -> Verdict {
    let worn = case.worn.and_then(|worn| worn.measures.mass());
    match worn.zip(shoe.mass()).map(|(worn, shoe)| Grams::in_tenths(worn) - Grams::in_tenths(shoe)) {
        Some(lighter) if lighter >= WORTH_SAYING => {
            Verdict::Printed("Lighter by 50 g or more: half a percent of oxygen in a race, or somewhat more.")
        }
        _ => Verdict::Silent,
    }
}

fn racing() -> Case {
    wearing(Runner { purpose: Some(Purpose::Race), ..Runner::default() }, 32, 24)
}
