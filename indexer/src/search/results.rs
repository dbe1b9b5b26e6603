//! The answer: hits in their order, with the SKUs that match.

use catalogue::rank::Ranker;
use catalogue::rank::{OrderKey, Score};

use super::asked::Warning;
use super::facets::{FacetGroup, RangeFacet};
use super::filter::Filter;
use super::pass::Found;
use crate::snapshot::{Group, Snapshot};

/// The answer to one search.
#[derive(Clone, Debug)]
pub struct Results {
    /// How many styles were found.
    pub total: u32,
    /// How many pairs of them match, numbers unknown counted 1.
    pub pairs: u64,
    /// The facets, each ignoring its own selection.
    pub facets: Vec<FacetGroup>,
    /// The histograms, each ignoring its own selection.
    pub ranges: Vec<RangeFacet>,
    /// The hits that were asked for, in their order.
    pub hits: Vec<Hit>,
    /// For each narrowed group, how many styles it alone hides.
    pub hidden: Vec<(Group, u32)>,
    /// What was asked otherwise than it is answered.
    pub warnings: Vec<Warning>,
}

/// One style that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// Its row in the snapshot that answered.
    pub row: u32,
    /// How it suits the runner, when one was given.
    pub score: Option<Score>,
    /// How well it holds the words; 0 without words.
    pub relevance: f32,
    /// The pairs that match.
    pub pairs: u32,
    /// The SKUs in stock that match, as places in [`Snapshot::skus`].
    pub skus: Vec<u32>,
}

/// How found styles are put in order.
pub(super) enum Order<'a> {
    /// By suitability, then pairs, then key.
    Suitability(&'a Ranker),
    /// By relevance, then key.
    Relevance,
    /// By maker, name and key.
    Reading,
}

impl Order<'_> {
    /// The part of the hits from `offset` on, at most `limit` of them, in this order.
    pub(super) fn part(
        &self,
        found: &[Found],
        (offset, limit): (usize, Option<usize>),
        snapshot: &Snapshot,
        filter: &Filter,
    ) -> Vec<Hit> {
        let row = |found: &Found| found.row;
        match self {
            Self::Suitability(ranker) => {
                let measures = &snapshot.columns.measures;
                let scored = found.iter().map(|f| (ranker.score(&measures[f.row as usize]), *f));
                let keyed = scored.map(|(s, f)| ((s.order_key(f.pairs), f.row), (Some(s), f)));
                best::<(OrderKey, u32), _>(keyed.collect(), offset, limit)
            }
            Self::Relevance => {
                let key = |f: &Found| (std::cmp::Reverse(Millionths::of(f.relevance)), row(f));
                best(found.iter().map(|f| (key(f), (None, *f))).collect(), offset, limit)
            }
            Self::Reading => {
                let places = &snapshot.columns.reading_place;
                let keyed = found.iter().map(|f| (places[f.row as usize], (None, *f)));
                best(keyed.collect(), offset, limit)
            }
        }
        .into_iter()
        .map(|(score, found)| hit(score, found, snapshot, filter))
        .collect()
    }
}

/// A relevance as a whole number, so that it can be sorted by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Millionths(i64);

impl Millionths {
    fn of(relevance: f32) -> Self {
        Self((f64::from(relevance) * 1e6) as i64)
    }
}

/// The part of `keyed` in order; only what is asked for is sorted.
fn best<K: Ord, T>(mut keyed: Vec<(K, T)>, offset: usize, limit: Option<usize>) -> Vec<T> {
    let end = limit.map_or(keyed.len(), |limit| keyed.len().min(offset + limit));
    if end < keyed.len() {
        keyed.select_nth_unstable_by(end, |a, b| a.0.cmp(&b.0));
        keyed.truncate(end);
    }
    keyed.sort_unstable_by(|a, b| a.0.cmp(&b.0));
    keyed.into_iter().skip(offset).map(|(_, item)| item).collect()
}

fn hit(score: Option<Score>, found: Found, snapshot: &Snapshot, filter: &Filter) -> Hit {
    let row = found.row as usize;
    let run = snapshot.stock.run(row).iter().zip(snapshot.stock.range(row));
    let matching = run.filter(|(sku, _)| sku.in_stock && filter.sku_fail(sku) == 0);
    let skus = matching.map(|(_, at)| at as u32).collect();
    Hit { row: found.row, score, relevance: found.relevance, pairs: found.pairs, skus }
}
