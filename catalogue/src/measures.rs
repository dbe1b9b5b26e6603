//! What a rule may look at: the measures of one shoe in a few bytes, with what is derived marked as derived.

use crate::size::{SizeLabel, eu_twelfths};
use crate::strike::StrikePattern;
use crate::style::{Audience, BendingWord, Purposes, Specification};
use crate::units::{Grams, Mm, NewtonsPerMm, div_half_up};

/// The measures of one shoe. `Copy` and 20 bytes, since the search pass reads one for every style.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measures {
    heel: i16,
    forefoot: i16,
    drop: i16,
    mass: i16,
    compression: i16,
    mass_size: u16,
    method: u32,
    bending: u8,
    bits: u8,
    audience: u8,
    /// One more than the devices; 0 is not given.
    devices: u8,
}

/// The four measures that the aim weighs, in reading order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Heel-to-toe drop.
    Drop,
    /// The stack under the part that lands first.
    LandingStack,
    /// Mass of one shoe.
    Mass,
    /// Longitudinal bending, in steps.
    Bending,
}

/// The shoe worn now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Worn {
    /// Its measures; any may be unknown.
    pub measures: Measures,
    /// What it is for; empty is not given.
    pub purposes: Purposes,
}

/// Which stack a runner lands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Landing {
    /// Rearfoot: the heel stack.
    Heel,
    /// Forefoot: the forefoot stack.
    Forefoot,
    /// Midfoot, or a strike nobody has seen: the mean of the two.
    Mean,
}

const UNKNOWN: i16 = i16::MIN;
/// Stated drop and stacks further apart than this (tenths of a mm) disagree: the stacks rank.
/// *Our choice*, no standard gives one.
pub const DROP_TOLERANCE: i32 = 5;

const DROP_DERIVED: u8 = 1;
const FOREFOOT_DERIVED: u8 = 2;
const HEEL_DERIVED: u8 = 4;
const DROP_DISAGREES: u8 = 8;
const ROCKER_SHIFT: u8 = 4;
const PLATE_SHIFT: u8 = 6;

impl Worn {
    /// A pair of which nothing is known.
    pub const UNKNOWN: Self = Self { measures: Measures::UNKNOWN, purposes: Purposes::NONE };
}

impl Measure {
    /// All four, in reading order.
    pub const ALL: [Self; 4] = [Self::Drop, Self::LandingStack, Self::Mass, Self::Bending];

    /// Its weight in the aim; the four add up to 100.
    pub const fn weight(self) -> u16 {
        match self {
            Self::Drop => 30,
            Self::LandingStack => 40,
            Self::Mass => 20,
            Self::Bending => 10,
        }
    }

    /// Its word in files and replies.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Drop => "drop",
            Self::LandingStack => "landing_stack",
            Self::Mass => "mass",
            Self::Bending => "bending",
        }
    }
}

impl Landing {
    /// The landing of a strike that may be used; `None` is unseen.
    pub const fn of(strike: Option<StrikePattern>) -> Self {
        match strike {
            Some(StrikePattern::Rearfoot) => Self::Heel,
            Some(StrikePattern::Forefoot) => Self::Forefoot,
            Some(StrikePattern::Midfoot) | None => Self::Mean,
        }
    }
}

impl Measures {
    /// A shoe of which nothing is known.
    pub const UNKNOWN: Self = Self {
        heel: UNKNOWN,
        forefoot: UNKNOWN,
        drop: UNKNOWN,
        mass: UNKNOWN,
        compression: UNKNOWN,
        mass_size: 0,
        method: 0,
        bending: 0,
        bits: 0,
        audience: u8::MAX,
        devices: 0,
    };

    /// The measures of a specification, with drop and stacks worked out of each other where one is missing.
    pub fn of(specification: &Specification, audience: Option<Audience>) -> Self {
        let mut measures = Self::UNKNOWN;
        measures.set_stacks(specification);
        measures.mass = tenths(specification.mass.map(Grams::in_tenths));
        measures.mass_size = weighed_at(specification.mass_size.as_ref(), audience);
        measures.bending = specification.bending_word().map_or(0, BendingWord::step);
        if let Some(compression) = &specification.compression {
            measures.compression = tenths(Some(compression.stiffness.in_tenths()));
            measures.method = method_fingerprint(&compression.method);
        }
        measures.bits |= three_valued(specification.rocker) << ROCKER_SHIFT;
        measures.bits |= three_valued(specification.plate) << PLATE_SHIFT;
        measures.audience = audience.map_or(u8::MAX, |a| a as u8);
        measures.devices = specification.devices.map_or(0, |n| n.saturating_add(1));
        measures
    }

