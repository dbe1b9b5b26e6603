//! Is the drop lower than a calf or Achilles tendon that was hurt is used to?

use super::examples::{anyone, blank, case, hurt, shoe, wearing};
use super::{Example, Gives, Pull, Pulled, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;

const REGIONS: &[Region] = &[Region::Achilles, Region::Calf];
/// A drop this far below the worn one counts against the shoe, tenths of mm. *Our choice*.
const CLEARLY_LOWER: i32 = 20;

pub(super) const RULE: Rule = Rule {
    id: "calf-drop",
    question: Question::Injury,
    says: "After a calf or Achilles injury, small studies lean towards keeping the drop one is used to.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[
            &sources::XU_2021,
            &sources::GU_2024,
            &sources::SINCLAIR_2014,
            &sources::RABUSIN_2021,
            &sources::GREEN_2017,
        ],
        shows: "Less drop and a more forward landing load the Achilles tendon more; heel lifts did somewhat better than exercise alone.",
        studied: "Laboratory runners, 16 of them with kneecap pain; the lift trial had 100 people with Achilles tendinopathy.",
        limits: "An inference from loads: no trial of drop after a calf injury was found. Insertional pain may differ.",
    },
    tissue: Tissue::Calf,
    pull: Some(Pull { on: Pulled::Drop, up: true }),
    regions: REGIONS,
    applies: |case| case.runner.recent(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Calf strain, from 8 mm to 8 mm",
            case: strained,
            shoe: || shoe(30, 22),
            gives: Gives::Share(Share::FULL),
        },
        Example {
            says: "Calf strain, from 8 mm to 7 mm",
            case: strained,
            shoe: || shoe(31, 24),
            gives: Gives::Share(Share::ZERO),
        },
        Example {
            says: "Calf strain, from 8 mm to 6 mm",
            case: strained,
            shoe: || shoe(30, 24),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Calf strain, drop not given",
            case: strained,
            shoe: blank,
            gives: Gives::Missed("drop"),
        },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || shoe(30, 24),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(case: &Case, shoe: &Measures) -> Verdict {
    let Some(drop) = shoe.drop() else {
        return Verdict::Missed("drop", Share::AGAINST, Share::FULL);
    };
    match case.reference_drop().in_tenths() - drop.in_tenths() {
        lower if lower <= 0 => Verdict::Share(Share::FULL, "Keeps the drop the calf is used to."),
        lower if lower < CLEARLY_LOWER => {
            Verdict::Share(Share::ZERO, "A little less drop than the calf is used to.")
        }
        _ => Verdict::Share(Share::AGAINST, "Clearly less drop than the calf is used to."),
    }
}

fn strained() -> Case {
    wearing(hurt(Region::Calf), 32, 24)
}
