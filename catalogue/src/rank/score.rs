//! The score of one shoe for one runner, and the order that follows from it.

use std::cmp::Reverse;

use crate::units::div_half_up;

/// How one shoe suits one runner, in tenths of a point (0..=1000), with its interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Score {
    /// The suitability, unknown measures counted half.
    pub suitability: i16,
    /// The least it could be, whatever the unknown measures are.
    pub low: i16,
    /// The most it could be.
    pub high: i16,
    /// The weights of the known measures, of 100.
    pub known_weight: u8,
    /// It may be brought out first: drop and landing stack known, neither of nearness 0, no injury caution, and
    /// nothing else that design keeps from that group for this one shoe.
    pub may_lead: bool,
}

/// Below this sum of known weights the sheet says too little to rank a shoe.
pub const RANKED_FROM_WEIGHT: u8 = 50;

/// What a list is sorted by: ascending is best first. The style's key breaks what is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OrderKey(Reverse<i64>, Reverse<u32>, Reverse<i16>, i16);

impl Score {
    /// Whether enough is known to rank it.
    pub const fn is_ranked(&self) -> bool {
        self.known_weight >= RANKED_FROM_WEIGHT
    }

    /// Its place in the order: suitability in whole points (rounded half up), then pairs in the working sizes, then
    /// exact suitability, then the narrower interval.
    pub const fn order_key(&self, pairs: u32) -> OrderKey {
        let whole = div_half_up(self.suitability as i64, 10);
        OrderKey(Reverse(whole), Reverse(pairs), Reverse(self.suitability), self.high - self.low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn score(suitability: i16, low: i16, high: i16) -> Score {
        Score { suitability, low, high, known_weight: 100, may_lead: true }
    }

    #[test]
    fn pairs_decide_within_one_whole_point() {
        assert!(score(704, 704, 704).order_key(9) < score(695, 695, 695).order_key(8));
        assert!(score(695, 695, 695).order_key(9) < score(704, 704, 704).order_key(8));
        assert!(
            score(705, 705, 705).order_key(0) < score(704, 704, 704).order_key(9),
            "70.5 rounds up to 71"
        );
    }

    #[test]
    fn the_narrower_interval_breaks_a_tie() {
        assert!(score(700, 690, 710).order_key(1) < score(700, 600, 800).order_key(1));
    }
}
