//! The reply of `/shoes.json` and `search --json`.

use indexer::phrases::Phrase;
use indexer::search::{FacetGroup, FacetValue, Hit, Results};
use indexer::snapshot::Snapshot;
use indexer::words::{How, ReadAs, Told};
use serde::Serialize;
use utoipa::ToSchema;

use crate::request::shoes::{PAGE, ShoesQuery};
use crate::request::shoes_meant::EXACT;

/// What was found; texts of the catalogue are read where they stand.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ShoesReply<'c> {
    total: u32,
    pairs: u64,
    facets: Vec<FacetReply<'c>>,
    ranges: Vec<RangeReply>,
    results: Vec<ShoeReply<'c>>,
    /// Words that became filters; what was typed is `said`.
    understood: Vec<UnderstoodReply>,
    /// What else was done to the words; null when they were found as typed.
    corrected: Option<CorrectedReply>,
    next: Option<String>,
    warnings: Vec<String>,
}

/// Words that became a filter of a group.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct UnderstoodReply {
    typed: String,
    filter: &'static str,
}

/// Words that were not found as typed, or that mean more in this shop.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct CorrectedReply {
    read: Vec<ReadReply>,
    left_out: Vec<String>,
    all_but_one_of: Vec<String>,
    exactly: String,
}

/// What was found for some words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ReadReply {
    typed: String,
    found: Vec<String>,
    how: &'static str,
}

/// One group of values.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FacetReply<'c> {
    key: &'static str,
    label: &'static str,
    values: Vec<ValueReply<'c>>,
}

/// One value, with the address that toggles it.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ValueReply<'c> {
    value: &'c str,
    label: &'c str,
    count: u32,
    selected: bool,
    toggle: String,
}

/// One histogram, in the unit it names.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RangeReply {
    key: &'static str,
    unit: &'static str,
    min: Option<f64>,
    max: Option<f64>,
    unknown: u32,
    bins: Vec<BinReply>,
}

/// One bar.
#[derive(Clone, Copy, Debug, Serialize, ToSchema)]
pub struct BinReply {
    from: f64,
    to: f64,
    count: u32,
}

/// One style.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct ShoeReply<'c> {
    style: &'c str,
    maker: &'c str,
    name: &'c str,
    heel_stack_mm: Option<f64>,
    forefoot_stack_mm: Option<f64>,
    drop_mm: Option<f64>,
    mass_g: Option<f64>,
    pairs: u32,
}

const JSON: &str = "/shoes.json";

impl<'c> ShoesReply<'c> {
    /// The reply of a search.
    pub fn of(asked: &ShoesQuery, results: &'c Results, snapshot: &'c Snapshot) -> Self {
        let seen = asked.page() * PAGE;
        Self {
            total: results.total,
            pairs: results.pairs,
            facets: facets(asked, results),
            ranges: ranges(results),
            results: results.hits.iter().filter_map(|hit| ShoeReply::of(hit, snapshot)).collect(),
            understood: asked.phrases_in_force(snapshot).into_iter().map(understood).collect(),
            corrected: corrected(asked, &results.told, snapshot),
            next: (seen < results.total as usize).then(|| asked.on_page(asked.page() + 1).href(JSON)),
            warnings: results.warnings.iter().map(ToString::to_string).collect(),
        }
    }
}

fn understood(phrase: Phrase) -> UnderstoodReply {
    UnderstoodReply { filter: phrase.group().key(), typed: phrase.typed }
}

fn corrected(asked: &ShoesQuery, told: &Told, snapshot: &Snapshot) -> Option<CorrectedReply> {
    let read = |read: &ReadAs| ReadReply {
        typed: read.typed.clone(),
        found: read.found.iter().map(|meant| snapshot.spelt(meant)).collect(),
        how: match read.how {
            How::Typed => "typed",
            How::Synonym => "synonym",
            How::Pieced => "pieced",
            How::Corrected { .. } => "corrected",
        },
    };
    (!told.is_plain()).then(|| CorrectedReply {
        read: told.read.iter().map(read).collect(),
        left_out: told.left_out.clone(),
        all_but_one_of: told.all_but_one_of.clone(),
        exactly: asked.with(EXACT, "yes").without("page").href(JSON),
    })
}

fn facets<'c>(asked: &ShoesQuery, results: &'c Results) -> Vec<FacetReply<'c>> {
    results.facets.iter().map(|group| facet(asked, group)).collect()
}

fn facet<'c>(asked: &ShoesQuery, group: FacetGroup<'c>) -> FacetReply<'c> {
    let key = group.group.key();
    let toggles = asked.toggles(JSON, key);
    let value = |value: FacetValue<'c>| ValueReply {
        value: value.value,
        label: value.label,
        count: value.count,
        selected: value.selected,
        toggle: toggles.href(value.value),
    };
    FacetReply { key, label: group.group.label(), values: group.values.iter().map(value).collect() }
}

fn ranges(results: &Results) -> Vec<RangeReply> {
    let of = |range: &indexer::search::RangeFacet| {
        let number = |value: i64| value as f64 / 10_f64.powi(range.decimals.into());
        RangeReply {
            key: range.group.key(),
            unit: range.unit,
            min: range.min.map(number),
            max: range.max.map(number),
            unknown: range.unknown,
            bins: range
                .bins
                .iter()
                .map(|b| BinReply { from: number(b.from), to: number(b.to), count: b.count })
                .collect(),
        }
    };
    results.ranges.iter().map(of).collect()
}

impl<'c> ShoeReply<'c> {
    fn of(hit: &Hit, snapshot: &'c Snapshot) -> Option<Self> {
        let card = snapshot.card(hit.row)?;
        let tenths = |value: Option<i32>| value.map(|tenths| f64::from(tenths) / 10.0);
        let measures = &card.measures;
        Some(Self {
            style: card.style.key.as_str(),
            maker: &card.style.maker,
            name: &card.style.name,
            heel_stack_mm: tenths(measures.heel_stack().map(|mm| mm.in_tenths())),
            forefoot_stack_mm: tenths(measures.forefoot_stack().map(|mm| mm.in_tenths())),
            drop_mm: tenths(measures.drop().map(|mm| mm.in_tenths())),
            mass_g: tenths(measures.mass().map(|g| g.in_tenths())),
            pairs: hit.pairs,
        })
    }
}
