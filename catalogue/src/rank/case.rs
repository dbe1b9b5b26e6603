//! One runner prepared for judging: what every rule may look at.

use crate::measures::{Landing, Worn};
use crate::policy::HousePolicy;
use crate::runner::{Now, Runner};
use crate::units::Mm;

/// The runner, the shoe worn now and the shop's policy, in one place.
#[derive(Clone, Debug)]
pub struct Case {
    /// The runner.
    pub runner: Runner,
    /// The shoe worn now, or the shoe that stands in for one known by feel.
    pub worn: Option<Worn>,
    /// The shop's opinion.
    pub policy: HousePolicy,
}

impl Case {
    /// Puts a runner and the shoe worn now together; a pair known only by feel is stood in for by the policy's
    /// reference shoe.
    pub fn of(runner: &Runner, now: Option<&Worn>, policy: &HousePolicy) -> Self {
        let stand_in = match runner.now.shoe {
            Now::Feels(feel) => Some(Worn { measures: policy.reference_shoe(feel), ..Worn::UNKNOWN }),
            _ => None,
        };
        let measured = match runner.now.shoe {
            Now::Measured(worn) => Some(worn),
            _ => None,
        };
        let worn = now.copied().or(measured).or(stand_in);
        Self { runner: runner.clone(), worn, policy: policy.clone() }
    }

    /// The drop that rules compare with: the worn shoe's, else the policy's.
    pub fn reference_drop(&self) -> Mm {
        self.worn.and_then(|worn| worn.measures.drop()).unwrap_or(self.policy.reference_drop)
    }

    /// Which stack this runner lands on.
    pub fn landing(&self) -> Landing {
        Landing::of(self.runner.strike.used())
    }
}
