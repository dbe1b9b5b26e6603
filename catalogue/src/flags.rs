//! Red flags: what ends the ranking and sends the runner to a clinician.
//!
//! Basis: evidence section 7, last table (bone stress: doi:10.1177/1941738113486588; clots: Wells 2003, NEJM
//! 349:1227; Achilles rupture: Chiodo 2010; diabetes: IWGDF 2023, doi:10.1002/dmrr.3651; the others: general
//! practice, *from memory*). The shop names a flag and defers; it neither scores nor diagnoses.

use crate::injury::{Answer, Injury};
use crate::runner::Runner;
use crate::style::words;

words! {
    /// A reason to stop. The first ten are asked as one question; the others follow from answers.
    Flag {
        /// One spot of bone pain.
        BonePainSpot => "bone_pain_spot",
        /// Pain at night or at rest.
        PainAtNightOrRest => "pain_at_night_or_rest",
        /// A swollen calf.
        CalfSwelling => "calf_swelling",
        /// A sudden snap at the heel.
        SuddenSnap => "sudden_snap",
        /// Numb feet or an open sore.
        NumbFeetOrOpenSore => "numb_feet_or_open_sore",
        /// A hot, red joint.
        HotRedJoint => "hot_red_joint",
        /// Groin or thigh pain.
        GroinOrThighPain => "groin_or_thigh_pain",
        /// Cannot bear weight.
        CannotBearWeight => "cannot_bear_weight",
        /// Fever or weight loss.
        FeverOrWeightLoss => "fever_or_weight_loss",
        /// Under 16 with hip or knee pain.
        Under16HipOrKnee => "under_16_hip_or_knee",
        /// Pain now at a bone site.
        PainfulBoneSite => "painful_bone_site",
        /// Bone stress that nobody has cleared.
        BoneStressNotCleared => "bone_stress_not_cleared",
        /// Diabetes without normal feeling and the care team's word.
        Diabetes => "diabetes",
    }
}

/// How many flags are asked in the one question.
const ASKED: usize = 10;

/// The one question that stands for ten.
pub const PAIN_QUESTION: &str =
    "Does anything hurt when you walk, hop or run? Any numbness, open sore, swelling or fever?";

/// The answers about red flags.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flags {
    asked: [Answer; ASKED],
    /// Has diabetes.
    pub diabetes: Answer,
    /// Feeling in the feet is normal and the care team has cleared running.
    pub diabetes_cleared: Answer,
}

/// The ranking is stopped; no order is computed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stopped {
    /// The flags, in the order of the list.
    pub flags: Vec<Flag>,
}

impl Flags {
    /// Every flag of the one question answered no.
    pub fn none() -> Self {
        Self { asked: [Answer::No; ASKED], ..Self::default() }
    }

    /// The flags behind the one question.
    pub fn questions() -> &'static [Flag] {
        &Flag::ALL[..ASKED]
    }

    /// Notes an answer to one of the flags behind the question; the derived flags are not answered but follow.
    pub fn set(&mut self, flag: Flag, answer: Answer) {
        if let Some(slot) = self.asked.get_mut(flag as usize) {
            *slot = answer;
        }
    }

    /// The answer to one of the flags behind the question.
    pub fn get(&self, flag: Flag) -> Answer {
        self.asked.get(flag as usize).copied().unwrap_or_default()
    }

    /// The one question as a whole: yes when any flag is, no when all are answered no.
    pub fn pain(&self) -> Answer {
        if self.asked.iter().any(|a| a.is_yes()) {
            Answer::Yes
        } else if self.asked.iter().all(|a| a.is_no()) {
            Answer::No
        } else {
            Answer::NotAsked
        }
    }
}

impl Stopped {
    /// The flags that stop this runner's ranking, if any does.
    pub(crate) fn by(runner: &Runner) -> Option<Self> {
        let flags: Vec<Flag> = Flag::ALL.iter().copied().filter(|flag| flag.is_up(runner)).collect();
        (!flags.is_empty()).then_some(Self { flags })
    }
}

impl Flag {
    fn is_up(self, runner: &Runner) -> bool {
        let bone =
            |test: fn(&Injury) -> bool| runner.injuries.iter().any(|i| i.region.is_bone_site() && test(i));
        match self {
            Self::PainfulBoneSite => bone(|i| i.painful.is_yes()),
            Self::BoneStressNotCleared => bone(|i| !i.cleared.is_yes()),
            Self::Diabetes => runner.flags.diabetes.is_yes() && !runner.flags.diabetes_cleared.is_yes(),
            asked => runner.flags.get(asked).is_yes(),
        }
    }

