//! Does a softer midsole suit a lighter runner?

use super::examples::{blank, case};
use super::{Example, Gives, Question, Rule, Share, Speaks, Tissue, Verdict};
use crate::evidence::{Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;
use crate::runner::{BodyMass, Runner, Sex};
use crate::style::{Compression, Specification};
use crate::units::{Kilograms, NewtonsPerMm};

/// The trial's medians, below which a runner counts as light (Malisoux 2020): men 78.2 kg, women 62.8 kg.
const LIGHT_MEN: Kilograms = Kilograms::tenths(782);
const LIGHT_WOMEN: Kilograms = Kilograms::tenths(628);
/// Mean compression stiffness of the two versions in tenths of N/mm (Malisoux 2020): soft 61.3, hard 94.9.
const SOFT: i32 = 613;
const HARD: i32 = 949;
/// Beyond these nothing was tested (tenths of N/mm).
const TESTED: std::ops::RangeInclusive<i32> = 550..=1070;

pub(super) const RULE: Rule = Rule {
    id: "soft-for-light",
    question: Question::Measures,
    says: "For lighter runners one trial leans towards the softer midsole, where it has been measured the same way.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::MALISOUX_2020, &sources::THEISEN_2014],
        shows: "Lighter runners were injured more in the hard version: ratio 1.80 (1.09 to 2.98); heavier: 1.23 (0.75 to 2.03).",
        studied: "848 recreational runners over 6 months, in 61.3 and 94.9 N/mm; light is below 78.2 kg (men) or 62.8 kg (women).",
        limits: "A trial with 15 % between the versions found no difference. Softness cannot be told from the stack.",
    },
    tissue: Tissue::Whole,
    pull: None,
    regions: &[],
    applies,
    speaks: Speaks::OfShoe(judge),
    examples: &[
        Example {
            says: "Light man, soft midsole",
            case: light,
            shoe: || measured(600),
            gives: Gives::Share(Share::HALF),
        },
        Example {
            says: "Light man, hard midsole",
            case: light,
            shoe: || measured(949),
            gives: Gives::Share(Share::HALF_AGAINST),
        },
        Example {
            says: "Light man, half way between",
            case: light,
            shoe: || measured(781),
            gives: Gives::Share(Share::ZERO),
        },
        Example {
            says: "Softer than anything tested",
            case: light,
            shoe: || measured(500),
            gives: Gives::Silent,
        },
        Example { says: "Compression not given", case: light, shoe: blank, gives: Gives::Silent },
        Example {
            says: "No method marked comparable",
            case: || case(light_man()),
            shoe: || measured(600),
            gives: Gives::NotInForce,
        },
    ],
};

fn applies(case: &Case) -> bool {
    let cut = match case.runner.sex {
        Some(Sex::Male) => LIGHT_MEN,
        Some(Sex::Female) => LIGHT_WOMEN,
        None => return false,
    };
    let light = case.runner.body_mass.and_then(|mass| mass.below(cut));
    light == Some(true) && case.policy.comparable_method.is_some()
}

fn judge(case: &Case, shoe: &Measures) -> Verdict {
    let method = case.policy.comparable_method.as_deref();
    let stiffness = method.and_then(|m| shoe.compression_by(m)).map(NewtonsPerMm::in_tenths);
    match stiffness.filter(|s| TESTED.contains(s)) {
        None => Verdict::Silent,
        Some(s) => {
            let softer = (HARD - SOFT) - 2 * (s.clamp(SOFT, HARD) - SOFT);
            let says = if softer >= 0 {
                "A soft midsole for a lighter runner."
            } else {
                "A hard midsole for a lighter runner."
            };
            Verdict::Share(Share::of(softer, 2 * (HARD - SOFT)), says)
        }
    }
}

fn light_man() -> Runner {
    let body_mass = Some(BodyMass::Exactly(Kilograms::whole(70)));
    Runner { sex: Some(Sex::Male), body_mass, ..Runner::default() }
}

fn light() -> Case {
    let mut case = case(light_man());
    case.policy.comparable_method = Some("global".to_owned());
    case
}

fn measured(tenths: i32) -> Measures {
    let compression = Compression { stiffness: NewtonsPerMm::tenths(tenths), method: "global".into() };
    Measures::of(&Specification { compression: Some(compression), ..Specification::default() }, None)
}
