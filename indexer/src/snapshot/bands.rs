//! Preset bands of measures and prices, and the bars of their histograms. Tenths and minor units throughout.

use super::vocabulary::Value;

/// The most bars a histogram has.
const MOST_BINS: i64 = 20;

/// Bands with nothing between them: the first ends below the first cut, the last begins at the last.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Bands {
    cuts: Vec<i64>,
    /// One value a band.
    pub(crate) values: Vec<Value>,
}

/// Bars of equal width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Bins {
    /// Where the first bar begins.
    pub(crate) from: i64,
    /// The width of a bar.
    pub(crate) step: i64,
    /// How many bars there are.
    pub(crate) count: usize,
    /// The least and the greatest number, where there is any.
    pub(crate) ends: Option<(i64, i64)>,
}

impl Bands {
    /// Drop: design's bands. A drop below 0 counts in the first, as it does in the aim.
    pub(crate) fn drop() -> Self {
        Self::preset(&[30, 60, 90], "mm", ["0-2", "3-5", "6-8", "9-"])
    }

    /// Heel stack; 40 mm still belongs to the fourth band.
    pub(crate) fn heel_stack() -> Self {
        Self::preset(&[200, 280, 360, 401], "mm", ["-19", "20-27", "28-35", "36-40", "41-"])
    }

    /// Mass of one shoe.
    pub(crate) fn mass() -> Self {
        Self::preset(&[2000, 2500, 3000], "g", ["-199", "200-249", "250-299", "300-"])
    }

    /// Four price bands by the quartiles of `prices` (minor units, in any order), rounded to tens of the currency.
    /// Quartiles that round alike make fewer bands.
    pub(crate) fn prices(mut prices: Vec<i64>, decimals: u8, code: &str) -> Self {
        prices.sort_unstable();
        let one = 10_i64.pow(u32::from(decimals.min(6)));
        let quartile = |quarter: usize| prices.get(prices.len() * quarter / 4);
        let tens = |price: &i64| (price + 5 * one).div_euclid(10 * one) * 10;
        let mut cuts: Vec<i64> = (1..4).filter_map(quartile).map(tens).filter(|cut| *cut > 0).collect();
        cuts.dedup();
        let values = price_values(&cuts, code);
        Self { cuts: cuts.into_iter().map(|cut| cut * one).collect(), values }
    }

    /// The place of the band that holds `number`.
    pub(crate) fn of(&self, number: i64) -> usize {
        self.cuts.partition_point(|cut| *cut <= number)
    }

    fn preset<const N: usize>(cuts: &[i64], unit: &str, values: [&str; N]) -> Self {
        let labelled = |value: &str| Value::new(value, &label(value, unit));
        Self { cuts: cuts.to_vec(), values: values.map(labelled).to_vec() }
    }
}

impl Bins {
    /// At most twenty bars over `numbers`, as wide as 1, 2, 5, 10 … times `base`.
    pub(crate) fn over(numbers: impl Iterator<Item = i64>, base: i64) -> Self {
        let ends = numbers.fold(None, |ends: Option<(i64, i64)>, n| {
            Some(ends.map_or((n, n), |(least, greatest)| (least.min(n), greatest.max(n))))
        });
        let Some((least, greatest)) = ends else { return Self { from: 0, step: base, count: 0, ends } };
        let mut steps = (0..16).flat_map(|tens| [1, 2, 5].map(|n| base.saturating_mul(n * 10_i64.pow(tens))));
        let bars = |step: &i64| greatest.div_euclid(*step) - least.div_euclid(*step) + 1;
        let step = steps.find(|step| bars(step) <= MOST_BINS).unwrap_or(i64::MAX);
        Self { from: least.div_euclid(step) * step, step, count: bars(&step) as usize, ends }
    }

    /// The first and the last whole number of each bar.
    pub(crate) fn bars(&self) -> impl Iterator<Item = (i64, i64)> + '_ {
        let from = |bar: i64| self.from.saturating_add(bar.saturating_mul(self.step));
        (0..self.count as i64).map(move |bar| (from(bar), from(bar + 1).saturating_sub(1)))
    }

    /// The bar of a number between the ends.
    pub(crate) fn of(&self, number: i64) -> usize {
        ((number - self.from) / self.step) as usize
    }
}

/// `-199` is *under 200*, `9-` is *9 and more*, `3-5` stands as it is.
fn label(value: &str, unit: &str) -> String {
    match value.split_once('-') {
        Some(("", below)) => format!("under {} {unit}", below.parse::<i64>().unwrap_or(0) + 1),
        // The one band that begins between two whole numbers: 40.1 mm is over 40.
        Some(("41", "")) => format!("over 40 {unit}"),
        Some((from, "")) => format!("{from} {unit} and more"),
        _ => format!("{value} {unit}"),
    }
}

fn price_values(cuts: &[i64], code: &str) -> Vec<Value> {
    let (Some(first), Some(last)) = (cuts.first(), cuts.last()) else {
        return vec![Value::new("0-", "any price")];
    };
    let below = Value::new(&format!("-{first}"), &format!("under {first} {code}"));
    let between = cuts
        .windows(2)
        .map(|w| Value::new(&format!("{}-{}", w[0], w[1]), &format!("{} to under {} {code}", w[0], w[1])));
    let above = Value::new(&format!("{last}-"), &format!("{last} {code} and more"));
    [below].into_iter().chain(between).chain([above]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(bands: &Bands) -> Vec<&str> {
        bands.values.iter().map(|value| &*value.label).collect()
    }

    #[test]
    fn the_preset_bands_are_those_of_the_design() {
        assert_eq!(labels(&Bands::drop()), ["0-2 mm", "3-5 mm", "6-8 mm", "9 mm and more"]);
        let stacks = ["under 20 mm", "20-27 mm", "28-35 mm", "36-40 mm", "over 40 mm"];
        assert_eq!(labels(&Bands::heel_stack()), stacks);
        assert_eq!(labels(&Bands::mass()), ["under 200 g", "200-249 g", "250-299 g", "300 g and more"]);
        let stack = |tenths| Bands::heel_stack().of(tenths);
        assert_eq!([199, 200, 279, 280, 400, 401].map(stack), [0, 1, 1, 2, 3, 4]);
    }

    #[test]
    fn prices_are_cut_at_their_own_quartiles_rounded_to_tens() {
        let bands = Bands::prices(vec![9_900, 12_000, 13_100, 16_000], 2, "EUR");
        let expected = ["under 120 EUR", "120 to under 130 EUR", "130 to under 160 EUR", "160 EUR and more"];
        assert_eq!(labels(&bands), expected);
        assert_eq!(labels(&Bands::prices(vec![], 2, "EUR")), ["any price"]);
        assert_eq!(labels(&Bands::prices(vec![10_000; 9], 2, "EUR")).len(), 2);
    }

    #[test]
    fn a_histogram_has_at_most_twenty_bars_and_holds_both_ends() {
        let bins = Bins::over([-5, 127].into_iter(), 10);
        assert_eq!((bins.from, bins.step, bins.count), (-10, 10, 14));
        assert_eq!((bins.of(-5), bins.of(127)), (0, 13));
        let wide = Bins::over([0, i64::from(u32::MAX)].into_iter(), 100);
        assert!(wide.count <= 20 && wide.of(i64::from(u32::MAX)) < wide.count);
    }
}