    /// The sign in plain words, as it is ticked and as it is named when it stops.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::BonePainSpot => {
                "One spot of bone pain, about a finger tip wide, worse with running or hopping"
            }
            Self::PainAtNightOrRest => "Pain at night or at rest",
            Self::CalfSwelling => "A calf that is swollen, tight or tender, above all on one side",
            Self::SuddenSnap => "A sudden snap or kick felt at the heel or calf, or no push-off left",
            Self::NumbFeetOrOpenSore => "Numb feet, or an open sore on a foot",
            Self::HotRedJoint => "A hot, red or suddenly swollen joint",
            Self::GroinOrThighPain => "Pain in the groin or the front of the thigh",
            Self::CannotBearWeight => "Cannot put weight on the leg, or take four steps",
            Self::FeverOrWeightLoss => "Fever, or weight lost without a reason",
            Self::Under16HipOrKnee => "Under 16 with hip or knee pain",
            Self::PainfulBoneSite => "A bone of foot, shin or hip that has been injured hurts now",
            Self::BoneStressNotCleared => "A bone stress injury that no clinician is known to have cleared",
            Self::Diabetes => "Diabetes, and normal feeling with the care team's word is not on record here",
        }
    }

    /// Why the ranking stops.
    pub const fn why(self) -> &'static str {
        match self {
            Self::BonePainSpot | Self::PainfulBoneSite | Self::GroinOrThighPain => {
                "This can be a bone stress injury; finding it late makes recovery longer, and no shoe settles it."
            }
            Self::PainAtNightOrRest => "Pain without load has causes that a shoe does not touch.",
            Self::CalfSwelling => "A clot can look like a calf strain. A shop cannot tell them apart.",
            Self::SuddenSnap => "A torn Achilles tendon is missed at first in about one of four or five.",
            Self::NumbFeetOrOpenSore | Self::Diabetes => {
                "Feet that do not feel can be hurt by a shoe that seems comfortable."
            }
            Self::HotRedJoint => "A hot joint can be gout or an infection.",
            Self::CannotBearWeight => "A bone or tendon may be broken.",
            Self::FeverOrWeightLoss => "These point to an illness, not to a shoe.",
            Self::Under16HipOrKnee => "A growing hip can slip, and it often shows as knee pain.",
            Self::BoneStressNotCleared => "Going back to running after bone stress is led by a clinician.",
        }
    }

    /// Whom to see.
    pub const fn see(self) -> &'static str {
        match self {
            Self::CalfSwelling => {
                "A doctor today. With breathlessness or chest pain: the emergency number, now."
            }
            Self::SuddenSnap | Self::CannotBearWeight => "A doctor or an emergency department today.",
            Self::Under16HipOrKnee => "A doctor today, and no running until then.",
            Self::HotRedJoint | Self::FeverOrWeightLoss => "A doctor, today or tomorrow.",
            Self::NumbFeetOrOpenSore => "A doctor or foot clinic within days; an open sore today.",
            Self::Diabetes => "The diabetes or foot care team: ask them about feeling, footwear and running.",
            Self::PainAtNightOrRest => "A doctor before the next run.",
            Self::BonePainSpot | Self::PainfulBoneSite | Self::GroinOrThighPain => {
                "A sports doctor or physiotherapist before the next run."
            }
            Self::BoneStressNotCleared => {
                "The clinician who treats it: ask for the word that running is cleared."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::injury::Region;

    fn stopped(runner: &Runner) -> Vec<Flag> {
        Stopped::by(runner).map_or(Vec::new(), |s| s.flags)
    }

    #[test]
    fn each_flag_of_the_question_stops_by_itself() {
        for flag in Flags::questions() {
            let mut runner = Runner { flags: Flags::none(), ..Runner::default() };
            runner.flags.set(*flag, Answer::Yes);
            assert_eq!(stopped(&runner), [*flag]);
            assert_eq!(runner.flags.pain(), Answer::Yes);
        }
        assert_eq!(stopped(&Runner::default()), []);
    }

    #[test]
    fn a_bone_stress_injury_stops_until_somebody_says_cleared_asked_or_not() {
        let mut injury = Injury { recent: Answer::No, ..Injury::of(Region::ShinBone) };
        let runner = |injury| Runner { injuries: vec![injury], ..Runner::default() };
        assert_eq!(stopped(&runner(injury)), [Flag::BoneStressNotCleared]);
        injury.cleared = Answer::Yes;
        assert_eq!(stopped(&runner(injury)), []);
        injury.painful = Answer::Yes;
        assert_eq!(stopped(&runner(injury)), [Flag::PainfulBoneSite]);
    }

    #[test]
    fn diabetes_stops_unless_feeling_is_normal_and_the_care_team_has_cleared_it() {
        let mut runner = Runner::default();
        runner.flags.diabetes = Answer::Yes;
        assert_eq!(stopped(&runner), [Flag::Diabetes]);
        runner.flags.diabetes_cleared = Answer::Yes;
        assert_eq!(stopped(&runner), []);
    }

    #[test]
    fn a_question_half_answered_is_not_answered_no() {
        let mut flags = Flags::none();
        assert_eq!(flags.pain(), Answer::No);
        flags.set(Flag::HotRedJoint, Answer::NotAsked);
        assert_eq!(flags.pain(), Answer::NotAsked);
    }

    #[test]
    fn every_flag_says_what_why_and_whom_to_see() {
        for flag in Flag::ALL {
            assert!(!flag.sign().is_empty() && flag.why().ends_with('.') && flag.see().ends_with('.'));
        }
    }
}
