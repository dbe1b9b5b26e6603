//! Signs that a change of shoe should go slowly (evidence 11.5).

use crate::injury::Region;
use crate::runner::Runner;
use crate::style::words;
use crate::units::Kilograms;

words! {
    /// A sign to go slowly.
    SlowSign {
        /// An injury within 12 months, or painful, or of unasked age.
        RecentInjury => "a recent injury",
        /// A bone stress injury, ever.
        BoneStress => "a bone stress injury in the past",
        /// Above 71.4 kg (Fuller 2017).
        BodyMass => "a body mass above 71.4 kg",
        /// Above 35 km a week (Fuller 2017).
        Distance => "more than 35 km a week",
        /// The strike pattern is being changed.
        StrikeChanging => "a strike pattern that is changing",
        /// No strength work (Taddei 2020).
        NoStrengthWork => "no strength work for foot and calf",
    }
}

/// Fuller 2017: pain rose and risk leaned upwards in minimal shoes above this body mass.
pub const MASS_CUT: Kilograms = Kilograms::tenths(714);
/// Fuller 2017: more strongly above this one.
pub const MASS_CUT_STRONGER: Kilograms = Kilograms::tenths(857);
/// Fuller 2017: pain rose in minimal shoes above this weekly distance, km.
pub const DISTANCE_CUT: u16 = 35;

const BONE_SITES: [Region; 4] = [Region::FootBone, Region::Navicular, Region::ShinBone, Region::HipBone];

/// The signs known of this runner; what nobody asked is no sign.
pub fn slow_signs(runner: &Runner) -> Vec<SlowSign> {
    SlowSign::ALL.iter().copied().filter(|sign| sign.is_known_of(runner)).collect()
}

impl SlowSign {
    fn is_known_of(self, runner: &Runner) -> bool {
        match self {
            Self::RecentInjury => runner.any_recent_injury(),
            Self::BoneStress => runner.ever(&BONE_SITES),
            Self::BodyMass => runner.body_mass.and_then(|mass| mass.above(MASS_CUT)) == Some(true),
            Self::Distance => runner.weekly_km.is_some_and(|km| km > DISTANCE_CUT),
            Self::StrikeChanging => runner.strike_changing.is_yes(),
            Self::NoStrengthWork => runner.strength_work.is_no(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::injury::Answer;

    #[test]
    fn what_nobody_asked_is_no_sign() {
        assert_eq!(slow_signs(&Runner::default()), []);
    }

    /// Source: Fuller 2017, doi:10.1177/0363546516682497 (35 km a week).
    #[test]
    fn signs_are_counted_in_reading_order() {
        let runner = Runner { weekly_km: Some(36), strength_work: Answer::No, ..Runner::default() };
        assert_eq!(slow_signs(&runner), [SlowSign::Distance, SlowSign::NoStrengthWork]);
        let at_the_cut = Runner { weekly_km: Some(35), ..Runner::default() };
        assert_eq!(slow_signs(&at_the_cut), []);
    }
}
