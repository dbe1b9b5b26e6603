//! The ranking's contract, sections 5.1 and 5.2: exact shares, and lines in tenths of a point with their interval.

use std::ops::{Add, Sub};

/// A fraction from -1 to +1, kept exactly.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Share {
    numerator: i64,
    denominator: i64,
}

/// What a line adds, in tenths of a point: as counted, the least, the most.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tenths {
    pub(crate) at: i64,
    pub(crate) low: i64,
    pub(crate) high: i64,
}

impl Share {
    pub(crate) const NOTHING: Self = Self { numerator: 0, denominator: 1 };
    pub(crate) const FOR: Self = Self { numerator: 1, denominator: 1 };
    pub(crate) const AGAINST: Self = Self { numerator: -1, denominator: 1 };

    pub(crate) const fn of(numerator: i64, denominator: i64) -> Self {
        Self { numerator, denominator }
    }

    /// This share of so many tenths, rounded half away from zero.
    pub(crate) fn of_tenths(self, tenths: i64) -> i64 {
        round(self.numerator * tenths, self.denominator)
    }

    pub(crate) fn is_at_most(self, other: Self) -> bool {
        self.numerator * other.denominator <= other.numerator * self.denominator
    }
}

impl Tenths {
    pub(crate) fn exactly(at: i64) -> Self {
        Self { at, low: at, high: at }
    }

    pub(crate) fn held_within(self, limit: i64) -> Self {
        self.clamped(-limit, limit)
    }

    pub(crate) fn clamped(self, from: i64, to: i64) -> Self {
        let hold = |tenths: i64| tenths.clamp(from, to);
        Self { at: hold(self.at), low: hold(self.low), high: hold(self.high) }
    }
}

impl Add for Tenths {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { at: self.at + other.at, low: self.low + other.low, high: self.high + other.high }
    }
}

impl Sub for Tenths {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { at: self.at - other.at, low: self.low - other.low, high: self.high - other.high }
    }
}

impl std::iter::Sum for Tenths {
    fn sum<I: Iterator<Item = Self>>(lines: I) -> Self {
        lines.fold(Self::default(), |sum, line| sum + line)
    }
}

/// Rounded half away from zero.
pub(crate) fn round(numerator: i64, denominator: i64) -> i64 {
    let magnitude = (2 * numerator.abs() + denominator) / (2 * denominator);
    if numerator < 0 { -magnitude } else { magnitude }
}
