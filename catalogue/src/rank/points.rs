//! Points with their interval, in tenths.

use std::ops::{Add, AddAssign, Sub};

/// Points in tenths: as counted, and the least and most they could be for want of a measure.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Points {
    /// As counted.
    pub at: i32,
    /// The least.
    pub low: i32,
    /// The most.
    pub high: i32,
}

impl Points {
    /// Points without doubt.
    pub const fn exactly(at: i32) -> Self {
        Self { at, low: at, high: at }
    }

    /// Each end held within `-limit..=limit`.
    pub(super) fn clamped(self, limit: i32) -> Self {
        let hold = |points: i32| points.clamp(-limit, limit);
        Self { at: hold(self.at), low: hold(self.low), high: hold(self.high) }
    }

    /// Whether nothing is added or taken, whatever is unknown.
    pub fn is_zero(self) -> bool {
        self == Self::default()
    }
}

impl Add for Points {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self { at: self.at + other.at, low: self.low + other.low, high: self.high + other.high }
    }
}

impl AddAssign for Points {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

/// End by end: the difference that a cap makes.
impl Sub for Points {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self { at: self.at - other.at, low: self.low - other.low, high: self.high - other.high }
    }
}
