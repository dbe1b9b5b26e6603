//! Feet and sizes: the two feet beside each other, the worn label beside the feet, and what is said about it.
//!
//! A size is never more than a place to start: nothing here removes a shoe.

use crate::evidence::{Claim, Evidence, Grade, sources};
use crate::runner::{Feet, Runner};
use crate::size::{FootLength, SizeLabel};
use crate::units::Mm;

/// From this difference between the feet the smaller one is tried on its own. *Our choice*: about half a EU size.
pub const FEET_APART: Mm = Mm::whole(4);

/// A foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The left one.
    Left,
    /// The right one.
    Right,
}

/// The two feet, both measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TwoFeet {
    /// The larger one; the left one where they are equal.
    pub larger: Side,
    /// Its length.
    pub longer: Mm,
    /// The other one's length.
    pub shorter: Mm,
}

/// Where proposed working sizes come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProposedBy {
    /// The larger of the measured feet.
    Feet,
    /// The label in the worn shoe.
    WornLabel,
}

impl Side {
    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// The other one.
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

impl TwoFeet {
    /// Both feet; `None` unless both were measured.
    pub fn of(feet: &Feet) -> Option<Self> {
        let (left, right) = feet.left_length.zip(feet.right_length)?;
        let larger = if right > left { Side::Right } else { Side::Left };
        Some(Self { larger, longer: left.max(right), shorter: left.min(right) })
    }

    /// How far apart they are, tenths of mm.
    pub const fn apart(&self) -> i32 {
        self.longer.in_tenths() - self.shorter.in_tenths()
    }

    /// Far enough apart to try the smaller one on its own.
    pub const fn are_apart(&self) -> bool {
        self.apart() >= FEET_APART.in_tenths()
    }
}

impl Runner {
    /// Where the proposed working sizes come from; `None` when they were tapped, or nothing proposes any.
    pub fn sizes_proposed_by(&self) -> Option<ProposedBy> {
        if !self.sizes.working.is_empty() || self.working_sizes().is_empty() {
            return None;
        }
        let by_feet = self.nearest_label(self.feet.larger()).is_some();
        Some(if by_feet { ProposedBy::Feet } else { ProposedBy::WornLabel })
    }

    /// The label nearest to a foot in the runner's own system.
    pub fn nearest_label(&self, foot: Option<FootLength>) -> Option<SizeLabel> {
        self.sizes.system?.nearest(foot?, self.audience)
    }

    /// The label that the smaller foot alone would ask for, where the feet are far apart and it is another one.
    pub fn label_of_the_smaller_foot(&self) -> Option<SizeLabel> {
        let feet = TwoFeet::of(&self.feet).filter(TwoFeet::are_apart)?;
        let label = |mm: Mm| self.nearest_label(Some(FootLength::of_mm_tenths(mm.in_tenths())));
        let (smaller, larger) = (label(feet.shorter)?, label(feet.longer)?);
        (smaller.twelfths() != larger.twelfths()).then_some(smaller)
    }

    /// The label nearest to the larger foot, where the worn label is a whole size or more away from it.
    pub fn worn_label_is_off(&self) -> Option<SizeLabel> {
        let nearest = self.nearest_label(self.feet.larger())?;
        let worn = self.sizes.worn_label.as_ref().filter(|worn| worn.system() == nearest.system())?;
        let half = nearest.system()?.half_twelfths();
        (worn.twelfths().abs_diff(nearest.twelfths()) >= 2 * half).then_some(nearest)
    }
}

/// What stands behind what is said of feet and sizes: printed beside the rules.
pub static CLAIMS: &[&Claim] = &[&WRONG_SIZES, &TOE_ROOM, &SWELLING];

static WRONG_SIZES: Claim = Claim {
    id: "size-by-measuring",
    says: "Measure both feet standing: many people wear a size that does not match, mostly too narrow.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::BULDT_2018, &sources::BARTON_2009],
        shows: "63 to 72 of 100 wore shoes that matched neither length nor width; linked with pain and deformity of toes.",
        studied: "18 studies, many of older people and foot patients; everyday shoes.",
        limits: "Judging length by eye or hand is the weak part of a footwear assessment.",
    },
};

static TOE_ROOM: Claim = Claim {
    id: "size-toe-room",
    says: "Room before the longest toe is custom, with weak evidence: the shop's own figure stands in the policy, and it hides no shoe.",
    evidence: Evidence {
        grade: Grade::None,
        sources: &[],
        shows: "No trial or standard for adults in running shoes was found; textbooks say 10 to 12 mm.",
        studied: "Nobody: this is custom.",
        limits: "A thumb's width is no unit: thumbs are 11 to 27 mm wide.",
    },
};

static SWELLING: Claim = Claim {
    id: "size-swelling",
    says: "No size is added for swelling: on a long run feet hardly grow.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::FUKANO_2016],
        shows: "After 35 km feet were 0.4 mm longer, which is no difference, and 1.7 % smaller in volume.",
        studied: "21 runners.",
        limits: "One small study.",
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::size::SizeSystem;
    use crate::style::Audience;

    fn runner(left: i32, right: i32, worn: &str) -> Runner {
        let mut runner = Runner { audience: Some(Audience::Men), ..Runner::default() };
        runner.sizes.system = Some(SizeSystem::Eu);
        runner.sizes.worn_label = SizeLabel::parse(Some(SizeSystem::Eu), worn);
        runner.feet.left_length = Some(Mm::tenths(left));
        runner.feet.right_length = Some(Mm::tenths(right));
        runner
    }

    #[test]
    fn the_smaller_foot_is_tried_from_four_millimetres_on() {
        let label =
            |right| runner(2680, right, "").label_of_the_smaller_foot().map(|l| l.printed().to_owned());
        assert_eq!(label(2719), None);
        assert_eq!(label(2720).as_deref(), Some("42"));
        assert_eq!(TwoFeet::of(&runner(2680, 2720, "").feet).map(|feet| feet.larger), Some(Side::Right));
    }

    #[test]
    fn feet_of_which_one_was_measured_are_not_compared() {
        let mut one = runner(2680, 2720, "");
        one.feet.left_length = None;
        assert_eq!(TwoFeet::of(&one.feet), None);
        assert_eq!(one.label_of_the_smaller_foot(), None);
    }

    #[test]
    fn a_worn_label_a_whole_size_off_is_named() {
        // EU 42.5 by the formula is nearest to 271 mm.
        let off = |worn| runner(2710, 2710, worn).worn_label_is_off().map(|label| label.printed().to_owned());
        assert_eq!(
            (off("42"), off("41.5").as_deref(), off("43.5").as_deref()),
            (None, Some("42.5"), Some("42.5"))
        );
        assert_eq!(Runner::default().worn_label_is_off(), None);
    }

    #[test]
    fn what_proposed_the_sizes_is_known() {
        let mut by = runner(2710, 2710, "41");
        assert_eq!(by.sizes_proposed_by(), Some(ProposedBy::Feet));
        by.feet = Feet::default();
        assert_eq!(by.sizes_proposed_by(), Some(ProposedBy::WornLabel));
        by.sizes.working = by.working_sizes();
        assert_eq!(by.sizes_proposed_by(), None);
    }
}
