//! What is seen and said of a shoe on the foot, in plain words, and what of it a shop may count without saying of whom.

use crate::style::words;

words! {
    /// How the heel is held on a few steps.
    HeelHold {
        /// It stays where it is.
        Holds => "holds",
        /// It moves a little.
        SlipsALittle => "slips-a-little",
        /// It lifts out.
        Slips => "slips",
    }
}
words! {
    /// How the shoe is across the ball of the foot.
    Across {
        /// Tight.
        Tight => "tight",
        /// Right.
        Right => "right",
        /// Loose.
        Loose => "loose",
    }
}
words! {
    /// The room before the longest toe, standing.
    ToeRoom {
        /// The toe touches.
        Touches => "touches",
        /// Less than a thumb's width.
        Close => "close",
        /// A thumb's width.
        ThumbsWidth => "thumbs-width",
        /// More than that.
        More => "more",
    }
}
words! {
    /// How the shoe runs against its label.
    Runs {
        /// Shorter.
        Short => "short",
        /// As the label says.
        True => "true",
        /// Longer.
        Long => "long",
    }
}
words! {
    /// What a shop counts of a style, nameless.
    Remark {
        /// The heel lifted out.
        HeelSlips => "heel-slips",
        /// A toe touched in the size that should be right.
        ToesTouch => "toes-touch",
        /// Tight across the ball.
        TightAcross => "tight-across",
        /// Loose across the ball.
        LooseAcross => "loose-across",
        /// It runs short.
        RunsShort => "runs-short",
        /// It runs long.
        RunsLong => "runs-long",
    }
}

/// What was seen of one shoe on the foot; whatever nobody said is not asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OnFoot {
    /// The heel.
    pub heel: Option<HeelHold>,
    /// The width.
    pub across: Option<Across>,
    /// The toes.
    pub toes: Option<ToeRoom>,
    /// Against its label.
    pub runs: Option<Runs>,
}

impl OnFoot {
    /// What of it is counted.
    pub fn remarks(&self) -> impl Iterator<Item = Remark> {
        let said = [
            (self.heel == Some(HeelHold::Slips), Remark::HeelSlips),
            (self.toes == Some(ToeRoom::Touches), Remark::ToesTouch),
            (self.across == Some(Across::Tight), Remark::TightAcross),
            (self.across == Some(Across::Loose), Remark::LooseAcross),
            (self.runs == Some(Runs::Short), Remark::RunsShort),
            (self.runs == Some(Runs::Long), Remark::RunsLong),
        ];
        said.into_iter().filter_map(|(said, remark)| said.then_some(remark))
    }
}

impl Remark {
    /// The shop note it may become.
    pub const fn shop_note(self) -> &'static str {
        match self {
            Self::HeelSlips => "heel slips",
            Self::ToesTouch => "little toe room",
            Self::TightAcross => "narrow across the ball",
            Self::LooseAcross => "wide across the ball",
            Self::RunsShort => "runs short",
            Self::RunsLong => "runs long",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_speaks_of_the_shoe_is_counted() {
        let plain =
            OnFoot { heel: Some(HeelHold::SlipsALittle), toes: Some(ToeRoom::Close), ..OnFoot::default() };
        assert_eq!(plain.remarks().count(), 0);
        let short = OnFoot { heel: Some(HeelHold::Slips), runs: Some(Runs::Short), ..OnFoot::default() };
        assert_eq!(short.remarks().collect::<Vec<_>>(), [Remark::HeelSlips, Remark::RunsShort]);
    }
}
