//! Units, currencies and size systems as headings and cells name them.

use catalogue::size::SizeSystem;
use catalogue::units::{LengthUnit, MassUnit};

/// A unit, currency or size system named by a heading or a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Of a length.
    Length(LengthUnit),
    /// Of a mass.
    Mass(MassUnit),
    /// N/mm.
    Compression,
    /// A currency, by its code of ISO 4217 or by its sign.
    Currency(&'static str),
    /// Of a size.
    System(SizeSystem),
    /// Two units of one kind, such as `g / oz`: each cell has to say its own.
    Several,
}

/// Currencies with the signs and words that stand for them; one sign may stand for several. Codes are those of
/// `tests/tables/iso4217_minor_units.csv`, signs are common practice.
const CURRENCIES: [(&str, &[&str]); 22] = [
    ("EUR", &["€", "euro", "euros"]),
    ("GBP", &["£"]),
    ("USD", &["$", "us$"]),
    ("CHF", &["fr", "sfr"]),
    ("JPY", &["¥", "円"]),
    ("CNY", &["¥", "元"]),
    ("KRW", &["₩"]),
    ("SEK", &["kr"]),
    ("NOK", &["kr"]),
    ("DKK", &["kr"]),
    ("ISK", &["kr"]),
    ("PLN", &["zł"]),
    ("CZK", &["kč"]),
    ("HUF", &["ft"]),
    ("CLP", &["$"]),
    ("VND", &["₫"]),
    ("KWD", &[]),
    ("BHD", &[]),
    ("TND", &[]),
    ("AUD", &["$", "a$"]),
    ("CAD", &["$", "c$"]),
    ("NZD", &["$", "nz$"]),
];

/// The unit that a token names; case aside.
pub(crate) fn unit_of(token: &str) -> Option<Unit> {
    let token = token.to_lowercase();
    Some(match token.as_str() {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimètres" | "milímetros" | "millimetri" => {
            Unit::Length(LengthUnit::Mm)
        }
        "cm" | "centimetre" | "centimetres" | "centimeter" | "zentimeter" | "centimètres" | "centímetros"
        | "centimetri" => Unit::Length(LengthUnit::Cm),
        "in" | "inch" | "inches" | "\"" | "″" | "”" | "''" | "zoll" | "pouces" | "pulgadas" | "pollici" => {
            Unit::Length(LengthUnit::Inch)
        }
        "g" | "gr" | "grs" | "gram" | "grams" | "gramm" | "grammes" | "gramos" | "grammi" => {
            Unit::Mass(MassUnit::Gram)
        }
        "kg" | "kilogram" | "kilogramm" | "kilo" => Unit::Mass(MassUnit::Kilogram),
        "oz" | "ounce" | "ounces" | "onces" | "onzas" | "once" | "unzen" => Unit::Mass(MassUnit::Ounce),
        "lb" | "lbs" | "pound" | "pounds" => Unit::Mass(MassUnit::Pound),
        "n/mm" => Unit::Compression,
        _ => return system_of(&token).map(Unit::System).or_else(|| currency_of(&token).map(Unit::Currency)),
    })
}

/// The size system that a token names.
pub(crate) fn system_of(token: &str) -> Option<SizeSystem> {
    Some(match token.to_lowercase().as_str() {
        "eu" | "eur size" | "fr" | "europe" | "ue" => SizeSystem::Eu,
        "uk" | "gb" => SizeSystem::Uk,
        "us" | "usa" => SizeSystem::Us,
        "mp" | "mondo" | "mondopoint" => SizeSystem::Mondopoint,
        "jp" | "cm" | "jpn" => SizeSystem::Cm,
        _ => return None,
    })
}

/// The code or sign of a currency that a token names.
pub(crate) fn currency_of(token: &str) -> Option<&'static str> {
    let lower = token.to_lowercase();
    CURRENCIES.iter().find_map(|(code, signs)| {
        let sign = || signs.iter().copied().find(|sign| *sign == lower);
        if code.eq_ignore_ascii_case(token) { Some(*code) } else { sign() }
    })
}

/// Whether the currency of this code is written with this code or sign.
pub(crate) fn is_written(code: &str, told: &str) -> bool {
    let signs =
        CURRENCIES.iter().find(|(known, _)| *known == code).map_or(&[] as &[&str], |(_, signs)| signs);
    code.eq_ignore_ascii_case(told) || signs.contains(&told)
}

impl Unit {
    /// The unit as printed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Length(LengthUnit::Mm) => "mm",
            Self::Length(LengthUnit::Cm) => "cm",
            Self::Length(LengthUnit::Inch) => "in",
            Self::Mass(MassUnit::Gram) => "g",
            Self::Mass(MassUnit::Kilogram) => "kg",
            Self::Mass(MassUnit::Ounce) => "oz",
            Self::Mass(MassUnit::Pound) => "lb",
            Self::Compression => "N/mm",
            Self::Currency(told) => told,
            Self::System(system) => system.word(),
            Self::Several => "each cell its own",
        }
    }

    /// Whether both measure the same kind of thing.
    pub(super) fn is_like(self, other: Self) -> bool {
        std::mem::discriminant(&self) == std::mem::discriminant(&other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_may_stand_for_several_currencies_and_a_code_for_one() {
        assert!(is_written("USD", "$") && is_written("CAD", "$") && is_written("EUR", "EUR"));
        assert!(!is_written("EUR", "$") && !is_written("USD", "CAD"));
    }

    #[test]
    fn units_are_known_in_words_and_signs() {
        assert_eq!(unit_of("MM"), Some(Unit::Length(LengthUnit::Mm)));
        assert_eq!(unit_of("pouces"), Some(Unit::Length(LengthUnit::Inch)));
        assert_eq!(unit_of("chf"), Some(Unit::Currency("CHF")));
        assert_eq!(
            unit_of("fr"),
            Some(Unit::System(SizeSystem::Eu)),
            "a size, unless a price says otherwise"
        );
        assert_eq!(unit_of("furlong"), None);
    }
}
