//! Everything the store holds at one sequence: what a snapshot is built from.

use catalogue::policy::HousePolicy;
use catalogue::size::SizeCharts;
use catalogue::stock::Sku;
use catalogue::style::Style;

use crate::words::Synonyms;

/// The number of the last change that is visible; 0 before the first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seq(pub i64);

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
