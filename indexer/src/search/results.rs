//! The answer: hits in their order, with the SKUs that match.

use std::cmp::Reverse;

use catalogue::rank::Ranker;
use catalogue::rank::{OrderKey, Score};
use catalogue::stock::Sku;

use super::asked::Warning;
use super::facets::{Facets, RangeFacet};
use super::filter::Filter;
use super::pass::Tally;
use crate::snapshot::styles::Styles;
use crate::snapshot::{Group, Snapshot};
use crate::words::{Held, Meant, Told};

/// The answer to one search.
#[derive(Clone, Debug)]
pub struct Results {
    /// How many styles were found.
    pub total: u32,
    /// How many pairs of them match, numbers unknown counted 1.
    pub pairs: u64,
    /// The facets, each ignoring its own selection.
    pub facets: Facets,
    /// The histograms, each ignoring its own selection.
    pub ranges: Vec<RangeFacet>,
    /// The hits that were asked for, in their order.
    pub hits: Vec<Hit>,
    /// For each narrowed group, how many styles it alone hides.
    pub hidden: Vec<(Group, u32)>,
    /// The same for the filters that stand whatever is chosen.
    pub hidden_within: Vec<(Group, u32)>,
    /// What was done to the words, and what to mark of them.
    pub told: Told,
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
    /// The SKUs in stock that match; [`Snapshot::in_stock`] reads them.
    pub skus: Stocked,
}

/// Which SKUs of a style are meant, all in stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stocked {
    /// All of which a pair is there.
    All,
    /// Some of them, as places in [`Snapshot::skus`].
    These(Vec<u32>),
}

/// How found styles are put in order.
pub(super) enum Order<'a> {
    /// By suitability, then pairs, then key.
    Suitability(&'a Ranker),
    /// By relevance, then key.
    Relevance(&'a Held),
    /// By maker, name and key.
    Reading,
}

/// A hit before it is written out.
#[derive(Clone, Copy)]
struct Placed {
    row: u32,
    score: Option<Score>,
    relevance: f32,
}

/// The part of the hits that is asked for: how many to leave out, and how many to give at most.
pub(super) type Window = (usize, Option<usize>);

impl Order<'_> {
    /// The hits in the window, in this order. `held` are the rows with the words and their relevance.
    pub(super) fn part(
        &self,
        tally: &Tally,
        held: Option<&Held>,
        window: Window,
        snapshot: &Snapshot,
        filter: &Filter,
    ) -> Vec<Hit> {
        let placed = match self {
            Self::Suitability(ranker) => {
                let measures = &snapshot.columns.measures;
                let hits = relevant(tally, held).zip(tally.pairs(&snapshot.stock));
                let keyed = hits.map(|((row, relevance), pairs)| {
                    let score = ranker.score(&measures[row as usize]);
                    let key: (OrderKey, u32) = (score.order_key(pairs), row);
                    (key, Placed { row, score: Some(score), relevance })
                });
                best(keyed, window)
            }
            Self::Relevance(held) => {
                let key = |row, relevance| (Reverse(Millionths::of(relevance)), row);
                let placed = |(row, relevance)| (key(row, relevance), Placed { row, score: None, relevance });
                let most = window.1.map_or(usize::MAX, |limit| window.0 + limit);
                best(held.leading(&tally.hits, most).into_iter().map(placed), window)
            }
            Self::Reading => in_reading_order(tally, window, &snapshot.columns),
        };
        placed.into_iter().map(|placed| hit(placed, snapshot, filter)).collect()
    }
}

/// Every hit with its relevance, in the order of rows.
fn relevant<'a>(tally: &'a Tally, held: Option<&'a Held>) -> impl Iterator<Item = (u32, f32)> + 'a {
    let mut scores = held.map(|held| held.scores(tally.hits.rows()));
    tally.hits.rows().map(move |row| {
        let own = scores.as_mut().and_then(Iterator::next);
        (row, own.map_or(0.0, |(_, relevance)| relevance))
    })
}

