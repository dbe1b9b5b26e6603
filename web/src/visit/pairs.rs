//! Pairs per working size: which of a shoe's SKUs that were found belong to which size.

use catalogue::measures::Measures;
use catalogue::runner::Runner;
use catalogue::size::FootLength;
use catalogue::stock::{Price, Quantity, Sku};
use catalogue::style::Style;
use indexer::search::{Hit, Stocked};
use indexer::snapshot::{Snapshot, StyleCard};

use super::money::money;
use crate::labels::NOT_GIVEN;
use crate::parts::ranked_row::SizePairs;
use crate::words;

/// The SKUs in stock behind a hit.
pub fn skus<'s>(snapshot: &'s Snapshot, hit: &Hit) -> Vec<&'s Sku> {
    snapshot.in_stock(hit).collect()
}

/// A shoe with all its pairs in stock, where no search has found it.
pub fn hit(card: &StyleCard<'_>) -> Hit {
    Hit {
        row: card.row,
        score: None,
        relevance: 0.0,
        pairs: card.skus.iter().filter_map(|sku| sku.quantity).map(Quantity::counted).sum(),
        skus: Stocked::All,
    }
}

/// A size by all its names: `EU 43, D, grey`.
pub fn named(sku: &Sku) -> String {
    let label = sku.label.to_string();
    let names = [Some(label.as_str()), sku.width.as_deref(), Some(sku.colourway.as_str())];
    let names: Vec<&str> = names.into_iter().flatten().filter(|name| !name.is_empty()).collect();
    names.join(", ")
}

/// A size as its box names it: `EU 43, D, grey: 2 pairs, bay C4`.
pub fn boxed(sku: &Sku) -> String {
    let pairs = match sku.quantity {
        None => say!("pairs {value}", value = words::of(NOT_GIVEN)),
        Some(Quantity::Some) => say!("in stock, number unknown").to_owned(),
        Some(Quantity::Pairs(1)) => say!("1 pair").to_owned(),
        Some(quantity) => say!("{quantity} pairs", quantity),
    };
    let place = sku.place.as_ref().map_or_else(String::new, |place| format!(", {place}"));
    say!("On the box: {join}: {pairs}{place}.", join = named(sku), pairs, place)
}

/// Pairs for each working size; all sizes together when none was asked.
pub fn by_size(snapshot: &Snapshot, runner: &Runner, style: &Style, skus: &[&Sku]) -> Vec<SizePairs> {
    let sizes: Vec<(String, FootLength)> = runner
        .working_sizes()
        .iter()
        .filter_map(|label| Some((label.printed().to_owned(), label.foot(runner.audience)?)))
        .collect();
    if sizes.is_empty() {
        return vec![Count::of(skus.iter().copied()).said(say!("all sizes"))];
    }
    let nearest = |sku: &Sku| {
        let foot = snapshot.foot(style, &sku.label)?.length;
        let distance = |at: &usize| (sizes[*at].1.in_360ths() - foot.in_360ths()).abs();
        (0..sizes.len()).min_by_key(distance).filter(|at| distance(at) <= sku_reach(sku))
    };
    let of = |at: usize| skus.iter().copied().filter(move |sku| nearest(sku) == Some(at));
    sizes.iter().enumerate().map(|(at, (label, _))| Count::of(of(at)).said(label)).collect()
}

/// How far from this foot a SKU is made for, in 360ths of a mm; `None` beyond a whole size.
pub fn near(snapshot: &Snapshot, style: &Style, sku: &Sku, foot: FootLength) -> Option<i32> {
    let own = snapshot.foot(style, &sku.label)?.length;
    Some((own.in_360ths() - foot.in_360ths()).abs()).filter(|apart| *apart <= sku_reach(sku))
}

/// A SKU further away than a whole size is of none of the working sizes: the filter of sizes was taken off.
fn sku_reach(sku: &Sku) -> i32 {
    sku.label.system().map_or(0, |system| system.half_size())
}

/// `€ 139`, `from € 139` when the SKUs differ; `None` when no sheet gives a price.
pub fn price(snapshot: &Snapshot, skus: &[&Sku]) -> Option<String> {
    let prices: Vec<Price> = skus.iter().filter_map(|sku| sku.price).collect();
    let (least, most) = (prices.iter().min()?, prices.iter().max()?);
    let least_said = money(*least, snapshot.policy().currency);
    Some(if least == most { least_said } else { say!("from {least_said}", least_said) })
}

/// Where the pairs hang: `bay C4`, two places at most.
pub fn place(skus: &[&Sku]) -> Option<String> {
    let mut places: Vec<&str> = skus
        .iter()
        .filter(|sku| sku.quantity.is_some_and(Quantity::in_stock))
        .filter_map(|sku| sku.place.as_deref())
        .collect();
    places.sort_unstable();
    places.dedup();
    let more = if places.len() > 2 { say!(" and elsewhere") } else { "" };
    places.truncate(2);
    (!places.is_empty()).then(|| format!("{}{more}", places.join(", ")))
}

/// `262 g`, as weighed.
pub fn mass(measures: &Measures) -> Option<String> {
    measures.mass().map(words::number)
}

/// Pairs added up, with what is not exactly known.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    pairs: u32,
    at_least: bool,
    some: bool,
}

impl Count {
    fn of<'s>(skus: impl Iterator<Item = &'s Sku>) -> Self {
        skus.filter_map(|sku| sku.quantity).fold(Self::default(), Self::with)
    }

    fn with(self, quantity: Quantity) -> Self {
        match quantity {
            Quantity::Pairs(n) => Self { pairs: self.pairs.saturating_add(n), ..self },
            Quantity::AtLeast(n) => Self { pairs: self.pairs.saturating_add(n), at_least: true, ..self },
            Quantity::Some => Self { some: true, ..self },
        }
    }

    fn said(self, label: &str) -> SizePairs {
        let open = if self.at_least || self.some { "+" } else { "" };
        let pairs =
            if self.pairs == 0 && self.some { "yes".to_owned() } else { format!("{}{open}", self.pairs) };
        SizePairs { label: label.to_owned(), none: pairs == "0", pairs }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(quantities: &[Quantity]) -> String {
        quantities.iter().fold(Count::default(), |count, q| count.with(*q)).said("42").pairs
    }

    #[test]
    fn a_number_nobody_knows_is_said_and_not_counted_as_none() {
        assert_eq!(said(&[Quantity::Pairs(2), Quantity::Pairs(1)]), "3");
        assert_eq!(said(&[Quantity::Some]), "yes");
        assert_eq!(said(&[Quantity::Pairs(2), Quantity::Some]), "2+");
        assert_eq!(said(&[Quantity::AtLeast(10)]), "10+");
        assert_eq!(said(&[]), "0");
    }
}
