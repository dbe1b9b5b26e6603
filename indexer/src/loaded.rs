//! Everything the store holds at one sequence: what a snapshot is built from.

use std::collections::HashSet;
use std::hash::Hash;

use catalogue::policy::HousePolicy;
use catalogue::size::{SizeCharts, SizeLabel};
use catalogue::stock::Sku;
use catalogue::style::Style;
use catalogue::text::Text;
use foldhash::fast::RandomState;

use crate::words::Synonyms;

/// The number of the last change that is visible; 0 before the first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seq(pub i64);

/// The texts and size labels met so far while a catalogue is loaded: whatever reads alike is held once.
#[derive(Default)]
pub struct Texts {
    texts: HashSet<Text, RandomState>,
    labels: HashSet<SizeLabel, RandomState>,
}

impl Texts {
    /// This text, as it was met first.
    pub fn text(&mut self, text: &str) -> Text {
        match self.texts.get(text) {
            Some(known) => known.clone(),
            None => first(&mut self.texts, text.into()),
        }
    }

    /// This label, as it was met first.
    pub fn label(&mut self, label: SizeLabel) -> SizeLabel {
        match self.labels.get(&label) {
            Some(known) => known.clone(),
            None => first(&mut self.labels, label),
        }
    }
}

fn first<T: Clone + Eq + Hash>(known: &mut HashSet<T, RandomState>, new: T) -> T {
    known.insert(new.clone());
    new
}

/// The catalogue, the stock and the shop's own settings, all read in one transaction.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// The last change in it.
    pub seq: Seq,
    /// Every style, retired ones included, sorted by key.
    pub styles: Vec<Style>,
    /// Every SKU, sorted by style key, then colourway, system, size and width.
    pub skus: Vec<Sku>,
    /// The shop's opinion.
    pub policy: HousePolicy,
    /// The makers' own size charts.
    pub charts: SizeCharts,
    /// When stock was last told, seconds since 1970; `None` before the first stock sheet.
    pub stock_told: Option<i64>,
    /// What words mean besides themselves in this shop.
    pub synonyms: Synonyms,
}

#[cfg(test)]
mod tests {
    use catalogue::size::SizeSystem;

    use super::*;

    #[test]
    fn what_reads_alike_is_held_once() {
        let mut texts = Texts::default();
        let met: Vec<Text> = ["grey", "red", "grey"].map(|text| texts.text(text)).into();
        assert!(std::ptr::eq(met[0].as_str(), met[2].as_str()) && met[0] != met[1]);
        let label = || SizeLabel::parse(Some(SizeSystem::Eu), "42.5").unwrap();
        let (first, again) = (texts.label(label()), texts.label(label()));
        assert!(std::ptr::eq(first.printed(), again.printed()));
    }
}
