//! The stock as columns: the SKUs of a style side by side, feet worked out once.

use std::collections::BTreeMap;
use std::sync::Arc;

use catalogue::policy::Currency;
use catalogue::size::{FootLength, SizeCharts, SizeLabel, SizeSystem, half_step_of_run};
use catalogue::stock::{Quantity, Sku};
use catalogue::style::{Audience, Style};

use super::bands::{Bands, Bins};
use super::bits::{Bits, Sets};
use super::group::Group;
use super::sku_sets::SkuSets;
use super::vocabulary::{Column, Level, Lists, Value};

/// What the search pass reads of one SKU.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Record {
    /// The code of each group.
    pub(crate) codes: [u32; Group::OF_SKU],
    /// Pairs that count in an order.
    pub(crate) pairs: u32,
}

impl Record {
    /// Whether at least one pair is there: a number unknown counts one.
    pub(crate) fn in_stock(&self) -> bool {
        self.pairs > 0
    }
}

/// The SKUs in runs, one run a style.
#[derive(Clone, Debug)]
pub(crate) struct Stock {
    /// One entry a SKU.
    pub(crate) records: Vec<Record>,
    /// What the codes stand for.
    pub(crate) level: Arc<Level>,
    /// What each size code stands for.
    pub(crate) sizes: Vec<Size>,
    /// The pairs of each style.
    pub(crate) pairs: Vec<u32>,
    /// Where the run of each style ends.
    pub(crate) ends: Arc<[u32]>,
    /// The places of the SKUs of each style of which at least one pair is there.
    pub(super) on_hand: Lists,
    /// The slots in which each style counts when nothing narrows its SKUs.
    pub(crate) slots: Lists,
    /// The same the other way round: the styles of each slot, unless there are very many slots.
    pub(crate) sets: Option<Sets>,
    /// The pairs of each style in binary: the styles whose pairs have the bit 1, 2, 4 and so on.
    pub(super) binary_pairs: Sets,
    /// The SKUs as bits, unless there are very many codes or slots.
    pub(crate) sku_sets: Option<SkuSets>,
    /// The bands of the prices in stock.
    pub(super) price_bands: Bands,
    /// How many SKUs of each label are in stock: those are the values of the size group.
    pub(super) stocked_labels: BTreeMap<(SizeSystem, u16), u32>,
}

/// What the size group knows of a SKU. Sizes are those in stock: a pair that is not there fits nobody.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Size {
    /// No pair is there.
    NotInStock,
    /// A label without a foot: its system, or for some the audience, is unknown.
    NoFoot,
    /// The feet it is made for.
    Fits(Fits),
}

/// The foot of a label and how far another may be from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Fits {
    foot: FootLength,
    /// Half the step of its own run, 1/360 mm.
    half_step: i32,
    /// Whose label it is.
    pub(crate) audience: Option<Audience>,
}

impl Fits {
    /// Whether a working size made for `foot` is met; half a step is still near enough.
    pub(crate) fn meets(&self, foot: FootLength) -> bool {
        let distance = i64::from(self.foot.in_360ths()) - i64::from(foot.in_360ths());
        distance.abs() <= i64::from(self.half_step)
    }
}

impl Stock {
    /// The columns of `skus`, which are in the order of their styles.
    pub(crate) fn of(styles: &[Style], skus: &[Sku], charts: &SizeCharts, currency: &Currency) -> Self {
        let ends = ends(styles, skus);
        let said = sizes(styles, skus, &ends, charts);
        let mut stocked_labels = BTreeMap::new();
        for label in skus.iter().filter(|sku| in_stock(sku)).filter_map(label) {
            *stocked_labels.entry(label).or_default() += 1;
        }
        let (size, sizes) = size_column(&said, stocked_labels.keys());
        let price_bands = bands_of_prices(skus.iter(), currency);
        let prices = prices(skus, &price_bands, currency);
        let (mut level, codes) = Level::of([size, widths(skus), states(skus), prices]);
        let supplied = runs(&ends).zip(styles).filter(|(_, style)| !style.retired);
        level.give(supplied.flat_map(|(run, _)| &codes[run]).map(<[u32; Group::OF_SKU]>::as_slice));
        let level = Arc::new(level);
        let records: Vec<Record> =
            codes.into_iter().zip(skus).map(|(codes, sku)| record(codes, sku)).collect();
        let pairs = pairs_of_runs(&records, &ends);
        let slots = Lists::of(runs(&ends).map(|run| slots_of_run(&level, &records[run])));
        let in_stock = |run: std::ops::Range<usize>| run.filter(|at| records[*at].in_stock()).collect();
        let on_hand = Lists::of(runs(&ends).map(in_stock));
        let rows = styles.len();
        let members = (0..rows).flat_map(|row| slots.get(row).iter().map(move |slot| (row, *slot as usize)));
        let sets = Sets::of_slots(rows, level.slots, members);
        let binary_pairs = binary(&pairs);
        let sku_sets = SkuSets::of(&records, &level, &ends);
        let ends = ends.into();
        Self {
            records,
            level,
            sizes,
            pairs,
            ends,
            on_hand,
            slots,
            sets,
            binary_pairs,
            sku_sets,
            price_bands,
            stocked_labels,
        }
    }

