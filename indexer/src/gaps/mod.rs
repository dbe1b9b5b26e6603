//! What the catalogue does not know, and what it can hardly believe.
//!
//! Holes are counted with their denominators ([`wanted`]); doubts name shoes whose values disagree with each other,
//! with those around them, or with another shoe's ([`contradictions`], [`outliers`], [`duplicates`]); and what a
//! supplier could tell becomes a letter (`ask`). Nothing is mended here, and nothing stored.

mod ask;
mod contradictions;
mod duplicates;
mod low;
mod outliers;
#[cfg(test)]
mod tests;
mod wanted;

use std::collections::BTreeMap;

use catalogue::key::StyleKey;
use catalogue::measures::Measures;
use catalogue::stock::Sku;
use catalogue::style::Style;

pub use ask::letter;
pub use contradictions::contradictions;
pub use duplicates::duplicates;
pub use low::{Low, low_sizes};
pub use outliers::{OUTLIERS_IN_WORDS, outliers};
pub use wanted::{Hole, WANTED, Wanted, holes, wanted};

use crate::snapshot::Snapshot;

/// Who brought each style.
pub type Suppliers = BTreeMap<StyleKey, String>;

/// One style with its sizes and who supplies it.
#[derive(Clone, Copy, Debug)]
pub struct Shoe<'s> {
    /// What the sheets say of the style.
    pub style: &'s Style,
    /// Its measures, worked out where one follows from two others.
    pub measures: Measures,
    /// Its sizes.
    pub skus: &'s [Sku],
    /// Who brought it first; empty where nobody is named.
    pub supplier: &'s str,
}

/// A value, or some, that can hardly be true together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// Its stable code.
    pub code: &'static str,
    /// The styles it is about, in the order of keys.
    pub styles: Vec<StyleKey>,
    /// What is the matter, with the values.
    pub say: String,
}

/// Which shoes are looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Narrowed {
    /// Those of one maker, as printed.
    pub maker: Option<String>,
    /// Those of one supplier.
    pub supplier: Option<String>,
}

impl<'s> Shoe<'s> {
    /// Every shoe of a snapshot, retired ones included, in the order of keys.
    pub fn all(snapshot: &'s Snapshot, suppliers: &'s Suppliers) -> Vec<Self> {
        let rows = 0..snapshot.styles().len() as u32;
        let cards = rows.filter_map(|row| snapshot.card(row));
        let supplier = |key: &StyleKey| suppliers.get(key).map_or("", String::as_str);
        cards
            .map(|card| Self {
                style: card.style,
                measures: card.measures,
                skus: card.skus,
                supplier: supplier(&card.style.key),
            })
            .collect()
    }
}

impl Narrowed {
    /// Whether a shoe is among those looked at.
    pub fn admits(&self, shoe: &Shoe<'_>) -> bool {
        let maker = self.maker.as_ref().is_none_or(|maker| **maker == *shoe.style.maker);
        maker && self.supplier.as_ref().is_none_or(|supplier| supplier == shoe.supplier)
    }
}

/// How a shoe is called in a sentence.
fn called(style: &Style) -> String {
    format!("{} {}", style.maker, style.name)
}
