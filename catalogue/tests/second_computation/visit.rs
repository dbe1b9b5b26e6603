//! One runner, one wall of shoes: what both computations are given.

use catalogue::key::StyleKey;
use catalogue::measures::{Landing, Measures, Worn};
use catalogue::policy::HousePolicy;
use catalogue::runner::{Feel, Now, Runner};
use catalogue::strike::{Strike, StrikePattern, StrikeSeen};
use catalogue::style::{Audience, Purposes, Specification};

use crate::sheet::Sheet;

/// A shoe on the wall.
#[derive(Clone, Debug)]
pub(crate) struct Shoe {
    pub(crate) specification: Specification,
    pub(crate) audience: Option<Audience>,
    pub(crate) pairs: u32,
}

/// How the worn pair is known.
#[derive(Clone, Debug)]
pub(crate) enum WornPair {
    NotAsked,
    Feels(Feel),
    /// A style of the catalogue; it may stand on the wall too.
    Style(Shoe, Purposes, bool),
    /// A style whose key nobody knows any more.
    StyleGone,
    Measured(Shoe, Purposes),
}

/// What both computations are given. The runner's `now.shoe` says the same as `worn`.
#[derive(Clone, Debug)]
pub(crate) struct Visit {
    pub(crate) runner: Runner,
    pub(crate) worn: WornPair,
    pub(crate) policy: HousePolicy,
    pub(crate) wall: Vec<Shoe>,
}

/// The worn pair as the second computation reads it.
#[derive(Clone, Debug)]
pub(crate) struct Pair {
    pub(crate) sheet: Sheet,
    pub(crate) purposes: Purposes,
}

/// A runner with the worn pair and the policy, as the second computation reads them.
pub(crate) struct Case<'a> {
    pub(crate) runner: &'a Runner,
    pub(crate) worn: Option<Pair>,
    pub(crate) policy: &'a HousePolicy,
    pub(crate) landing: Landing,
}

impl Shoe {
    pub(crate) fn sheet(&self) -> Sheet {
        Sheet::of(&self.specification, self.audience)
    }

    pub(crate) fn measures(&self) -> Measures {
        Measures::of(&self.specification, self.audience)
    }
}

impl Visit {
    /// Puts the parts together: the worn style is hung on the wall when it is on sale.
    pub(crate) fn of(mut runner: Runner, worn: WornPair, policy: HousePolicy, mut wall: Vec<Shoe>) -> Self {
        let key = StyleKey::parse("worn.pair");
        runner.now.shoe = match (&worn, key) {
            (WornPair::Feels(feel), _) => Now::Feels(*feel),
            (WornPair::Measured(shoe, purposes), _) => {
                Now::Measured(Worn { measures: shoe.measures(), purposes: *purposes })
            }
            (WornPair::Style(..) | WornPair::StyleGone, Some(key)) => Now::Style(key),
            _ => Now::NotAsked,
        };
        if let WornPair::Style(shoe, _, true) = &worn {
            wall.push(shoe.clone());
        }
        Self { runner, worn, policy, wall }
    }

    /// The place on the wall of the style worn now.
    pub(crate) fn worn_on_wall(&self) -> Option<usize> {
        matches!(self.worn, WornPair::Style(_, _, true)).then(|| self.wall.len() - 1)
    }

    /// What the program is told of the worn style.
    pub(crate) fn told(&self) -> Option<Worn> {
        match &self.worn {
            WornPair::Style(shoe, purposes, _) => {
                Some(Worn { measures: shoe.measures(), purposes: *purposes })
            }
            _ => None,
        }
    }

    pub(crate) fn case(&self) -> Case<'_> {
        let worn = match &self.worn {
            WornPair::NotAsked | WornPair::StyleGone => None,
            WornPair::Feels(feel) => Some(reference_shoe(*feel, &self.policy)),
            WornPair::Style(shoe, purposes, _) | WornPair::Measured(shoe, purposes) => {
                Some(Pair { sheet: shoe.sheet(), purposes: *purposes })
            }
        };
        Case { runner: &self.runner, worn, policy: &self.policy, landing: landing(self.runner.strike) }
    }
}

impl Case<'_> {
    /// Section 5.2: the drop of the shoe worn now, else the policy's.
    pub(crate) fn ref_drop(&self) -> i64 {
        self.worn_drop().unwrap_or(i64::from(self.policy.reference_drop.in_tenths()))
    }

    pub(crate) fn worn_drop(&self) -> Option<i64> {
        self.worn.as_ref().and_then(|pair| pair.sheet.drop)
    }

    pub(crate) fn worn_landing_stack(&self) -> Option<i64> {
        self.worn.as_ref().and_then(|pair| pair.sheet.landing_stack(self.landing))
    }
}

/// Section 5.1: the policy's reference shoe stands in for a pair known only by feel.
fn reference_shoe(feel: Feel, policy: &HousePolicy) -> Pair {
    let at = match feel {
        Feel::Flatter => 0,
        Feel::LikeMost => 1,
        Feel::Taller => 2,
    };
    let (heel, forefoot) = policy.reference_shoes[at];
    let specification =
        Specification { heel_stack: Some(heel), forefoot_stack: Some(forefoot), ..Default::default() };
    Pair { sheet: Sheet::of(&specification, None), purposes: Purposes::NONE }
}

/// Section 5: known only by the runner's own word is unseen; an angle or an index was measured, so it is seen (cut points:
/// Altman & Davis 2012, *from memory*; Cavanagh & Lafortune 1980).
fn landing(strike: Strike) -> Landing {
    let seen = matches!(strike.seen, Some(StrikeSeen::Video240 | StrikeSeen::Video | StrikeSeen::Eye));
    let by_angle = |angle: i16| match angle {
        81.. => StrikePattern::Rearfoot,
        -16..=80 => StrikePattern::Midfoot,
        _ => StrikePattern::Forefoot,
    };
    let pattern = if seen { strike.pattern } else { None };
    let by_index = |index: u16| match index {
        0..=333 => StrikePattern::Rearfoot,
        334..=666 => StrikePattern::Midfoot,
        _ => StrikePattern::Forefoot,
    };
    match pattern.or(strike.angle_tenths.map(by_angle)).or(strike.index_tenths.map(by_index)) {
        Some(StrikePattern::Rearfoot) => Landing::Heel,
        Some(StrikePattern::Forefoot) => Landing::Forefoot,
        Some(StrikePattern::Midfoot) | None => Landing::Mean,
    }
}
