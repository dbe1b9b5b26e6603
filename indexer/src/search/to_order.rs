//! What is not in stock and could be ordered in: it passes every other filter and is made in the sizes looked for.

use catalogue::rank::Ranker;

use super::asked::{Counts, Search};
use super::filter::Filter;
use super::results::{Hit, Stocked};
use crate::snapshot::{Group, Snapshot};
use crate::words::WordsError;

impl Search {
    /// The same without a word on stock and on sizes in stock.
    fn whatever_is_in_stock(&self) -> Self {
        let mut relaxed = Self { counts: Counts::None, ..self.clone() };
        for choices in [&mut relaxed.choices, &mut relaxed.within.choices] {
            choices.retain(|group, _| !matches!(group, Group::Stock | Group::Size));
        }
        relaxed.feet.clear();
        relaxed.within.feet.clear();
        relaxed
    }
}

impl Snapshot {
    /// The styles that `search` would find if they were in stock, and that are not, best suited first; the SKUs of a
    /// hit are those that would match.
    pub fn to_order(&self, search: &Search, ranker: &Ranker) -> Result<Vec<Hit>, WordsError> {
        let relaxed = search.whatever_is_in_stock();
        let feet: Vec<_> = search.within.feet.iter().chain(&search.feet).copied().collect();
        let filter = Filter::of(&relaxed, self, &mut Vec::new());
        let found = self.search(&relaxed, Some(ranker))?.hits;
        let to_order = found.into_iter().filter_map(|hit| {
            let card = self.card(hit.row)?;
            let places = self.stock.range(hit.row as usize);
            let made = self.made_for(&card, &feet);
            let matching = places.zip(self.stock.run(hit.row as usize)).zip(made);
            let matching = matching.filter(|((_, sku), made)| *made && filter.sku_fail(sku) == 0);
            let matching: Vec<_> = matching.map(|(sku, _)| sku).collect();
            let absent = matching.iter().all(|(_, sku)| !sku.in_stock()) && !matching.is_empty();
            let skus = Stocked::These(matching.into_iter().map(|(at, _)| at as u32).collect());
            absent.then_some(Hit { pairs: 0, skus, ..hit })
        });
        Ok(to_order.collect())
    }
}

#[cfg(test)]
mod tests {
    use catalogue::policy::HousePolicy;
    use catalogue::runner::Runner;
    use catalogue::style::Audience;

    use super::*;
    use crate::search::Choice;
    use crate::snapshot::invented::{label, snapshot, stocked, style};

    #[test]
    fn what_is_made_in_the_size_and_is_not_there_can_be_ordered_in() {
        let made = |number: &str| {
            let mut style = style("Orrelby", number, "Sound");
            style.audience = Some(Audience::Men);
            style
        };
        let (there, sold_out, too_small) = (made("1"), made("2"), made("3"));
        let skus = vec![
            stocked(&there, "EU 42", 1, 90),
            stocked(&sold_out, "EU 42", 0, 90),
            stocked(&sold_out, "EU 43", 2, 90),
            stocked(&too_small, "EU 39", 0, 90),
        ];
        let snapshot = snapshot(vec![there, sold_out.clone(), too_small], skus);
        let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).unwrap();
        let feet = vec![label("EU 42").foot(Some(Audience::Men)).unwrap()];
        let mut search = Search { feet, ..Search::default() };
        search.choices.insert(Group::Stock, Choice::of(&["yes"]));
        let found = |search: &Search| snapshot.to_order(search, &ranker).unwrap();
        let keys: Vec<_> =
            found(&search).iter().map(|hit| &snapshot.card(hit.row).unwrap().style.key).collect();
        assert_eq!(keys, [&sold_out.key]);
        let hits = found(&search);
        assert_eq!((hits[0].pairs, snapshot.in_stock(&hits[0]).count()), (0, 1));
        search.choices.insert(Group::Maker, Choice::of(&["fennick"]));
        assert!(found(&search).is_empty(), "every other filter holds");
    }
}
