//! Quantities as whole tenths: lengths, masses, compression; and the exact reading of a number with a unit.

use std::fmt;

/// Declares a quantity kept in whole tenths of one unit, with one checked door.
macro_rules! tenths {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $limit:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(i32);

        impl $name {
            /// The unit as it is printed behind the number.
            pub const UNIT: &'static str = $unit;
            /// The largest magnitude that can be kept, in tenths; beyond it a value is a slip of the pen.
            pub const LIMIT: i32 = $limit;

            /// A value from tenths of the unit; `None` beyond the limit.
            pub const fn from_tenths(tenths: i32) -> Option<Self> {
                if tenths >= -Self::LIMIT && tenths <= Self::LIMIT { Some(Self(tenths)) } else { None }
            }

            /// A constant from tenths; a value beyond the limit does not compile in a `const`.
            pub const fn tenths(tenths: i32) -> Self {
                match Self::from_tenths(tenths) {
                    Some(value) => value,
                    None => Self(Self::LIMIT),
                }
            }

            /// A constant from whole units.
            pub const fn whole(units: i32) -> Self {
                Self::tenths(units * 10)
            }

            /// The value in tenths of the unit.
            pub const fn in_tenths(self) -> i32 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", Tenths(self.0), Self::UNIT)
            }
        }
    };
}

tenths! {
    /// A length in tenths of a millimetre: stack heights and drop.
    Mm, "mm", 9_999
}
tenths! {
    /// The mass of one shoe in tenths of a gram.
    Grams, "g", 19_999
}
tenths! {
    /// Compression stiffness of a midsole in tenths of N/mm. Not bending stiffness: the two are never merged.
    NewtonsPerMm, "N/mm", 9_999
}
tenths! {
    /// The body mass of a runner in tenths of a kilogram.
    Kilograms, "kg", 4_000
}

/// Tenths printed without a needless `.0`: 80 is `8`, 85 is `8.5`, -5 is `-0.5`.
#[derive(Clone, Copy, Debug)]
pub struct Tenths(pub i32);

impl fmt::Display for Tenths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let magnitude = self.0.unsigned_abs();
        match magnitude % 10 {
            0 => write!(f, "{sign}{}", magnitude / 10),
            tenth => write!(f, "{sign}{}.{tenth}", magnitude / 10),
        }
    }
}

/// An exact decimal number as it was written: `digits` x 10^-`scale`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decimal {
    digits: i64,
    scale: u8,
}

impl Decimal {
    /// Reads `-12.50` with `mark` as the decimal mark. No exponent, no thousands mark, at most 12 digits.
    pub fn parse(text: &str, mark: char) -> Option<Self> {
        let (negative, body) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (whole, fraction) = body.split_once(mark).unwrap_or((body, ""));
        let digits: String = [whole, fraction].concat();
        let plain = !whole.is_empty() && digits.len() <= 12 && digits.bytes().all(|b| b.is_ascii_digit());
        let dangling = body.ends_with(mark);
        if !plain || dangling {
            return None;
        }
        let magnitude: i64 = digits.parse().ok()?;
        Some(Self { digits: if negative { -magnitude } else { magnitude }, scale: fraction.len() as u8 })
    }

    /// The number times `numerator / denominator`, rounded half away from zero; `None` when it does not fit.
    pub fn scaled(self, numerator: i64, denominator: i64) -> Option<i32> {
        let divisor = i128::from(denominator).checked_mul(10_i128.checked_pow(u32::from(self.scale))?)?;
        let product = i128::from(self.digits).checked_mul(i128::from(numerator))?;
        i32::try_from(div_round_i128(product, divisor)).ok()
    }
}

/// Units of length that a sheet may use. Factors: inch 25.4 mm exactly (16 CFR 500.19).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Inch.
    Inch,
}

/// Units of mass that a sheet may use. Factors: pound 453.59237 g exactly, ounce a sixteenth of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MassUnit {
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Avoirdupois ounce.
    Ounce,
    /// Avoirdupois pound.
    Pound,
}

