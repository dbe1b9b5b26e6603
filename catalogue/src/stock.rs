//! What hangs on the wall: colourways, SKUs, quantities, prices and GTINs.

use std::fmt;
use std::num::NonZeroU64;

use crate::key::{SkuKey, StyleKey};
use crate::size::SizeLabel;
use crate::text::Text;

/// One size of one colourway of a style, in one width. A shop has very many: each is eight words of eight bytes, and what it says as
/// text it shares with all that say the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sku {
    /// The style it belongs to.
    pub style: StyleKey,
    /// The colourway as printed; empty when the sheet names none.
    pub colourway: Text,
    /// The size as printed, with its system.
    pub label: SizeLabel,
    /// The width as printed; a label, never computed.
    pub width: Option<Text>,
    /// The trade item number on the box.
    pub gtin: Option<Gtin>,
    /// Pairs in stock; `None` when no sheet has said.
    pub quantity: Option<Quantity>,
    /// The customer's price, in minor units of the shop's currency.
    pub price: Option<Price>,
    /// The place on the wall.
    pub place: Option<Text>,
}

/// How many pairs there are, as far as the sheet says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// This many pairs; 0 is none.
    Pairs(u32),
    /// At least this many.
    AtLeast(u32),
    /// In stock, number unknown.
    Some,
}

/// A price in minor units of the shop's one currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Price(pub u32);

/// A trade item number, right-aligned in 14 digits, its check digit found right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Gtin(NonZeroU64);

/// Why a text is no GTIN.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GtinFault {
    /// A spreadsheet has turned it into `6.29104E+12`: digits are lost.
    Scientific,
    /// Something else than digits.
    NotDigits,
    /// Not 8, 12, 13 or 14 digits; a leading zero may be lost.
    Length,
    /// The last digit should be this one.
    CheckDigit(u8),
    /// All zeros: passes the arithmetic, names no item.
    AllZero,
}

impl Sku {
    /// The name that never changes, made of what it names.
    pub fn key(&self) -> SkuKey {
        SkuKey::of(&self.style, &self.colourway, &self.label, self.width.as_deref().unwrap_or_default())
    }

    /// Whether both are one size of one colourway in one width, printed alike.
    pub fn is_same_size(&self, other: &Self) -> bool {
        self.style == other.style
            && self.colourway == other.colourway
            && self.label == other.label
            && self.width == other.width
    }
}

impl Quantity {
    /// Whether at least one pair is there.
    pub const fn in_stock(self) -> bool {
        !matches!(self, Self::Pairs(0) | Self::AtLeast(0))
    }

    /// The pairs that count in an order: a number unknown counts 1.
    pub const fn counted(self) -> u32 {
        match self {
            Self::Pairs(n) | Self::AtLeast(n) => n,
            Self::Some => 1,
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pairs(n) => write!(f, "{n}"),
            Self::AtLeast(n) => write!(f, "{n}+"),
            Self::Some => f.write_str("in stock, number unknown"),
        }
    }
}

impl Gtin {
    /// Reads 8, 12, 13 or 14 digits and checks the last: weights 3, 1, 3 … from the digit left of it (GS1).
    pub fn parse(text: &str) -> Result<Self, GtinFault> {
        let compact: String = text.chars().filter(|c| !matches!(c, ' ' | '-')).collect();
        if looks_scientific(&compact) {
            return Err(GtinFault::Scientific);
        }
        if compact.is_empty() || !compact.bytes().all(|b| b.is_ascii_digit()) {
            return Err(GtinFault::NotDigits);
        }
        if !matches!(compact.len(), 8 | 12 | 13 | 14) {
            return Err(GtinFault::Length);
        }
        let value: u64 = compact.parse().map_err(|_| GtinFault::Length)?;
        let expected = check_digit(value / 10);
        let item = NonZeroU64::new(value).ok_or(GtinFault::AllZero)?;
        if value % 10 == u64::from(expected) { Ok(Self(item)) } else { Err(GtinFault::CheckDigit(expected)) }
    }

    /// The number as an integer of up to 14 digits.
    pub const fn value(self) -> u64 {
        self.0.get()
    }
}

impl fmt::Display for Gtin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:014}", self.0)
    }
}

/// The check digit of the digits left of it.
pub const fn check_digit(mut left: u64) -> u8 {
    let mut sum = 0;
    let mut weight = 3;
    while left > 0 {
        sum += left % 10 * weight;
        weight = 4 - weight;
        left /= 10;
    }
    ((10 - sum % 10) % 10) as u8
}

fn looks_scientific(text: &str) -> bool {
    let Some((mantissa, exponent)) = text.split_once(['E', 'e']) else { return false };
    let number = |t: &str| !t.is_empty() && t.chars().all(|c| c.is_ascii_digit() || "+.,".contains(c));
    number(mantissa) && number(exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: worked examples of GS1 pages and python-stdnum 2.2, tests/tables/gtin_examples.csv.
    #[test]
    fn check_digits_follow_the_published_examples() {
        for code in ["6291041500213", "7300011000017", "036000241457", "20123451", "98412345678908"] {
            assert!(Gtin::parse(code).is_ok(), "{code}");
        }
        assert_eq!(Gtin::parse("6291041500214"), Err(GtinFault::CheckDigit(3)));
        assert_eq!(Gtin::parse("98766051104218"), Err(GtinFault::CheckDigit(4)));
    }

    #[test]
    fn a_damaged_code_says_how_it_is_damaged() {
        assert_eq!(Gtin::parse("6.29104E+12"), Err(GtinFault::Scientific));
        assert_eq!(Gtin::parse("36000241457"), Err(GtinFault::Length));
        assert_eq!(Gtin::parse("6291041500O13"), Err(GtinFault::NotDigits));
        assert_eq!(Gtin::parse("00000000"), Err(GtinFault::AllZero));
    }

    #[test]
    fn a_padded_code_is_the_same_item() {
        assert_eq!(Gtin::parse("06291041500213"), Gtin::parse("6291041500213"));
    }

    #[test]
    fn a_sku_is_sixty_four_bytes_whatever_its_texts_say() {
        assert_eq!(size_of::<Sku>(), 64);
    }

    #[test]
    fn a_number_unknown_is_in_stock_and_counts_one() {
        assert!(Quantity::Some.in_stock());
        assert_eq!(Quantity::Some.counted(), 1);
        assert!(!Quantity::Pairs(0).in_stock());
    }
}