    /// A stated drop within the tolerance of the stacks ranks as stated, else the stacks rank.
    fn set_stacks(&mut self, specification: &Specification) {
        let heel = specification.heel_stack.map(Mm::in_tenths);
        let forefoot = specification.forefoot_stack.map(Mm::in_tenths);
        let stated = specification.drop_stated.map(Mm::in_tenths);
        let by_stacks = heel.zip(forefoot).map(|(h, f)| h - f);
        let disagrees = by_stacks.zip(stated).is_some_and(|(a, b)| (a - b).abs() > DROP_TOLERANCE);
        self.drop = tenths(if disagrees { by_stacks } else { stated.or(by_stacks) });
        self.heel = tenths(heel.or(forefoot.zip(stated).map(|(f, d)| f + d)));
        self.forefoot = tenths(forefoot.or(heel.zip(stated).map(|(h, d)| h - d)));
        self.mark(DROP_DISAGREES, disagrees);
        self.mark(DROP_DERIVED, by_stacks.is_some() && (stated.is_none() || disagrees));
        self.mark(HEEL_DERIVED, heel.is_none() && self.heel != UNKNOWN);
        self.mark(FOREFOOT_DERIVED, forefoot.is_none() && self.forefoot != UNKNOWN);
    }

    fn mark(&mut self, bit: u8, on: bool) {
        if on {
            self.bits |= bit;
        }
    }

    /// Heel stack, stated or derived.
    pub fn heel_stack(&self) -> Option<Mm> {
        known(self.heel).and_then(Mm::from_tenths)
    }

    /// Forefoot stack, stated or derived.
    pub fn forefoot_stack(&self) -> Option<Mm> {
        known(self.forefoot).and_then(Mm::from_tenths)
    }

    /// The drop that ranks.
    pub fn drop(&self) -> Option<Mm> {
        known(self.drop).and_then(Mm::from_tenths)
    }

    /// The mass of one shoe, as weighed.
    pub fn mass(&self) -> Option<Grams> {
        known(self.mass).and_then(Grams::from_tenths)
    }

    /// The EU size in twelfths at which it was weighed.
    pub fn mass_size(&self) -> Option<u16> {
        (self.mass_size != 0).then_some(self.mass_size)
    }

    /// Compression stiffness measured by `method`; a value of another method is no value here.
    pub fn compression_by(&self, method: &str) -> Option<NewtonsPerMm> {
        known(self.compression)
            .filter(|_| self.method == method_fingerprint(method))
            .and_then(NewtonsPerMm::from_tenths)
    }

    /// The bending word.
    pub fn bending(&self) -> Option<BendingWord> {
        BendingWord::from_step(self.bending)
    }

    /// Whether it has a rocker sole.
    pub fn rocker(&self) -> Option<bool> {
        from_three_valued(self.bits >> ROCKER_SHIFT & 3)
    }

    /// Whether it has a plate.
    pub fn plate(&self) -> Option<bool> {
        from_three_valued(self.bits >> PLATE_SHIFT & 3)
    }

    /// How many motion-control and stability devices it has.
    pub fn devices(&self) -> Option<u8> {
        self.devices.checked_sub(1)
    }

    /// For whom it is built.
    pub fn audience(&self) -> Option<Audience> {
        Audience::ALL.get(usize::from(self.audience)).copied()
    }

    /// The stack under the part that lands first; a mean is rounded half up to a tenth.
    pub fn landing_stack(&self, landing: Landing) -> Option<Mm> {
        match landing {
            Landing::Heel => self.heel_stack(),
            Landing::Forefoot => self.forefoot_stack(),
            Landing::Mean => {
                let sum = known(self.heel)? + known(self.forefoot)?;
                Mm::from_tenths(div_half_up(i64::from(sum), 2) as i32)
            }
        }
    }

    /// Whether the drop was worked out of the stacks.
    pub fn drop_is_derived(&self) -> bool {
        self.bits & DROP_DERIVED != 0
    }

    /// Whether the heel stack was worked out of forefoot and drop.
    pub fn heel_is_derived(&self) -> bool {
        self.bits & HEEL_DERIVED != 0
    }

