//! The ranking's contract, section 5.2, *Stops*: which flags end the ranking.

use catalogue::flags::Flag;
use catalogue::injury::{Injury, Region};
use catalogue::runner::Runner;

/// The flags that stop; empty lets the runner be ranked.
pub(crate) fn stops(runner: &Runner) -> Vec<Flag> {
    Flag::ALL.iter().copied().filter(|flag| is_up(*flag, runner)).collect()
}

fn is_up(flag: Flag, runner: &Runner) -> bool {
    let at_bone =
        |test: fn(&Injury) -> bool| runner.injuries.iter().any(|i| is_bone_site(i.region) && test(i));
    match flag {
        Flag::PainfulBoneSite => at_bone(|injury| injury.painful.is_yes()),
        Flag::BoneStressNotCleared => at_bone(|injury| !injury.cleared.is_yes()),
        Flag::Diabetes => runner.flags.diabetes.is_yes() && !runner.flags.diabetes_cleared.is_yes(),
        asked => runner.flags.get(asked).is_yes(),
    }
}

/// Foot-bone, navicular, shin-bone, hip-bone.
pub(crate) fn is_bone_site(region: Region) -> bool {
    matches!(region, Region::FootBone | Region::Navicular | Region::ShinBone | Region::HipBone)
}
