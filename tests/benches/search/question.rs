//! The questions of the bench, and the one form in which all answers are compared.

use std::collections::{BTreeMap, BTreeSet};

use catalogue::size::{FootLength, SizeLabel, SizeSystem};
use catalogue::style::Style;
use indexer::search::Results;
use indexer::search::{Choice, Counts, Range, Search};
use indexer::snapshot::Group;

use crate::shop::{Chance, OF_STYLE, WITH_NUMBERS};

/// One question, in words that every peer understands.
#[derive(Debug)]
pub(crate) struct Question {
    /// Words that all must be held; the last one may be the beginning of one.
    pub(crate) words: Vec<String>,
    /// The values chosen in groups of styles.
    pub(crate) styles: BTreeMap<Group, Vec<String>>,
    /// Numbers from and to, tenths, in groups of styles.
    pub(crate) ranges: BTreeMap<Group, (Option<i64>, Option<i64>)>,
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
    /// The bars of the histograms, by where they begin; only of styles alone.
    pub(crate) bars: BTreeMap<(&'static str, i64), i64>,
}

/// Questions about one SKU as a fitter asks them: two in five with a word, one to three groups with up to two values.
pub(crate) fn of_one_sku(n: usize, known: &Results) -> Vec<Question> {
    let mut chance = Chance(7);
    let question = |chance: &mut Chance| {
        let word = if chance.below(5) < 2 { chance.word(400) } else { String::new() };
        let cut = word.len() - if word.is_empty() { 0 } else { chance.below(3) as usize };
        let groups = 1 + chance.below(3);
        let styles = (0..groups).map(|_| choice(chance, known, 2)).collect();
        let words = if word.is_empty() { Vec::new() } else { vec![word[..cut].to_owned()] };
        Question { words, styles, ranges: BTreeMap::new(), sku: Some(sku(chance)) }
    };
    (0..n).map(|_| question(&mut chance)).collect()
}

/// Questions about styles alone: 35 in 100 without words, 30 with one, 20 with two, 15 with three, which stand in one
/// style; four in five of these with the last word cut short; none to four groups with one to three values each,
/// none to two ranges.
pub(crate) fn of_styles(n: usize, styles: &[Style], known: &Results) -> Vec<Question> {
    let mut chance = Chance(7);
    let question = |chance: &mut Chance| {
        let words = words(chance, styles);
        let (groups, ranges) = (chance.below(5), chance.below(3));
        let values = |chance: &mut Chance| 1 + chance.below(3);
        let styles = (0..groups)
            .map(|_| {
                let values = values(chance);
                choice(chance, known, values)
            })
            .collect();
        let ranges = (0..ranges).map(|_| range(chance)).collect();
        Question { words, styles, ranges, sku: None }
    };
    (0..n).map(|_| question(&mut chance)).collect()
}

/// Words of one style, the last of them whole once in five times and else its first one to five letters.
fn words(chance: &mut Chance, styles: &[Style]) -> Vec<String> {
    let many = match chance.below(100) {
        0..35 => return Vec::new(),
        35..65 => 1,
        65..85 => 2,
        _ => 3,
    };
    let style = &styles[chance.below(styles.len() as u64) as usize];
    let text = format!("{} {}", style.name, style.notes.as_deref().unwrap_or_default());
    let known: Vec<&str> = text.split(' ').filter(|word| word.len() > 1).collect();
    let mut words: Vec<String> = (0..many).map(|_| chance.of(&known).to_owned()).collect();
    if let Some(last) = words.last_mut().filter(|_| chance.below(5) > 0) {
        last.truncate(1 + chance.below(last.len() as u64 - 1) as usize);
    }
    words
}

/// So many values of one group.
fn choice(chance: &mut Chance, known: &Results, values: u64) -> (Group, Vec<String>) {
    let group = chance.of(&OF_STYLE);
    let facet = known.facets.group(group).expect("a group of styles");
    let all: Vec<&str> = facet.values.iter().map(|value| value.value).collect();
    let mut chosen: Vec<String> = (0..values).map(|_| chance.of(&all).to_owned()).collect();
    chosen.sort_unstable();
    chosen.dedup();
    (group, chosen)
}

/// A range over a third to two thirds of the numbers, one in three without an end.
fn range(chance: &mut Chance) -> (Group, (Option<i64>, Option<i64>)) {
    let group = chance.of(&WITH_NUMBERS);
    let (least, span) = match group {
        Group::Drop => (0, 120),
        Group::Stack => (180, 240),
        _ => (1_600, 1_890),
    };
    let from = least + chance.below(span / 2) as i64;
    let to = from + (span / 3 + chance.below(span / 3)) as i64;
    let ends = match chance.below(3) {
        0 => (Some(from), None),
        1 => (None, Some(to)),
        _ => (Some(from), Some(to)),
    };
    (group, ends)
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
    /// The narrowed groups of styles.
    pub(crate) fn narrowed(&self) -> BTreeSet<Group> {
        self.styles.keys().chain(self.ranges.keys()).copied().collect()
    }

    /// What of it narrows one group of styles.
    pub(crate) fn only(&self, group: Group) -> Self {
        let styles = self.styles.get(&group).map(|values| (group, values.clone())).into_iter().collect();
        let ranges = self.ranges.get(&group).map(|ends| (group, *ends)).into_iter().collect();
        Self { words: Vec::new(), styles, ranges, sku: None }
    }

    /// Its words alone.
    pub(crate) fn only_words(&self) -> Self {
        Self { words: self.words.clone(), styles: BTreeMap::new(), ranges: BTreeMap::new(), sku: None }
    }

    /// The question as the indexer understands it.
    pub(crate) fn search(&self) -> Search {
        let mut search =
            Search { words: self.words.join(" "), limit: Some(20), exactly: true, ..Search::default() };
        for (group, values) in &self.styles {
            search.choices.insert(*group, Choice { values: values.clone(), admitted: Vec::new() });
        }
        for (group, (from, to)) in &self.ranges {
            search.ranges.insert(*group, Range { from: *from, to: *to, keep_unknown: false });
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
            values.map(move |v| ((facet.group.key(), v.value.to_string()), i64::from(v.count)))
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