    /// Whether the forefoot stack was worked out of heel and drop.
    pub fn forefoot_is_derived(&self) -> bool {
        self.bits & FOREFOOT_DERIVED != 0
    }

    /// Whether the stated drop and the stacks are more than half a millimetre apart.
    pub fn drop_disagrees(&self) -> bool {
        self.bits & DROP_DISAGREES != 0
    }
}

fn known(tenths: i16) -> Option<i32> {
    (tenths != UNKNOWN).then(|| i32::from(tenths))
}

/// Values that do not fit are refused at import; here they are unknown rather than wrong.
fn tenths(value: Option<i32>) -> i16 {
    value.and_then(|v| i16::try_from(v).ok()).unwrap_or(UNKNOWN)
}

fn weighed_at(label: Option<&SizeLabel>, audience: Option<Audience>) -> u16 {
    label.and_then(|l| l.foot(audience)).map_or(0, eu_twelfths)
}

fn three_valued(known: Option<bool>) -> u8 {
    match known {
        None => 0,
        Some(false) => 1,
        Some(true) => 2,
    }
}

fn from_three_valued(bits: u8) -> Option<bool> {
    match bits {
        1 => Some(false),
        2 => Some(true),
        _ => None,
    }
}

/// FNV-1a over the method's letters, case and outer blanks aside: two spellings of one method compare equal.
fn method_fingerprint(method: &str) -> u32 {
    method
        .trim()
        .chars()
        .flat_map(char::to_lowercase)
        .fold(0x811c_9dc5, |hash, c| (hash ^ u32::from(c)).wrapping_mul(0x0100_0193))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::style::Compression;

    fn stacks(heel: Option<i32>, forefoot: Option<i32>, drop: Option<i32>) -> Measures {
        let specification = Specification {
            heel_stack: heel.map(Mm::tenths),
            forefoot_stack: forefoot.map(Mm::tenths),
            drop_stated: drop.map(Mm::tenths),
            ..Specification::default()
        };
        Measures::of(&specification, None)
    }

    #[test]
    fn measures_stay_small() {
        assert!(size_of::<Measures>() <= 20);
    }

    #[test]
    fn a_missing_drop_is_unknown_not_zero() {
        assert_eq!(stacks(Some(320), None, None).drop(), None);
        assert_eq!(stacks(None, None, None), Measures::UNKNOWN);
    }

    #[test]
    fn drop_and_stacks_are_worked_out_of_each_other_and_marked() {
        let drop = stacks(Some(320), Some(240), None);
        assert_eq!((drop.drop(), drop.drop_is_derived()), (Some(Mm::whole(8)), true));
        let forefoot = stacks(Some(320), None, Some(80));
        assert_eq!((forefoot.forefoot_stack(), forefoot.forefoot_is_derived()), (Some(Mm::whole(24)), true));
        let heel = stacks(None, Some(240), Some(80));
        assert_eq!((heel.heel_stack(), heel.heel_is_derived()), (Some(Mm::whole(32)), true));
    }

    #[test]
    fn a_stated_drop_half_a_millimetre_off_stands_and_one_further_off_yields_to_the_stacks() {
        assert_eq!(stacks(Some(320), Some(240), Some(85)).drop(), Some(Mm::tenths(85)));
        let apart = stacks(Some(320), Some(240), Some(86));
        assert_eq!((apart.drop(), apart.drop_disagrees()), (Some(Mm::whole(8)), true));
    }

    #[test]
    fn a_mean_stack_is_rounded_half_up_and_needs_both_ends() {
        assert_eq!(stacks(Some(321), Some(240), None).landing_stack(Landing::Mean), Some(Mm::tenths(281)));
        assert_eq!(stacks(Some(321), None, None).landing_stack(Landing::Mean), None);
    }

    #[test]
    fn compression_by_another_method_is_no_value() {
        let compression = Compression { stiffness: NewtonsPerMm::tenths(613), method: "Global, 60 J".into() };
        let measures =
            Measures::of(&Specification { compression: Some(compression), ..Default::default() }, None);
        assert_eq!(measures.compression_by(" global, 60 j "), Some(NewtonsPerMm::tenths(613)));
        assert_eq!(measures.compression_by("F1976"), None);
    }

    #[test]
    fn a_plate_not_given_is_neither_yes_nor_no() {
        let with = |plate| Measures::of(&Specification { plate, ..Default::default() }, None).plate();
        assert_eq!((with(None), with(Some(true)), with(Some(false))), (None, Some(true), Some(false)));
    }
}
