//! How the foot meets the ground, and how anybody knows.

use crate::evidence::{Claim, Evidence, Grade, sources};
use crate::style::words;

words! {
    /// The part of the foot that lands first.
    StrikePattern {
        /// Heel first.
        Rearfoot => "rearfoot",
        /// Heel and ball together.
        Midfoot => "midfoot",
        /// Ball first.
        Forefoot => "forefoot",
    }
}
words! {
    /// How the pattern was seen.
    StrikeSeen {
        /// High-speed video, 240 frames a second: two raters agreed in 99.4 % (Sports 2019;7(1):8).
        Video240 => "video-240",
        /// Ordinary video: Fleiss kappa 0.74 over four raters (Vergeer et al.).
        Video => "video",
        /// By eye.
        Eye => "eye",
        /// The runner's own word, right in 42.7 % of 710 runners (Vincent 2024, doi:10.3389/fspor.2024.1491486):
        /// kept, never used.
        Told => "told",
    }
}

/// A strike pattern with how it was seen; either may be missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Strike {
    /// The pattern as noted.
    pub pattern: Option<StrikePattern>,
    /// How it was seen; not said counts as told.
    pub seen: Option<StrikeSeen>,
    /// Foot strike angle in tenths of a degree, toes up positive.
    pub angle_tenths: Option<i16>,
    /// Strike index in tenths of a percent of foot length from the heel.
    pub index_tenths: Option<u16>,
}

/// What a reading of the strike rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Somebody saw the pattern.
    Seen(StrikeSeen),
    /// A strike angle.
    Angle,
    /// A strike index.
    Index,
}

/// One way in which the strike is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// What it rests on.
    pub basis: Basis,
    /// The class, and whether it is borderline.
    pub class: StrikeClass,
}

words! {
    /// How sure a reading is.
    Sureness {
        /// Raters and laboratories agree on readings like it.
        Sure => "sure",
        /// Three classes are told apart less well than two, by eye and on ordinary video (Goto 2024).
        LessSure => "less sure",
        /// Within the typical error of a cut point.
        Borderline => "borderline",
    }
}

/// A class with its doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StrikeClass {
    /// The class.
    pub pattern: StrikePattern,
    /// The reading lies within the typical error of a cut point.
    pub borderline: bool,
}

/// Cut points of the strike index, tenths of a percent of foot length from the heel (Cavanagh & Lafortune 1980,
/// J Biomech 13:397-406, as restated in Goto 2024): rearfoot to 33.3, forefoot from 66.7.
pub const STRIKE_INDEX_CUTS: (u16, u16) = (333, 667);

/// Cut points of the strike angle in tenths of a degree (Altman & Davis 2012, Gait Posture 35:298-300, *from
/// memory*): forefoot below -1.6, rearfoot above 8.0.
pub const STRIKE_ANGLE_CUTS: (i16, i16) = (-16, 80);

/// The same cut points derived again (Mo et al. 2023, Sports Biomech): forefoot below -0.8, rearfoot above 7.4.
pub const STRIKE_ANGLE_CUTS_AGAIN: (i16, i16) = (-8, 74);

/// Typical error of a strike angle from 240 Hz video, tenths of a degree (Sports 2019;7(1):8).
pub const STRIKE_ANGLE_ERROR: i16 = 25;

impl Strike {
    /// The pattern that may be used: seen by eye or on video, else worked out of an angle or an index. The runner's own
    /// word is unseen.
    pub fn used(self) -> Option<StrikePattern> {
        self.readings().next().map(|reading| reading.class.pattern)
    }

