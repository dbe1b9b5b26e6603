//! Sizes that run out inside a run: few pairs are left of them, and smaller and larger ones are there.

use std::collections::BTreeMap;

use catalogue::key::StyleKey;
use catalogue::stock::{Quantity, Sku};

use super::Shoe;

/// A style and its sizes that run out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Low {
    /// The style.
    pub style: StyleKey,
    /// Size with width as printed, and the pairs that are left, smallest size first.
    pub sizes: Vec<(String, u32)>,
}

/// The styles still supplied of which sizes inside the run have at most `few` pairs, most such sizes first. A size whose
/// number nobody knows is not low.
pub fn low_sizes(shoes: &[Shoe<'_>], few: u32) -> Vec<Low> {
    let supplied = shoes.iter().filter(|shoe| !shoe.style.retired);
    let mut low: Vec<Low> = supplied
        .map(|shoe| Low { style: shoe.style.key.clone(), sizes: of_runs(shoe.skus, few) })
        .filter(|low| !low.sizes.is_empty())
        .collect();
    low.sort_by(|a, b| b.sizes.len().cmp(&a.sizes.len()).then_with(|| a.style.cmp(&b.style)));
    low
}

/// One size in one width over all colourways.
struct Size {
    twelfths: u16,
    said: String,
    pairs: u32,
    /// Some box of it has a number that nobody knows.
    is_open: bool,
}

/// One run a system and width: an EU 42 stands in no row with a UK 8.
fn of_runs(skus: &[Sku], few: u32) -> Vec<(String, u32)> {
    let mut runs: BTreeMap<(Option<&str>, &str), BTreeMap<u16, Size>> = BTreeMap::new();
    for sku in skus {
        let width = sku.width.as_deref().unwrap_or_default();
        let run = runs.entry((sku.label.system().map(|system| system.word()), width)).or_default();
        let said = format!("{} {width}", sku.label).trim_end().to_owned();
        let twelfths = sku.label.twelfths();
        let size = run.entry(twelfths).or_insert(Size { twelfths, said, pairs: 0, is_open: false });
        match sku.quantity {
            Some(Quantity::Pairs(pairs)) => size.pairs = size.pairs.saturating_add(pairs),
            Some(Quantity::AtLeast(_) | Quantity::Some) | None => size.is_open = true,
        }
    }
    runs.into_values().flat_map(|run| inside(run.into_values().collect(), few)).collect()
}

fn inside(run: Vec<Size>, few: u32) -> Vec<(String, u32)> {
    let there = || run.iter().filter(|size| size.pairs > few || size.is_open).map(|size| size.twelfths);
    let (Some(from), Some(to)) = (there().min(), there().max()) else { return Vec::new() };
    let is_low = |size: &Size| !size.is_open && size.pairs <= few && (from..to).contains(&size.twelfths);
    run.into_iter().filter(is_low).map(|size| (size.said, size.pairs)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::size::{SizeLabel, SizeSystem};

    fn sku(label: &str, colourway: &str, quantity: Option<Quantity>) -> Sku {
        let style = StyleKey::parse("fennick.a").unwrap();
        let label = SizeLabel::parse(Some(SizeSystem::Eu), label).unwrap();
        Sku {
            style,
            colourway: colourway.into(),
            label,
            width: None,
            gtin: None,
            quantity,
            price: None,
            place: None,
        }
    }

    fn pairs(label: &str, pairs: u32) -> Sku {
        sku(label, "linen", Some(Quantity::Pairs(pairs)))
    }

    fn low(skus: &[Sku]) -> Vec<(String, u32)> {
        of_runs(skus, 1)
    }

    #[test]
    fn a_size_that_runs_out_inside_the_run_is_low_and_the_ends_are_where_they_end() {
        let run =
            [pairs("40", 0), pairs("41", 3), pairs("42", 1), pairs("43", 0), pairs("44", 2), pairs("45", 1)];
        assert_eq!(low(&run), [("EU 42".to_owned(), 1), ("EU 43".to_owned(), 0)]);
        assert_eq!(low(&[pairs("41", 0), pairs("42", 1)]), [], "nothing is left of the run");
    }

    #[test]
    fn colourways_are_counted_together_and_an_unknown_number_is_not_low() {
        let run =
            [pairs("41", 3), pairs("42", 1), sku("42", "ochre", Some(Quantity::Pairs(1))), pairs("43", 4)];
        assert_eq!(low(&run), [], "two pairs are left in two colours");
        let open = [pairs("41", 3), sku("42", "linen", None), pairs("43", 4)];
        assert_eq!(low(&open), []);
    }
}
