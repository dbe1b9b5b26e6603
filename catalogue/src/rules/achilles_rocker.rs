//! Does a rocker sole take load off an Achilles tendon that was hurt?

use super::examples::{anyone, blank, case, hurt, rockered};
use super::{Example, Gives, Pull, Pulled, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;

const REGIONS: &[Region] = &[Region::Achilles];

pub(super) const RULE: Rule = Rule {
    id: "achilles-rocker",
    question: Question::Injury,
    says: "After an Achilles injury one small study leans towards a rocker sole.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::SOBHANI_2015],
        shows: "The peak moment at the ankle was 13 % lower in a rocker sole.",
        studied: "13 people with Achilles tendinopathy, running.",
        limits: "Load in a laboratory, not pain or recovery; the knee may take more.",
    },
    tissue: Tissue::Calf,
    pull: Some(Pull { on: Pulled::Rocker, up: true }),
    regions: REGIONS,
    applies: |case| case.runner.recent(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Achilles injury, rocker",
            case: || case(hurt(Region::Achilles)),
            shoe: || rockered(true),
            gives: Gives::Share(Share::FULL),
        },
        Example {
            says: "Achilles injury, no rocker",
            case: || case(hurt(Region::Achilles)),
            shoe: || rockered(false),
            gives: Gives::Silent,
        },
        Example {
            says: "Rocker not given",
            case: || case(hurt(Region::Achilles)),
            shoe: blank,
            gives: Gives::Missed("rocker"),
        },
        Example {
            says: "No history asked",
            case: || case(anyone()),
            shoe: || rockered(true),
            gives: Gives::NotInForce,
        },
    ],
};

fn judge(_: &Case, shoe: &Measures) -> Verdict {
    match shoe.rocker() {
        None => Verdict::Missed("rocker", Share::ZERO, Share::FULL),
        Some(true) => Verdict::Share(Share::FULL, "A rocker sole asks a little less of the Achilles tendon."),
        Some(false) => Verdict::Silent,
    }
}