    /// The pairs of these styles.
    pub(crate) fn pairs_of(&self, rows: &Bits) -> u64 {
        let mut counts = [0; u32::BITS as usize];
        self.binary_pairs.count(rows, &mut counts);
        counts.iter().zip(0..).map(|(count, bit)| u64::from(*count) << bit).sum()
    }

    /// The last SKU of each of these rows that has any.
    pub(crate) fn ends_of(&self, rows: &Bits) -> Bits {
        let last = rows.rows().map(|row| self.range(row as usize)).filter(|run| !run.is_empty());
        Bits::of(self.records.len(), last.map(|run| run.end as u32 - 1))
    }

    /// The rows whose last SKUs these are, in order.
    pub(crate) fn rows_of_ends(&self, places: impl Iterator<Item = u32>) -> impl Iterator<Item = u32> {
        let mut row = 0;
        places.map(move |place| {
            while self.ends[row] <= place {
                row += 1;
            }
            row as u32
        })
    }

    /// The SKUs of a row.
    pub(crate) fn run(&self, row: usize) -> &[Record] {
        &self.records[self.range(row)]
    }

    /// The places of the SKUs of a row.
    pub(crate) fn range(&self, row: usize) -> std::ops::Range<usize> {
        let start = if row == 0 { 0 } else { self.ends[row - 1] };
        start as usize..self.ends[row] as usize
    }

    /// The places of the SKUs of a row of which at least one pair is there.
    pub(crate) fn in_stock(&self, row: usize) -> &[u32] {
        self.on_hand.get(row)
    }
}

fn runs(ends: &[u32]) -> impl Iterator<Item = std::ops::Range<usize>> + '_ {
    let starts = [0].iter().chain(ends);
    starts.zip(ends).map(|(start, end)| *start as usize..*end as usize)
}

pub(super) fn slots_of_run(level: &Level, run: &[Record]) -> Vec<usize> {
    let codes = run.iter().flat_map(|sku| sku.codes.into_iter().enumerate());
    let mut slots: Vec<_> = codes.flat_map(|(place, code)| level.slots_of(place, code)).collect();
    slots.sort_unstable();
    slots.dedup();
    slots
}

fn pairs_of_runs(records: &[Record], ends: &[u32]) -> Vec<u32> {
    let pairs = |run: std::ops::Range<usize>| {
        records[run].iter().fold(0, |pairs: u32, sku| pairs.saturating_add(sku.pairs))
    };
    runs(ends).map(pairs).collect()
}

fn binary(numbers: &[u32]) -> Sets {
    let bits = numbers.iter().map(|number| u32::BITS - number.leading_zeros()).max().unwrap_or(0) as usize;
    let members = numbers
        .iter()
        .enumerate()
        .flat_map(|(row, number)| ones(*number).into_iter().map(move |bit| (row, bit)));
    Sets::of(numbers.len(), bits, members)
}

/// The bits of a number that are 1.
pub(super) fn ones(number: u32) -> Vec<usize> {
    (0..u32::BITS as usize).filter(|bit| number >> bit & 1 == 1).collect()
}

pub(super) fn record(codes: [u32; Group::OF_SKU], sku: &Sku) -> Record {
    Record { codes, pairs: sku.quantity.map_or(0, Quantity::counted) }
}

fn in_stock(sku: &Sku) -> bool {
    sku.quantity.is_some_and(Quantity::in_stock)
}

/// Where the run of each style ends; both are in the order of style keys.
fn ends(styles: &[Style], skus: &[Sku]) -> Vec<u32> {
    styles.iter().map(|style| skus.partition_point(|sku| sku.style <= style.key) as u32).collect()
}

/// The size of every SKU. A run is the labels of one style in one system, those not in stock too.
fn sizes(styles: &[Style], skus: &[Sku], ends: &[u32], charts: &SizeCharts) -> Vec<Size> {
    let mut sizes = vec![Size::NotInStock; skus.len()];
    let mut start = 0;
    for (style, end) in styles.iter().zip(ends.iter().map(|end| *end as usize)) {
        let run = &skus[start..end];
        for ((sku, fits), size) in run.iter().zip(fits_of_run(style, run, charts)).zip(&mut sizes[start..end])
        {
            *size = size_of(sku, fits);
        }
        start = end;
    }
    sizes
}

