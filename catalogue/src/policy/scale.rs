//! How the numbers of the policy are kept, said and heard, and within which limits they stand.

use std::fmt;

use crate::units::{Decimal, Tenths};

/// How a number is kept and within which limits it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Behind the number.
    pub unit: &'static str,
    /// How many of what is kept make one unit: 10 for tenths, 12 for twelfths of a size.
    pub(super) per_unit: i32,
    /// The least, as kept.
    pub(super) least: i32,
    /// The most, as kept.
    pub(super) most: i32,
}

/// Why an item cannot be set. Displayed as what to do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotHeard {
    /// No number, or not two of them.
    NotNumbers(usize),
    /// More decimals than are kept.
    Finer(&'static str),
    /// Beyond the limits.
    Beyond(Scale),
    /// The first end is above the second.
    Swapped,
    /// A method that is no short plain text.
    Method,
    /// Not a code of the list.
    Currency,
}

pub(super) const fn tenths(unit: &'static str, least: i32, most: i32) -> Scale {
    Scale { unit, per_unit: 10, least: least * 10, most: most * 10 }
}

pub(super) const fn whole(unit: &'static str, least: i32, most: i32) -> Scale {
    Scale { unit, per_unit: 1, least, most }
}

pub(super) const EU: Scale = Scale { unit: "EU size", per_unit: 12, least: 30 * 12, most: 52 * 12 };
pub(super) const PERCENT: Scale = Scale { unit: "%", per_unit: 10, least: 0, most: 100 };

impl Scale {
    /// As many decimals as are needed: tenths one, twelfths of a size two.
    pub(super) fn say(self, kept: i32) -> String {
        match self.per_unit {
            10 => Tenths(kept).to_string(),
            12 => format!("{}{}", kept / 12, if kept % 12 == 6 { ".5" } else { "" }),
            _ => kept.to_string(),
        }
    }

    pub(super) fn hear(self, text: &str, expected: usize) -> Result<i32, NotHeard> {
        let text = text.trim().replace('−', "-").replace(',', ".");
        let number = Decimal::parse(&text, '.').ok_or(NotHeard::NotNumbers(expected))?;
        let kept = number.scaled(self.per_unit.into(), 1).ok_or(NotHeard::Beyond(self))?;
        if number.scaled(1_000, 1) != kept.checked_mul(1_000).map(|thousandths| thousandths / self.per_unit) {
            return Err(NotHeard::Finer(if self.per_unit == 12 { "halves" } else { self.finest() }));
        }
        if (self.least..=self.most).contains(&kept) { Ok(kept) } else { Err(NotHeard::Beyond(self)) }
    }

    const fn finest(self) -> &'static str {
        if self.per_unit == 10 { "tenths" } else { "whole numbers" }
    }
}

impl fmt::Display for NotHeard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotNumbers(1) => f.write_str("is no plain number; write one such as 6 or 4.5"),
            Self::NotNumbers(_) => {
                f.write_str("is not two plain numbers; write from and to, such as -4 and -1")
            }
            Self::Finer(finest) => write!(f, "is finer than is kept; write {finest}"),
            Self::Beyond(scale) => write!(
                f,
                "is beyond the limits; write a number from {} to {} {}",
                scale.say(scale.least),
                scale.say(scale.most),
                scale.unit
            ),
            Self::Swapped => f.write_str("runs downwards; write the lower end first"),
            Self::Method => f.write_str("is too long or not plain; write the method as the sheets do"),
            Self::Currency => f.write_str(
                "is no currency code of two decimals known here; write one such as EUR, GBP or USD",
            ),
        }
    }
}
