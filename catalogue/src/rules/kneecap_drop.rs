//! Is the drop high for a kneecap that was hurt?

use super::examples::{anyone, blank, case, hurt, shoe};
use super::{Example, Gives, Pull, Pulled, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;
use crate::units::Mm;

const REGIONS: &[Region] = &[Region::Kneecap];
/// Up to here the stress was not clearly above that at 0 mm (Zhang 2022 tested 0, 5, 10 and 15 mm; 6 is *our choice*).
const LOW: Mm = Mm::whole(6);
/// From here it was more than 15 % above (Zhang 2022).
const HIGH: Mm = Mm::whole(10);

pub(super) const RULE: Rule = Rule {
    id: "kneecap-drop",
    question: Question::Injury,
    says: "After kneecap pain, small laboratory studies lean towards a lower drop.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::ZHANG_2022, &sources::GU_2024, &sources::ESCULIER_2018],
        shows: "With 10 and 15 mm the stress behind the kneecap was more than 15 % above that with 0 mm; with 5 mm it was not.",
        studied: "18 runners who land on the rearfoot; 16 runners with kneecap pain.",
        limits: "Stress in a laboratory. In a trial of 69 runners with such pain, advice on load alone did as well as anything.",
    },
    tissue: Tissue::Kneecap,
    pull: Some(Pull { on: Pulled::Drop, up: false }),
    regions: REGIONS,
    applies: |case| case.runner.recent(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Kneecap pain, drop 6 mm",
            case: || case(hurt(Region::Kneecap)),
            shoe: || shoe(30, 24),
            gives: Gives::Share(Share::FULL),
        },
        Example {
            says: "Kneecap pain, drop 8 mm",
            case: || case(hurt(Region::Kneecap)),
            shoe: || shoe(32, 24),
            gives: Gives::Share(Share::ZERO),
        },
        Example {
            says: "Kneecap pain, drop 10 mm",
            case: || case(hurt(Region::Kneecap)),
            shoe: || shoe(34, 24),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Drop not given",
            case: || case(hurt(Region::Kneecap)),
            shoe: blank,
            gives: Gives::Missed("drop"),
        },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || shoe(34, 24),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.drop() {
        None => Verdict::Missed("drop", Share::AGAINST, Share::FULL),
        Some(drop) if drop <= LOW => {
            Verdict::Share(Share::FULL, "A low drop asks a little less of the kneecap.")
        }
        Some(drop) if drop >= HIGH => Verdict::Share(Share::AGAINST, "A high drop asks more of the kneecap."),
        Some(_) => Verdict::Share(Share::ZERO, "A middling drop for the kneecap."),
    }
}
