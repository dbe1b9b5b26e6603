//! Values far from those around them: a size from its run, a shoe from others of its purpose. By median and median
//! absolute deviation, which a few wild values do not move.

use catalogue::stock::{Price, Quantity};
use catalogue::style::Purpose;
use catalogue::units::Tenths;

use super::{Doubt, Shoe};

/// Deviations beyond which a price is far from its run.
const PRICE_TIMES: i64 = 5;
/// Prices of a run below which nothing can be said.
const PRICES: usize = 4;
/// Pairs of one size that no shop of this kind has.
const ABSURD: u32 = 100;
/// Deviations beyond which a measure is far from its peers.
const PEER_TIMES: i64 = 4;
/// Peers below which nothing can be said.
const PEERS: usize = 8;

/// What counts as far, for the page. All of it is our choice; no standard gives it.
pub const OUTLIERS_IN_WORDS: &str = "House view: a price is far from its run when it is more than 5 median absolute \
    deviations and more than a fifth away from the median of at least 4; a drop or a weight is far from at least 8 \
    shoes of the same purpose beyond 4 deviations and 4 mm or 60 g; 100 pairs of one size are too many.";

/// A measure that is held against peers.
struct Held {
    code: &'static str,
    label: &'static str,
    unit: &'static str,
    /// Nearer than this it is never far, in tenths.
    least: i64,
    of: fn(&Shoe<'_>) -> Option<i64>,
}

static HELD: [Held; 2] = [
    Held {
        code: "drop-far-from-peers",
        label: "Drop",
        unit: "mm",
        least: 40,
        of: |shoe| shoe.measures.drop().map(|drop| i64::from(drop.in_tenths())),
    },
    Held {
        code: "mass-far-from-peers",
        label: "Weight",
        unit: "g",
        least: 600,
        of: |shoe| shoe.measures.mass().map(|mass| i64::from(mass.in_tenths())),
    },
];

/// The outliers of shoes still supplied: sizes in their runs, then shoes among their peers.
pub fn outliers(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    let supplied: Vec<_> = shoes.iter().filter(|shoe| !shoe.style.retired).copied().collect();
    let in_runs = supplied.iter().flat_map(|shoe| prices(shoe).into_iter().chain(quantities(shoe)));
    let mut found: Vec<_> = in_runs.collect();
    for held in &HELD {
        let mut among: Vec<_> =
            Purpose::ALL.iter().flat_map(|purpose| peers(&supplied, *purpose, held)).collect();
        // A shoe of two purposes is named once, for the first of them.
        among.sort_by(|a, b| a.styles.cmp(&b.styles));
        among.dedup_by(|a, b| a.styles == b.styles);
        found.extend(among);
    }
    found
}

/// The middle of some values, and how far one of them may be from it.
struct Spread {
    median: i64,
    deviation: i64,
}

impl Spread {
    fn of(values: &[i64]) -> Option<Self> {
        let median = median(values.to_vec())?;
        let deviation = self::median(values.iter().map(|value| (value - median).abs()).collect())?;
        Some(Self { median, deviation })
    }

    fn is_far(&self, value: i64, times: i64, least: i64) -> bool {
        (value - self.median).abs() > (times * self.deviation).max(least)
    }
}

/// The middle value, or the mean of the two in the middle.
fn median(mut values: Vec<i64>) -> Option<i64> {
    values.sort_unstable();
    let upper = *values.get(values.len() / 2)?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    values.get(values.len() / 2 - 1).map(|lower| i64::midpoint(*lower, upper))
}

fn prices(shoe: &Shoe<'_>) -> Vec<Doubt> {
    let priced: Vec<_> = shoe.skus.iter().filter_map(|sku| Some((sku, i64::from(sku.price?.0)))).collect();
    let values: Vec<_> = priced.iter().map(|(_, price)| *price).collect();
    let Some(spread) = Spread::of(&values).filter(|_| values.len() >= PRICES) else { return Vec::new() };
    let far = priced.iter().filter(|(_, price)| spread.is_far(*price, PRICE_TIMES, spread.median / 5));
    far.map(|(sku, price)| Doubt {
        code: "price-far-from-run",
        styles: vec![shoe.style.key.clone()],
        say: format!(
            "{} costs {}, the {} sizes of this shoe cost {} in the middle.",
            size(sku),
            amount(Price(*price as u32)),
            values.len(),
            amount(Price(spread.median as u32))
        ),
    })
    .collect()
}

fn quantities(shoe: &Shoe<'_>) -> Vec<Doubt> {
    let absurd = |quantity| match quantity {
        Some(Quantity::Pairs(pairs) | Quantity::AtLeast(pairs)) => pairs >= ABSURD,
        Some(Quantity::Some) | None => false,
    };
    let many = shoe.skus.iter().filter(|sku| absurd(sku.quantity));
    many.map(|sku| Doubt {
        code: "pairs-absurd",
        styles: vec![shoe.style.key.clone()],
        say: format!("{} pairs of {}: is it another number?", said(sku.quantity), size(sku)),
    })
    .collect()
}

fn peers(shoes: &[Shoe<'_>], purpose: Purpose, held: &Held) -> Vec<Doubt> {
    let same = shoes.iter().filter(|shoe| shoe.style.purposes.contains(purpose));
    let known: Vec<_> = same.filter_map(|shoe| Some((shoe, (held.of)(shoe)?))).collect();
    let values: Vec<_> = known.iter().map(|(_, value)| *value).collect();
    let Some(spread) = Spread::of(&values).filter(|_| values.len() >= PEERS) else { return Vec::new() };
    let far = known.iter().filter(|(_, value)| spread.is_far(*value, PEER_TIMES, held.least));
    far.map(|(shoe, value)| Doubt {
        code: held.code,
        styles: vec![shoe.style.key.clone()],
        say: format!(
            "{} {} {unit}; {} shoes for {} have {} {unit} in the middle.",
            held.label,
            Tenths(*value as i32),
            values.len(),
            purpose.word(),
            Tenths(spread.median as i32),
            unit = held.unit
        ),
    })
    .collect()
}

/// A size as one reads it on the box.
fn size(sku: &catalogue::stock::Sku) -> String {
    let width = sku.width.as_ref().map_or_else(String::new, |width| format!(" {width}"));
    let colourway = if sku.colourway.is_empty() { String::new() } else { format!(" in {}", sku.colourway) };
    format!("{}{width}{colourway}", sku.label)
}

fn amount(price: Price) -> String {
    format!("{}.{:02}", price.0 / 100, price.0 % 100)
}

fn said(quantity: Option<Quantity>) -> String {
    quantity.map_or_else(String::new, |quantity| quantity.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_of_an_even_number_is_the_mean_of_the_two_in_the_middle() {
        assert_eq!(median(vec![4, 1, 3, 2]), Some(2));
        assert_eq!(median(vec![9, 1, 5]), Some(5));
        assert_eq!(median(Vec::new()), None);
    }
}
