//! What has hurt: regions, and the three-valued answers about each.

use crate::style::words;

/// An answer with its third state: a question nobody asked is never taken for a no.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Answer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Nobody asked.
    #[default]
    NotAsked,
}

impl Answer {
    /// Whether the answer was a yes.
    pub fn is_yes(self) -> bool {
        self == Self::Yes
    }

    /// Whether the answer was a no.
    pub fn is_no(self) -> bool {
        self == Self::No
    }

    /// As an option: `None` is not asked.
    pub fn known(self) -> Option<bool> {
        match self {
            Self::Yes => Some(true),
            Self::No => Some(false),
            Self::NotAsked => None,
        }
    }

    /// As printed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::NotAsked => "not asked",
        }
    }
}

impl From<Option<bool>> for Answer {
    fn from(known: Option<bool>) -> Self {
        match known {
            Some(true) => Self::Yes,
            Some(false) => Self::No,
            None => Self::NotAsked,
        }
    }
}

words! {
    /// Where it hurts or has hurt.
    Region {
        /// Achilles tendon.
        Achilles => "achilles",
        /// Calf muscle.
        Calf => "calf",
        /// Under the heel.
        PlantarHeel => "plantar-heel",
        /// Bones of the foot.
        FootBone => "foot-bone",
        /// The navicular bone.
        Navicular => "navicular",
        /// Around or behind the kneecap (patellofemoral).
        Kneecap => "kneecap",
        /// Iliotibial band.
        Iliotibial => "iliotibial",
        /// Along the shin.
        Shin => "shin",
        /// The shin bone.
        ShinBone => "shin-bone",
        /// The big-toe joint (first metatarsophalangeal).
        BigToeJoint => "big-toe-joint",
        /// A nerve of the forefoot.
        ForefootNerve => "forefoot-nerve",
        /// The ankle, giving way.
        Ankle => "ankle",
        /// Knee arthritis.
        KneeArthritis => "knee-arthritis",
        /// The hip bone.
        HipBone => "hip-bone",
        /// Somewhere else.
        Other => "other",
    }
}

/// One entry of the history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Injury {
    /// Where.
    pub region: Region,
    /// Within the last 12 months.
    pub recent: Answer,
    /// Painful now.
    pub painful: Answer,
    /// Cleared to run by a clinician.
    pub cleared: Answer,
    /// The pain that is current, when two rules pull apart.
    pub current: Answer,
}

impl Region {
    /// Bones in which a stress injury may hide: pain here, or no clearance, stops the ranking.
    pub const fn is_bone_site(self) -> bool {
        matches!(self, Self::FootBone | Self::Navicular | Self::ShinBone | Self::HipBone)
    }
}

impl Injury {
    /// An injury of which only the region was said.
    pub const fn of(region: Region) -> Self {
        let unasked = Answer::NotAsked;
        Self { region, recent: unasked, painful: unasked, cleared: unasked, current: unasked }
    }

    /// Recent is within 12 months, or painful, or when not asked.
    pub fn is_recent(&self) -> bool {
        self.painful.is_yes() || !self.recent.is_no()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_injury_of_unasked_age_counts_as_recent() {
        let mut injury = Injury::of(Region::Calf);
        assert!(injury.is_recent());
        injury.recent = Answer::No;
        assert!(!injury.is_recent());
        injury.painful = Answer::Yes;
        assert!(injury.is_recent(), "painful is recent whatever was said of its age");
    }

    #[test]
    fn not_asked_is_neither_yes_nor_no() {
        assert_eq!(Answer::default(), Answer::NotAsked);
        assert!(!Answer::NotAsked.is_yes() && !Answer::NotAsked.is_no());
        assert_eq!(Answer::from(Answer::NotAsked.known()), Answer::NotAsked);
    }
}