/// Many hits: the rows are walked in their order until the window is full. Few: these are sorted.
fn in_reading_order(tally: &Tally, window: Window, styles: &Styles) -> Vec<Placed> {
    let (offset, limit) = window;
    let (rows, hits) = (styles.reading.len(), tally.total as usize);
    let end = limit.map_or(hits, |limit| hits.min(offset + limit));
    let placed = |row| Placed { row, score: None, relevance: 0.0 };
    if rows * end <= hits * hits {
        let hits = styles.reading.iter().copied().filter(|row| tally.hits.holds(*row));
        return hits.take(end).skip(offset).map(placed).collect();
    }
    best(tally.hits.rows().map(|row| (styles.reading_place[row as usize], placed(row))), window)
}

/// A relevance as a whole number, so that it can be sorted by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Millionths(i64);

impl Millionths {
    fn of(relevance: f32) -> Self {
        Self((f64::from(relevance) * 1e6) as i64)
    }
}

/// The part of `keyed` in order; no more than twice what is asked for is ever kept.
fn best<K: Ord + Copy, T>(keyed: impl Iterator<Item = (K, T)>, (offset, limit): Window) -> Vec<T> {
    let end = limit.map_or(usize::MAX, |limit| offset.saturating_add(limit));
    let mut kept: Vec<(K, T)> = Vec::new();
    let mut worst: Option<K> = None;
    for item in keyed.filter(|_| end > 0) {
        if worst.is_some_and(|worst| item.0 > worst) {
            continue;
        }
        kept.push(item);
        if kept.len() >= end.saturating_mul(2) {
            let (_, last, _) = kept.select_nth_unstable_by_key(end - 1, |(key, _)| *key);
            worst = Some(last.0);
            kept.truncate(end);
        }
    }
    kept.sort_unstable_by_key(|(key, _)| *key);
    kept.into_iter().take(end).skip(offset).map(|(_, item)| item).collect()
}

fn hit(Placed { row, score, relevance }: Placed, snapshot: &Snapshot, filter: &Filter) -> Hit {
    let stock = &snapshot.stock;
    if filter.sku_active == 0 {
        return Hit { row, score, relevance, pairs: stock.pairs[row as usize], skus: Stocked::All };
    }
    let run = stock.run(row as usize);
    let mut skus = Vec::with_capacity(run.len());
    let mut pairs: u32 = 0;
    for (sku, at) in run.iter().zip(stock.range(row as usize)) {
        if filter.sku_fail(sku) == 0 {
            pairs = pairs.saturating_add(sku.pairs);
            if sku.in_stock() {
                skus.push(at as u32);
            }
        }
    }
    Hit { row, score, relevance, pairs, skus: Stocked::These(skus) }
}

impl Snapshot {
    /// Words that were found instead of those typed, as the catalogue spells them.
    pub fn spelt(&self, meant: &Meant) -> String {
        let card = meant.row.and_then(|row| self.card(row));
        let spelt = card.and_then(|card| {
            let style = card.style;
            let own = [Some(style.name.as_str()), style.number.as_deref(), Some(style.maker.as_str())];
            let colourways = card.skus.iter().map(|sku| Some(sku.colourway.as_str()));
            let notes = [style.notes.as_deref(), style.shop_note.as_deref()];
            let texts = own.into_iter().chain(colourways).chain(notes);
            texts.flatten().find_map(|text| Told::spelt_in(&meant.words, text))
        });
        spelt.unwrap_or_else(|| meant.words.clone())
    }

    /// The SKUs in stock behind a hit of this snapshot.
    pub fn in_stock<'s: 'h, 'h>(&'s self, hit: &'h Hit) -> impl Iterator<Item = &'s Sku> + use<'s, 'h> {
        let places = match &hit.skus {
            Stocked::All => self.stock.in_stock(hit.row as usize),
            Stocked::These(places) => places,
        };
        places.iter().filter_map(|at| self.skus().get(*at as usize))
    }
}
