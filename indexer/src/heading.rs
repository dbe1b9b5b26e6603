//! One heading, taken apart: its words, the unit it names, and the columns these words belong to.

use catalogue::size::SizeSystem;
use catalogue::units::{LengthUnit, MassUnit};

use crate::columns::{COLUMNS, Column};

/// A heading as understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// Its words, lower case, without units and punctuation.
    pub words: String,
    /// The unit or system it names.
    pub unit: Option<Unit>,
}

/// A unit, currency or size system named by a heading or a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Of a length.
    Length(LengthUnit),
    /// Of a mass.
    Mass(MassUnit),
    /// N/mm.
    Compression,
    /// The shop's currency.
    Euro,
    /// Another currency, which a price may not be in.
    OtherCurrency,
    /// Of a size.
    System(SizeSystem),
}

impl Unit {
    /// As it is written in a mapping file and on a page.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length(LengthUnit::Mm) => "mm",
            Self::Length(LengthUnit::Cm) => "cm",
            Self::Length(LengthUnit::Inch) => "in",
            Self::Mass(MassUnit::Gram) => "g",
            Self::Mass(MassUnit::Kilogram) => "kg",
            Self::Mass(MassUnit::Ounce) => "oz",
            Self::Mass(MassUnit::Pound) => "lb",
            Self::Compression => "N/mm",
            Self::Euro => "EUR",
            Self::OtherCurrency => "another currency",
            Self::System(system) => system.word(),
        }
    }
}

impl Heading {
    /// Takes a heading apart: `Heel stack mm`, `Größe (EU)`, `RRP EUR`, `Article no.`
    pub fn of(text: &str) -> Self {
        let mut unit = None;
        let mut words = Vec::new();
        for token in text.to_lowercase().split(|c: char| c.is_whitespace() || "()[]_-:;,".contains(c)) {
            match unit_of(token.trim_end_matches('.')) {
                // A unit is never the first word: `Cm` alone would be a heading.
                Some(found) if !words.is_empty() => unit = unit.or(Some(found)),
                _ => words.extend(token.split(['.', '/']).filter(|w| !w.is_empty()).map(str::to_owned)),
            }
        }
        Self { words: words.join(" "), unit }
    }

    /// The column whose heading words these are, exactly.
    pub fn column(&self) -> Option<&'static Column> {
        COLUMNS.iter().copied().find(|column| column.headings.contains(&self.words.as_str()))
    }

    /// A column whose heading words are nearly these: only ever suggested.
    pub fn near(&self) -> Option<&'static Column> {
        let long_enough = self.words.chars().count() >= 4;
        let distance = |heading: &str| strsim::osa_distance(&self.words, heading);
        let nearest =
            |column: &&Column| column.headings.iter().map(|h| distance(h)).min().unwrap_or(usize::MAX);
        let column = COLUMNS.iter().copied().min_by_key(nearest)?;
        (long_enough && nearest(&column) <= 2).then_some(column)
    }
}

/// The unit that a token names.
pub(crate) fn unit_of(token: &str) -> Option<Unit> {
    Some(match token {
        "mm" => Unit::Length(LengthUnit::Mm),
        "cm" => Unit::Length(LengthUnit::Cm),
        "in" | "inch" | "inches" | "\"" | "″" => Unit::Length(LengthUnit::Inch),
        "g" | "gr" | "gram" | "grams" | "gramm" => Unit::Mass(MassUnit::Gram),
        "kg" => Unit::Mass(MassUnit::Kilogram),
        "oz" | "ounce" | "ounces" => Unit::Mass(MassUnit::Ounce),
        "lb" | "lbs" | "pound" | "pounds" => Unit::Mass(MassUnit::Pound),
        "n/mm" => Unit::Compression,
        "eur" | "€" | "euro" => Unit::Euro,
        "usd" | "$" | "gbp" | "£" | "chf" | "pln" | "sek" | "dkk" | "czk" => Unit::OtherCurrency,
        _ => return system_of(token).map(Unit::System),
    })
}

/// The size system that a token names.
pub(crate) fn system_of(token: &str) -> Option<SizeSystem> {
    Some(match token.to_lowercase().as_str() {
        "eu" | "eur size" | "fr" => SizeSystem::Eu,
        "uk" | "gb" => SizeSystem::Uk,
        "us" | "usa" => SizeSystem::Us,
        "mp" | "mondo" | "mondopoint" => SizeSystem::Mondopoint,
        "jp" | "cm" => SizeSystem::Cm,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(text: &str) -> Option<&'static str> {
        Heading::of(text).column().map(|column| column.key)
    }

    #[test]
    fn headings_of_the_trade_are_known_in_english_and_german() {
        for (text, key) in [
            ("Heel stack mm", "heel_stack"),
            ("Fersenhöhe (mm)", "heel_stack"),
            ("Article no.", "style_number"),
            ("RRP EUR", "price"),
            ("UVP (€)", "price"),
            ("EK netto (€)", "trade_price"),
            ("Größe (EU)", "size"),
            ("Platte ja/nein", "plate"),
            ("HEEL-STACK [mm]", "heel_stack"),
            ("Weighed at", "mass_size"),
        ] {
            assert_eq!(column(text), Some(key), "{text}");
        }
    }

    #[test]
    fn a_heading_names_its_unit() {
        assert_eq!(Heading::of("Weight oz").unit, Some(Unit::Mass(MassUnit::Ounce)));
        assert_eq!(Heading::of("Stack Heel (cm)").unit, Some(Unit::Length(LengthUnit::Cm)));
        assert_eq!(Heading::of("Size UK").unit, Some(Unit::System(SizeSystem::Uk)));
        assert_eq!(Heading::of("Drop").unit, None);
    }

    #[test]
    fn a_near_miss_is_suggested_never_taken() {
        let heading = Heading::of("Colorway");
        assert_eq!(heading.column(), None);
        assert_eq!(heading.near().map(|c| c.key), Some("colourway"));
        assert_eq!(Heading::of("Origin").near(), None);
    }
}
