//! Does a rocker sole ask more of a kneecap that was hurt?

use super::examples::{anyone, blank, case, hurt, rockered};
use super::{Example, Gives, Pull, Pulled, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::injury::Region;
use crate::measures::Measures;
use crate::rank::Case;

const REGIONS: &[Region] = &[Region::Kneecap];

pub(super) const RULE: Rule = Rule {
    id: "kneecap-rocker",
    question: Question::Injury,
    says: "After kneecap pain one small study leans against a rocker sole.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::SOBHANI_2017],
        shows: "In a rocker sole the moment that straightens the knee was 6 % higher and its work 14 % higher.",
        studied: "16 healthy women, running.",
        limits: "Load in a laboratory, in people without pain.",
    },
    tissue: Tissue::Kneecap,
    pull: Some(Pull { on: Pulled::Rocker, up: false }),
    regions: REGIONS,
    applies: |case| case.runner.recent(REGIONS),
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Kneecap pain, rocker",
            case: || case(hurt(Region::Kneecap)),
            shoe: || rockered(true),
            gives: Gives::Share(Share::AGAINST),
        },
        Example {
            says: "Kneecap pain, no rocker",
            case: || case(hurt(Region::Kneecap)),
            shoe: || rockered(false),
            gives: Gives::Silent,
        },
        Example {
            says: "Rocker not given",
            case: || case(hurt(Region::Kneecap)),
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
        None => Verdict::Missed("rocker", Share::AGAINST, Share::ZERO),
        Some(true) => Verdict::Share(Share::AGAINST, "A rocker sole asks a little more of the knee."),
        Some(false) => Verdict::Silent,
    }
}