    /// All that is known of it, the reading that counts first. The runner's own word is none.
    pub fn readings(self) -> impl Iterator<Item = Reading> {
        let seen = self.seen.filter(|seen| *seen != StrikeSeen::Told);
        let plain = |pattern| StrikeClass { pattern, borderline: false };
        let by_sight = self.pattern.zip(seen).map(|(pattern, seen)| (Basis::Seen(seen), plain(pattern)));
        let by_angle = self.angle_tenths.map(|angle| (Basis::Angle, strike_by_angle(angle)));
        let by_index = self.index_tenths.and_then(strike_by_index).map(|class| (Basis::Index, plain(class)));
        let readings = [by_sight, by_angle, by_index].into_iter().flatten();
        readings.map(|(basis, class)| Reading { basis, class })
    }

    /// Two readings name different patterns; the first one counts.
    pub fn disagrees(self) -> bool {
        let counts = self.used();
        self.readings().any(|reading| Some(reading.class.pattern) != counts)
    }

    /// Whether anything was asked or measured at all, the runner's own word included.
    pub fn is_asked(self) -> bool {
        self.pattern.is_some() || self.readings().next().is_some()
    }
}

impl Reading {
    /// How sure it is.
    pub fn sureness(self) -> Sureness {
        let by_the_naked_eye = matches!(self.basis, Basis::Seen(StrikeSeen::Eye | StrikeSeen::Video));
        if self.class.borderline {
            Sureness::Borderline
        } else if by_the_naked_eye && self.class.pattern != StrikePattern::Rearfoot {
            Sureness::LessSure
        } else {
            Sureness::Sure
        }
    }
}

/// What stands behind how a strike is read: printed beside the rules.
pub static CLAIMS: &[&Claim] = &[&OWN_WORD, &BY_SIGHT, &BY_ANGLE, &BY_INDEX];

static OWN_WORD: Claim = Claim {
    id: "strike-own-word",
    says: "What runners say of their own landing is kept and never used: 43 in 100 were right.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::VINCENT_2024],
        shows: "42.7 % were right in all; of those who land on the heel 34 %, of the others 69.5 %; a quarter did not know.",
        studied: "710 runners, checked in a laboratory.",
        limits: "One laboratory.",
    },
};

static BY_SIGHT: Claim = Claim {
    id: "strike-by-sight",
    says: "Heel or not heel is told well by eye and on video, best when each foot is filmed from its own outer side; midfoot and forefoot are told apart less well, and say so.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::VIDEO_2019, &sources::GOTO_2024],
        shows: "Two raters agreed on 99.4 % of 155 videos at 240 frames a second; two classes agreed with a laboratory better than three.",
        studied: "Recreational runners outdoors; 162 strikes of only four runners.",
        limits: "A strike changes with speed and fatigue: look at the pace that is run.",
    },
};

static BY_ANGLE: Claim = Claim {
    id: "strike-by-angle",
    says: "An angle above 8.0° is heel, below -1.6° forefoot; within 2.5° of a cut point it is borderline.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::ALTMAN_2012, &sources::MO_2023, &sources::VIDEO_2019],
        shows: "The cut points, from memory; others derived them again as 7.4° and -0.8°. The typical error of an angle from video is 2.5°.",
        studied: "Runners barefoot and in shoes in a laboratory; 155 outdoor videos.",
        limits: "The two sets of cut points differ by less than the error.",
    },
};

static BY_INDEX: Claim = Claim {
    id: "strike-by-index",
    says: "A strike index up to 33.3 % of foot length from the heel is heel, from 66.7 % forefoot.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::CAVANAGH_1980, &sources::GOTO_2024],
        shows: "The thirds by which a force plate tells where the foot lands.",
        studied: "Laboratory runners.",
        limits: "It takes a force plate; read as restated in a later paper.",
    },
};

/// The class of a foot strike angle in tenths of a degree.
pub fn strike_by_angle(angle: i16) -> StrikeClass {
    let (forefoot, rearfoot) = STRIKE_ANGLE_CUTS;
    let pattern = match angle {
        a if a > rearfoot => StrikePattern::Rearfoot,
        a if a < forefoot => StrikePattern::Forefoot,
        _ => StrikePattern::Midfoot,
    };
    let near = |cut: i16| (i32::from(angle) - i32::from(cut)).abs() <= i32::from(STRIKE_ANGLE_ERROR);
    StrikeClass { pattern, borderline: near(forefoot) || near(rearfoot) }
}