/// What the size group knows of a SKU that is made for these feet.
pub(super) fn size_of(sku: &Sku, fits: Option<Fits>) -> Size {
    match fits {
        _ if !in_stock(sku) => Size::NotInStock,
        Some(fits) => Size::Fits(fits),
        None => Size::NoFoot,
    }
}

/// What each SKU of one style is made for, in stock or not; `None` for a label without a foot.
pub(crate) fn fits_of_run(style: &Style, run: &[Sku], charts: &SizeCharts) -> Vec<Option<Fits>> {
    let maker = style.key.maker();
    let foot = |sku: &Sku| charts.foot(&maker, style.audience, &sku.label).map(|foot| foot.length);
    let feet: Vec<_> = run.iter().map(|sku| (sku.label.system(), foot(sku))).collect();
    let half_steps = half_steps(&feet);
    let fits = |(system, foot): &(Option<SizeSystem>, Option<FootLength>)| {
        let half_step = half_steps.iter().find(|(s, _)| Some(*s) == *system).map(|(_, half)| *half)?;
        Some(Fits { foot: (*foot)?, half_step, audience: style.audience })
    };
    feet.iter().map(fits).collect()
}

fn half_steps(feet: &[(Option<SizeSystem>, Option<FootLength>)]) -> Vec<(SizeSystem, i32)> {
    let of = |system: SizeSystem| -> Vec<FootLength> {
        feet.iter().filter(|(s, _)| *s == Some(system)).filter_map(|(_, foot)| *foot).collect()
    };
    let runs = SizeSystem::ALL.iter().map(|system| (*system, of(*system)));
    runs.filter(|(_, feet)| !feet.is_empty())
        .map(|(system, feet)| (system, half_step_of_run(system, &feet)))
        .collect()
}

/// Sizes by label: a value counts every SKU that the label, read for the SKU's own audience, would find.
fn size_column<'l>(
    said: &[Size],
    stocked: impl Iterator<Item = &'l (SizeSystem, u16)>,
) -> (Column, Vec<Size>) {
    let labels: Vec<SizeLabel> =
        stocked.map(|(system, twelfths)| SizeLabel::of_twelfths(*system, *twelfths)).collect();
    let values = labels.iter().map(|label| Value::plain(&label.to_string())).chain([Value::not_given()]);
    let slots = |size: &Size| match size {
        Size::NotInStock => vec![],
        Size::NoFoot => vec![labels.len()],
        Size::Fits(fits) => {
            let meets = |label: &SizeLabel| label.foot(fits.audience).is_some_and(|foot| fits.meets(foot));
            (0..labels.len()).filter(|at| meets(&labels[*at])).collect()
        }
    };
    Column::of(said, values.collect(), slots)
}

fn widths(skus: &[Sku]) -> Column {
    let said: Vec<Option<&str>> = skus.iter().map(|sku| sku.width.as_deref()).collect();
    let mut printed: Vec<&str> = said.iter().flatten().copied().collect();
    printed.sort_unstable();
    printed.dedup();
    let values = printed.iter().map(|width| Value::plain(width)).chain([Value::not_given()]).collect();
    let place = |width: &str| printed.binary_search(&width).unwrap_or(printed.len());
    Column::of(&said, values, |width| vec![width.map_or(printed.len(), place)]).0
}

fn states(skus: &[Sku]) -> Column {
    let said: Vec<usize> = skus.iter().map(state).collect();
    let values = vec![Value::plain("yes"), Value::plain("no"), Value::not_given()];
    Column::of(&said, values, |state| vec![*state]).0
}

/// In stock, none there, or nobody has said: the slot of it.
pub(super) fn state(sku: &Sku) -> usize {
    sku.quantity.map_or(2, |quantity| usize::from(!quantity.in_stock()))
}

pub(super) fn label(sku: &Sku) -> Option<(SizeSystem, u16)> {
    Some((sku.label.system()?, sku.label.twelfths()))
}

fn price(sku: &Sku) -> Option<i64> {
    sku.price.map(|price| i64::from(price.0))
}

/// Bands of prices by their quartiles, which are those of what is in stock.
fn bands_of_prices<'s>(skus: impl Iterator<Item = &'s Sku>, currency: &Currency) -> Bands {
    let stocked = skus.filter(|sku| in_stock(sku)).filter_map(price).collect();
    Bands::prices(stocked, currency.decimals, currency.code)
}

fn prices(skus: &[Sku], bands: &Bands, currency: &Currency) -> Column {
    let said: Vec<Option<i64>> = skus.iter().map(price).collect();
    let base = 10_i64.pow(u32::from(currency.decimals.min(6)));
    let bins = Bins::over(said.iter().flatten().copied(), base);
    Column::of_numbers(&said, bands, bins)
}
