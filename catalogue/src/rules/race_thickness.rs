//! Is the sole thicker than road races with the competition rule allow?

use super::examples::{anyone, blank, case, shoe};
use super::{Example, Gives, Question, Rule, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;
use crate::runner::Runner;
use crate::style::Purpose;
use crate::units::Mm;

/// The road limit of the competition rule; it includes the liner and is measured at 12 % and 75 % of the length.
const ROAD_LIMIT: Mm = Mm::whole(40);

pub(super) const RULE: Rule = Rule {
    id: "race-thickness",
    question: Question::Race,
    says: "Road races under the competition rule allow soles up to 40 mm.",
    evidence: Evidence {
        grade: Grade::None,
        sources: &[&sources::WA_SHOE_RULES],
        shows: "The rule limits the sole to 40 mm on the road, measured at 12 % and 75 % of the inner length with the liner in.",
        studied: "Nobody: it is a rule of competition.",
        limits: "A supplier's figure may be measured elsewhere or without the liner; most fun runs do not check.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies: |case| case.runner.purpose == Some(Purpose::Race),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example { says: "Racing, 41 mm", case: racing, shoe: || shoe(41, 33), gives: Gives::Printed },
        Example { says: "Racing, 40 mm", case: racing, shoe: || shoe(40, 32), gives: Gives::Silent },
        Example { says: "Racing, heel not given", case: racing, shoe: blank, gives: Gives::Silent },
        Example {
            says: "Not racing",
            case: || case(anyone()),
            shoe: || shoe(41, 33),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.heel_stack() {
        Some(heel) if heel > ROAD_LIMIT => {
            Verdict::Printed("Above the 40 mm that road races under the competition rule allow.")
        }
        _ => Verdict::Silent,
    }
}

fn racing() -> Case {
    case(Runner { purpose: Some(Purpose::Race), ..Runner::default() })
}
