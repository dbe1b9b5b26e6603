//! The stock with other pairs in some runs: what is kept of a row is worked out anew for these rows alone.

use catalogue::policy::Currency;
use catalogue::size::SizeCharts;
use catalogue::stock::Sku;
use catalogue::style::Style;

use super::bands::Bands;
use super::group::Group;
use super::stock::{Fits, Record, Stock, fits_of_run, label, ones, record, size_of, slots_of_run, state};

/// A row with its style and its SKUs as they are now.
pub(super) type NewRun<'a> = (usize, &'a Style, &'a [Sku]);

impl Stock {
    /// The same with other pairs in some runs; `None` where the codes or their values would be others.
    pub(crate) fn with_runs(
        &self,
        runs: &[NewRun<'_>],
        charts: &SizeCharts,
        currency: &Currency,
        supplied: impl Fn(usize) -> bool,
    ) -> Option<Self> {
        let mut next = self.clone();
        let mut says_other = false;
        for (row, style, run) in runs {
            let fits = fits_of_run(style, run, charts);
            for ((at, sku), fits) in self.range(*row).zip(*run).zip(fits) {
                let record = self.record_of(&self.records[at], sku, fits)?;
                let before = self.records[at];
                says_other |= record.codes != before.codes;
                if record.in_stock() != before.in_stock() {
                    next.count_label(sku, record.in_stock())?;
                }
                if let Some(sets) = &mut next.sku_sets {
                    sets.exchange(at, &before, &record, &self.level)?;
                }
                next.records[at] = record;
            }
        }
        if says_other && !next.has_the_values_of(self, currency, supplied) {
            return None;
        }
        next.take_rows(runs)?;
        Some(next)
    }

    /// Counts a SKU that comes or goes; `None` where its label has not been in stock, or no longer is.
    fn count_label(&mut self, sku: &Sku, comes: bool) -> Option<()> {
        let Some(label) = label(sku) else { return Some(()) };
        let count = self.stocked_labels.get_mut(&label)?;
        *count = if comes { *count + 1 } else { *count - 1 };
        (*count > 0).then_some(())
    }

    /// A SKU as a record with the codes that there are; `None` when one is missing.
    fn record_of(&self, before: &Record, sku: &Sku, fits: Option<Fits>) -> Option<Record> {
        let [sizes, _, states, _] = &self.level.vocabularies[..] else { return None };
        let size = self.sizes.binary_search(&size_of(sku, fits)).ok()?;
        let state = (0..states.len()).find(|code| states.slots(*code) == [state(sku) as u32])?;
        let [_, width, _, price] = before.codes;
        let codes = [(sizes.first_code + size) as u32, width, (states.first_code + state) as u32, price];
        Some(record(codes, sku))
    }

    /// Whether the values of the groups are those of the stock before: the same are given, by the same labels in stock,
    /// and prices fall into the same bands.
    fn has_the_values_of(
        &self,
        before: &Self,
        currency: &Currency,
        supplied: impl Fn(usize) -> bool,
    ) -> bool {
        let rows = (0..self.ends.len()).filter(|row| supplied(*row));
        let codes = rows.flat_map(|row| self.run(row)).map(|record| record.codes.as_slice());
        let prices = &self.level.vocabularies[Group::Price.place()];
        let price =
            |record: &Record| prices.numbers[record.codes[Group::Price.place()] as usize - prices.first_code];
        let stocked = self.records.iter().filter(|record| record.in_stock()).filter_map(price).collect();
        let bands = Bands::prices(stocked, currency.decimals, currency.code);
        before.level.gives_the_same(codes) && bands == before.price_bands
    }

    /// Works out anew what is kept of each row, for those that changed.
    fn take_rows(&mut self, runs: &[NewRun<'_>]) -> Option<()> {
        let rows = || runs.iter().map(|(row, ..)| *row);
        let (mut on_hand, mut slots) = (Vec::new(), Vec::new());
        for row in rows() {
            let own = self.range(row);
            let pairs =
                self.records[own.clone()].iter().fold(0, |pairs: u32, sku| pairs.saturating_add(sku.pairs));
            self.binary_pairs.exchange(row, &ones(self.pairs[row]), &ones(pairs))?;
            self.pairs[row] = pairs;
            on_hand.push((
                row,
                own.clone().filter(|at| self.records[*at].in_stock()).map(|at| at as u32).collect(),
            ));
            let now = slots_of_run(&self.level, &self.records[own]);
            if let Some(sets) = &mut self.sets {
                let before: Vec<usize> = self.slots.get(row).iter().map(|slot| *slot as usize).collect();
                sets.exchange(row, &before, &now)?;
            }
            slots.push((row, now.into_iter().map(|slot| slot as u32).collect()));
        }
        self.on_hand.exchange(on_hand);
        self.slots.exchange(slots);
        Some(())
    }
}
