//! How the foot meets the ground, and how anybody knows.

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
    /// The pattern that may be used: seen by eye or on video, or worked out of an angle. The runner's own word is
    /// unseen.
    pub fn used(self) -> Option<StrikePattern> {
        let seen = matches!(self.seen, Some(StrikeSeen::Video240 | StrikeSeen::Video | StrikeSeen::Eye));
        let by_angle = self.angle_tenths.map(|angle| strike_by_angle(angle).pattern);
        self.pattern.filter(|_| seen).or(by_angle)
    }
}

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
            angle_tenths: None,
        };
        assert_eq!(told.used(), None);
        assert_eq!(Strike { seen: Some(StrikeSeen::Eye), ..told }.used(), Some(StrikePattern::Forefoot));
        assert_eq!(Strike { angle_tenths: Some(125), ..told }.used(), Some(StrikePattern::Rearfoot));
    }
}