/// The class of a strike index in tenths of a percent of foot length; `None` beyond 0..=1000.
pub fn strike_by_index(index: u16) -> Option<StrikePattern> {
    let (rearfoot_to, forefoot_from) = STRIKE_INDEX_CUTS;
    match index {
        i if i <= rearfoot_to => Some(StrikePattern::Rearfoot),
        i if i < forefoot_from => Some(StrikePattern::Midfoot),
        0..=1000 => Some(StrikePattern::Forefoot),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Cavanagh & Lafortune 1980 as restated in Goto 2024, doi:10.26603/001c.123952.
    #[test]
    fn the_strike_index_has_three_thirds() {
        assert_eq!(strike_by_index(333), Some(StrikePattern::Rearfoot));
        assert_eq!(strike_by_index(334), Some(StrikePattern::Midfoot));
        assert_eq!(strike_by_index(666), Some(StrikePattern::Midfoot));
        assert_eq!(strike_by_index(667), Some(StrikePattern::Forefoot));
        assert_eq!(strike_by_index(1001), None);
    }

    /// Source: Altman & Davis 2012, from memory.
    #[test]
    fn the_strike_angle_has_two_cut_points_and_a_borderland() {
        assert_eq!(strike_by_angle(81).pattern, StrikePattern::Rearfoot);
        assert_eq!(strike_by_angle(80).pattern, StrikePattern::Midfoot);
        assert_eq!(strike_by_angle(-16).pattern, StrikePattern::Midfoot);
        assert_eq!(strike_by_angle(-17).pattern, StrikePattern::Forefoot);
        assert!(strike_by_angle(105).borderline && !strike_by_angle(106).borderline);
    }

    #[test]
    fn the_runners_own_word_is_kept_but_unseen() {
        let told = Strike {
            pattern: Some(StrikePattern::Forefoot),
            seen: Some(StrikeSeen::Told),
            ..Strike::default()
        };
        assert_eq!(told.used(), None);
        assert_eq!(Strike { seen: Some(StrikeSeen::Eye), ..told }.used(), Some(StrikePattern::Forefoot));
        assert_eq!(Strike { angle_tenths: Some(125), ..told }.used(), Some(StrikePattern::Rearfoot));
    }

    #[test]
    fn three_readings_stand_beside_each_other_and_the_seen_one_counts() {
        let strike = Strike {
            pattern: Some(StrikePattern::Rearfoot),
            seen: Some(StrikeSeen::Video240),
            angle_tenths: Some(60),
            index_tenths: Some(300),
        };
        let read: Vec<_> = strike.readings().map(|r| (r.class.pattern, r.sureness())).collect();
        let (heel, midfoot) = (StrikePattern::Rearfoot, StrikePattern::Midfoot);
        assert_eq!(read, [(heel, Sureness::Sure), (midfoot, Sureness::Borderline), (heel, Sureness::Sure)]);
        assert_eq!(strike.used(), Some(heel));
        assert!(strike.disagrees() && !Strike { angle_tenths: None, ..strike }.disagrees());
    }

    /// Source: Goto 2024, doi:10.26603/001c.123952: two classes are told apart well, three less well.
    #[test]
    fn a_forefoot_strike_by_eye_is_less_sure_than_a_rearfoot_one() {
        let by_eye =
            |pattern| Strike { pattern: Some(pattern), seen: Some(StrikeSeen::Eye), ..Strike::default() };
        let sureness = |pattern| by_eye(pattern).readings().next().map(Reading::sureness);
        assert_eq!(sureness(StrikePattern::Rearfoot), Some(Sureness::Sure));
        assert_eq!(sureness(StrikePattern::Forefoot), Some(Sureness::LessSure));
    }
}