impl LengthUnit {
    /// `number` of this unit as millimetres, rounded half away from zero to a tenth.
    pub fn to_mm(self, number: Decimal) -> Option<Mm> {
        let (numerator, denominator) = match self {
            Self::Mm => (10, 1),
            Self::Cm => (100, 1),
            Self::Inch => (254, 1),
        };
        Mm::from_tenths(number.scaled(numerator, denominator)?)
    }
}

impl MassUnit {
    /// `number` of this unit as grams, rounded half away from zero to a tenth.
    pub fn to_grams(self, number: Decimal) -> Option<Grams> {
        let (numerator, denominator) = match self {
            Self::Gram => (10, 1),
            Self::Kilogram => (10_000, 1),
            Self::Ounce => (45_359_237, 160_000),
            Self::Pound => (45_359_237, 10_000),
        };
        Grams::from_tenths(number.scaled(numerator, denominator)?)
    }
}

/// Division rounded half away from zero; the one rounding of points and units.
pub(crate) const fn div_round(numerator: i64, denominator: i64) -> i64 {
    div_round_i128(numerator as i128, denominator as i128) as i64
}

/// Division rounded half up (towards plus infinity); the one rounding of means and masses.
pub(crate) const fn div_half_up(numerator: i64, denominator: i64) -> i64 {
    (2 * numerator + denominator).div_euclid(2 * denominator)
}

const fn div_round_i128(numerator: i128, denominator: i128) -> i128 {
    let half = denominator / 2;
    if numerator >= 0 { (numerator + half) / denominator } else { -((-numerator + half) / denominator) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decimal(text: &str) -> Decimal {
        Decimal::parse(text, '.').unwrap()
    }

    #[test]
    fn tenths_print_without_a_needless_zero() {
        assert_eq!(Mm::whole(8).to_string(), "8 mm");
        assert_eq!(Mm::tenths(-5).to_string(), "-0.5 mm");
        assert_eq!(Grams::tenths(2655).to_string(), "265.5 g");
    }

    /// Source: 16 CFR 500.19 (inch exact; ounce 28.3495 g), tests/tables/units_exact.csv.
    #[test]
    fn inches_ounces_and_pounds_follow_the_published_factors() {
        assert_eq!(LengthUnit::Inch.to_mm(decimal("1")), Some(Mm::tenths(254)));
        assert_eq!(LengthUnit::Inch.to_mm(decimal("1.26")), Some(Mm::tenths(320)));
        assert_eq!(LengthUnit::Cm.to_mm(decimal("3.25")), Some(Mm::tenths(325)));
        assert_eq!(MassUnit::Ounce.to_grams(decimal("1")), Some(Grams::tenths(283)));
        assert_eq!(MassUnit::Ounce.to_grams(decimal("9.4")), Some(Grams::tenths(2665)));
        assert_eq!(MassUnit::Pound.to_grams(decimal("1")), Some(Grams::tenths(4536)));
        assert_eq!(MassUnit::Kilogram.to_grams(decimal("0.265")), Some(Grams::whole(265)));
    }

    #[test]
    fn a_number_with_letters_exponents_or_dangling_marks_is_no_number() {
        for text in ["", "8x", "6.29104E+12", "8.", ".5", "1 000", "--3", "1.2.3", "1234567890123"] {
            assert_eq!(Decimal::parse(text, '.'), None, "{text:?}");
        }
        assert_eq!(Decimal::parse("32,5", ','), Some(decimal("32.5")));
        assert_eq!(Decimal::parse("-0.5", '.').and_then(|d| d.scaled(10, 1)), Some(-5));
    }

    #[test]
    fn a_value_beyond_the_limit_is_refused_at_the_door() {
        assert_eq!(Mm::from_tenths(10_000), None);
        assert_eq!(LengthUnit::Cm.to_mm(decimal("999999")), None);
    }

    #[test]
    fn halves_round_away_from_zero_or_up_as_named() {
        assert_eq!((div_round(5, 10), div_round(-5, 10), div_round(-14, 10)), (1, -1, -1));
        assert_eq!((div_half_up(5, 10), div_half_up(-5, 10), div_half_up(541, 2)), (1, 0, 271));
    }
}
