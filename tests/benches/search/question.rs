//! The questions of the bench, and the one form in which all answers are compared.

use std::collections::BTreeMap;

use catalogue::size::{FootLength, SizeLabel, SizeSystem};
use indexer::search::Results;
use indexer::search::{Choice, Counts, Range, Search};
use indexer::snapshot::Group;

use crate::shop::{Chance, OF_STYLE};

/// One question, in words that every peer understands.
#[derive(Debug)]
pub(crate) struct Question {
    /// A word or the beginning of one; empty for none.
    pub(crate) word: String,
    /// The values chosen in groups of styles.
    pub(crate) styles: BTreeMap<Group, Vec<String>>,
    /// What is asked of one SKU; `None` in the mix of style facets alone.
    pub(crate) sku: Option<AskedOfSku>,
}

/// Size, width, stock and price.
#[derive(Debug)]
pub(crate) struct AskedOfSku {
    /// Working sizes, EU twelfths.
    pub(crate) sizes: Vec<u16>,
    /// A width label.
    pub(crate) width: Option<&'static str>,
    /// At most, minor units.
    pub(crate) price: Option<i64>,
}

/// What all must agree on: styles found, pairs, counts above 0, and the first twenty where they are ranked.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Answer {
    pub(crate) total: i64,
    pub(crate) pairs: i64,
    pub(crate) counts: BTreeMap<(&'static str, String), i64>,
    pub(crate) first: Vec<u32>,
    /// The bars of the histograms, by where they begin; a peer that is spared them has none.
    pub(crate) bars: BTreeMap<(&'static str, i64), i64>,
}

/// Questions as a fitter asks them: two in five with a word, one to three choices.
pub(crate) fn questions(n: usize, of_sku: bool, known: &Results) -> Vec<Question> {
    let mut chance = Chance(7);
    (0..n).map(|_| question(&mut chance, of_sku, known)).collect()
}

fn question(chance: &mut Chance, of_sku: bool, known: &Results) -> Question {
    let word = if chance.below(5) < 2 { chance.word(400) } else { String::new() };
    let cut = word.len() - if word.is_empty() { 0 } else { chance.below(3) as usize };
    let choices = 1 + chance.below(3);
    let styles = (0..choices).map(|_| {
        let group = chance.of(&OF_STYLE);
        let facet = known.facets.iter().find(|facet| facet.group == group).expect("a group of styles");
        let values: Vec<&str> = facet.values.iter().map(|value| &*value.value).collect();
        let mut chosen = vec![chance.of(&values).to_owned(), chance.of(&values).to_owned()];
        chosen.dedup();
        (group, chosen)
    });
    Question { word: word[..cut].to_owned(), styles: styles.collect(), sku: of_sku.then(|| sku(chance)) }
}

fn sku(chance: &mut Chance) -> AskedOfSku {
    let first = 36 * 12 + chance.below(16) as u16 * 6;
    AskedOfSku {
        sizes: (0..=chance.below(3) as u16).map(|half| first + half * 6).collect(),
        width: (chance.below(3) == 0).then(|| chance.of(&["D", "2E"])),
        price: (chance.below(2) == 0).then(|| 9_000 + chance.below(10) as i64 * 1_000),
    }
}

impl Question {
    /// The question as the indexer understands it.
    pub(crate) fn search(&self) -> Search {
        let mut search = Search { words: self.word.clone(), limit: Some(20), ..Search::default() };
        for (group, values) in &self.styles {
            search.choices.insert(*group, Choice { values: values.clone(), admitted: Vec::new() });
        }
        let Some(sku) = &self.sku else {
            return Search { counts: Counts::StylesOnly, ..search };
        };
        let foot = |twelfths: &u16| -> Option<FootLength> {
            SizeLabel::of_twelfths(SizeSystem::Eu, *twelfths).foot(None)
        };
        search.feet = sku.sizes.iter().filter_map(foot).collect();
        search.choices.insert(Group::Stock, Choice::of(&["yes"]));
        search.choices.extend(sku.width.map(|width| (Group::Width, Choice::of(&[width]))));
        let at_most = |price| Range { from: None, to: Some(price), keep_unknown: false };
        search.ranges.extend(sku.price.map(|price| (Group::Price, at_most(price))));
        search
    }

    /// The indexer's answer in the form that is compared.
    pub(crate) fn answer(&self, found: &Results) -> Answer {
        let counted = found.facets.iter().flat_map(|facet| {
            let values = facet.values.iter().filter(|value| value.count > 0);
            values.map(|v| ((facet.group.key(), v.value.to_string()), i64::from(v.count)))
        });
        let bars = found.ranges.iter().flat_map(|range| {
            let bins = range.bins.iter().filter(|bin| bin.count > 0);
            bins.map(|bin| ((range.group.key(), bin.from), i64::from(bin.count)))
        });
        let ranked = self.sku.is_some();
        Answer {
            total: found.total.into(),
            pairs: if ranked { found.pairs as i64 } else { 0 },
            counts: counted.collect(),
            bars: if ranked { BTreeMap::new() } else { bars.collect() },
            first: found.hits.iter().filter(|_| ranked).map(|hit| hit.row).collect(),
        }
    }
}
