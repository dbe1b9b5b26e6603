//! The styles in stock that are nearest to one by measures, and what replaces one that is no longer stocked. Pages and
//! JSON both ask here, so that they cannot differ.

use catalogue::key::StyleKey;
use catalogue::similar::{Distance, Kind};

use crate::snapshot::{Snapshot, StyleCard};

/// A style in stock that is like another.
#[derive(Clone, Copy, Debug)]
pub struct Similar<'s> {
    /// The style.
    pub card: StyleCard<'s>,
    /// How far it is from the other; its differences are this style less the other.
    pub distance: Distance,
    /// Its pairs in stock.
    pub pairs: u32,
}

/// What replaces a style.
#[derive(Clone, Debug)]
pub enum Replacement<'s> {
    /// Styles say so: the one that replaces it, the one that replaces that, to the newest.
    Said {
        /// Newest last, never empty.
        chain: Vec<StyleCard<'s>>,
        /// The pairs of the newest; `None` when there is none in stock.
        pairs: Option<u32>,
    },
    /// No style says that it replaces this one: the nearest by measures.
    NobodySays(Vec<Similar<'s>>),
}

/// A row in the order of nearness: middle of the interval, its width, and the row, which is in the order of keys.
type Place = ((i32, i32), u32);

impl Snapshot {
    /// The styles in stock that are nearest to `key` by measures, nearest first, at most so many: still supplied, for
    /// the same audience, with a surface and a purpose in common as far as both say, and near enough to be called alike.
    /// Empty when nothing of the style can be compared, or nobody knows it.
    pub fn similar(&self, key: &StyleKey, most: usize) -> Vec<Similar<'_>> {
        let Some(this) = self.style(key) else { return Vec::new() };
        let similar = |(_, row): Place| {
            let card = self.card(row)?;
            let distance = Distance::between(&this.measures, &card.measures, self.policy())?;
            Some(Similar { card, distance, pairs: self.stock.pairs[row as usize] })
        };
        self.nearest(&this, most).into_iter().filter_map(similar).collect()
    }

    /// What replaces a style; where nobody says, the nearest in stock, at most so many.
    pub fn what_replaces(&self, key: &StyleKey, most: usize) -> Replacement<'_> {
        let chain = self.successors(key);
        match chain.last().map(|newest| newest.row) {
            Some(newest) => Replacement::Said { chain, pairs: self.pairs_in_stock(newest) },
            None => Replacement::NobodySays(self.similar(key, most)),
        }
    }

    /// The pairs of a row; `None` when none is in stock.
    fn pairs_in_stock(&self, row: u32) -> Option<u32> {
        let any = !self.stock.in_stock(row as usize).is_empty();
        any.then(|| self.stock.pairs[row as usize])
    }

    /// One walk over the columns. What is kept is never more than what is asked for.
    fn nearest(&self, this: &StyleCard<'_>, most: usize) -> Vec<Place> {
        let kind = Kind::of(this.style);
        let may_stand = |row: u32| {
            row != this.row && self.columns.live.holds(row) && !self.stock.in_stock(row as usize).is_empty()
        };
        let rows = (0..).zip(self.columns.measures.iter().zip(self.styles()));
        let mut kept: Vec<Place> = Vec::new();
        for (row, (measures, style)) in rows {
            if !may_stand(row) || !Kind::of(style).serves_the_same(kind) {
                continue;
            }
            let distance = Distance::between(&this.measures, measures, self.policy());
            let alike = distance.filter(Distance::is_alike);
            if let Some(place) = alike.map(|distance| (distance.order_key(), row)) {
                keep(&mut kept, place, most);
            }
        }
        kept
    }
}

/// Puts a place among the first `most`, which are in order.
fn keep(kept: &mut Vec<Place>, place: Place, most: usize) {
    if kept.len() == most {
        if kept.last().is_none_or(|last| *last <= place) {
            return;
        }
        kept.pop();
    }
    let at = kept.partition_point(|other| *other < place);
    kept.insert(at, place);
}

#[cfg(test)]
mod tests {
    use catalogue::measures::Measure;
    use catalogue::stock::Sku;
    use catalogue::style::{Audience, Purpose, Purposes, Style, Surface, Surfaces};
    use catalogue::units::{Grams, Mm};
    use proptest::prelude::*;

    use super::*;
    use crate::snapshot::invented::{snapshot, stocked, style};

    /// A men's road shoe for every day; heel and forefoot in mm.
    fn road(number: &str, heel: i32, forefoot: i32) -> Style {
        let mut made = style("Fennick", number, number);
        made.audience = Some(Audience::Men);
        made.surfaces = Surfaces::of(&[Surface::Road]);
        made.purposes = Purposes::of(&[Purpose::Daily]);
        made.specification.heel_stack = Some(Mm::whole(heel));
        made.specification.forefoot_stack = Some(Mm::whole(forefoot));
        made
    }

    fn key(number: &str) -> StyleKey {
        StyleKey::of_number("Fennick", number).unwrap()
    }

    /// Two pairs of each style.
    fn shop(styles: &[Style]) -> Snapshot {
        let skus: Vec<Sku> = styles.iter().map(|style| stocked(style, "EU 42", 2, 139)).collect();
        snapshot(styles.to_vec(), skus)
    }

    fn names(shop: &Snapshot, number: &str) -> Vec<String> {
        shop.similar(&key(number), 5).iter().map(|similar| similar.card.style.name.to_string()).collect()
    }

    #[test]
    fn the_nearest_come_first_and_the_shoe_itself_not_at_all() {
        let shop = shop(&[road("1", 32, 24), road("2", 38, 30), road("3", 33, 25), road("4", 32, 28)]);
        assert_eq!(names(&shop, "1"), ["3", "2", "4"]);
        let nearest = shop.similar(&key("1"), 1);
        assert_eq!((nearest.len(), nearest[0].pairs), (1, 2));
        assert_eq!(nearest[0].distance.line(Measure::LandingStack).difference, Some(10));
        assert!(shop.similar(&key("1"), 0).is_empty() && shop.similar(&key("9"), 5).is_empty());
    }

    #[test]
    fn shoes_as_near_as_each_other_stand_in_the_order_of_keys() {
        let shop = shop(&[road("1", 32, 24), road("3", 33, 25), road("2", 33, 25), road("4", 31, 23)]);
        assert_eq!(names(&shop, "1"), ["2", "3", "4"]);
    }

    #[test]
    fn what_is_retired_or_without_a_pair_is_not_offered() {
        let retired = Style { retired: true, ..road("2", 32, 24) };
        let (this, sold_out, there) = (road("1", 32, 24), road("3", 32, 24), road("4", 40, 30));
        let skus = [&this, &retired, &there].map(|style| stocked(style, "EU 42", 1, 139));
        let none = stocked(&sold_out, "EU 42", 0, 139);
        let skus = skus.into_iter().chain([none]).collect();
        let shop = snapshot(vec![this, retired, sold_out, there], skus);
        assert_eq!(names(&shop, "1"), ["4"]);
        assert_eq!(names(&shop, "2"), ["1", "4"], "a retired style has similar ones itself");
    }

    #[test]
    fn another_audience_surface_or_purpose_is_kept_out_and_what_does_not_say_is_kept() {
        let women = Style { audience: Some(Audience::Women), ..road("2", 32, 24) };
        let trail = Style { surfaces: Surfaces::of(&[Surface::Trail]), ..road("3", 32, 24) };
        let race = Style { purposes: Purposes::of(&[Purpose::Race]), ..road("4", 32, 24) };
        let unisex = Style { audience: Some(Audience::Unisex), ..road("5", 33, 24) };
        let mute =
            Style { audience: None, surfaces: Surfaces::NONE, purposes: Purposes::NONE, ..road("6", 34, 24) };
        let shop = shop(&[road("1", 32, 24), women, trail, race, unisex, mute]);
        assert_eq!(names(&shop, "1"), ["5", "6"]);
        assert_eq!(names(&shop, "2"), ["5", "6"], "unisex serves women too");
    }

    #[test]
    fn the_nearest_of_shoes_that_are_far_apart_is_not_called_similar() {
        let shop = shop(&[road("1", 36, 24), road("2", 12, 12), road("3", 33, 24)]);
        assert_eq!((names(&shop, "1"), names(&shop, "2")), (vec!["3".to_owned()], Vec::new()));
    }

    #[test]
    fn a_shoe_without_drop_and_stacks_is_like_no_other() {
        let blank = style("Fennick", "2", "2");
        let shop = shop(&[road("1", 32, 24), blank]);
        assert!(names(&shop, "1").is_empty() && names(&shop, "2").is_empty());
    }

    #[test]
    fn what_replaces_a_style_is_followed_to_the_newest_and_its_pairs_are_told() {
        let next = |number: &str, old: &str| Style { replaces: Some(key(old)), ..road(number, 32, 24) };
        let (first, second, third) = (road("1", 32, 24), next("2", "1"), next("3", "2"));
        let pairs = stocked(&second, "EU 42", 3, 139);
        let shop = snapshot(vec![first, second, third, road("4", 32, 24)], vec![pairs]);
        let Replacement::Said { chain, pairs } = shop.what_replaces(&key("1"), 5) else {
            panic!("2 says so")
        };
        assert_eq!(chain.iter().map(|card| &*card.style.name).collect::<Vec<_>>(), ["2", "3"]);
        assert_eq!(pairs, None, "the newest has no pair");
        let Replacement::NobodySays(nearest) = shop.what_replaces(&key("4"), 5) else {
            panic!("nobody does")
        };
        assert_eq!(nearest.iter().map(|similar| &*similar.card.style.name).collect::<Vec<_>>(), ["2"]);
    }

    prop_compose! {
        fn any_style()(
            audience in prop::option::of(prop::sample::select(Audience::ALL)),
            surface in prop::option::of(prop::sample::select(Surface::ALL)),
            purposes in prop::collection::vec(prop::sample::select(Purpose::ALL), 0..3),
            (heel, drop) in (prop::option::weighted(0.9, 20..40_i32), prop::option::weighted(0.8, 0..12_i32)),
            mass in prop::option::weighted(0.8, 180..320_i32),
            retired in prop::bool::weighted(0.2),
            pairs in 0..3_u32,
        ) -> (Style, u32) {
            let mut made = style("Fennick", "0", "");
            made.audience = audience;
            made.surfaces = Surfaces::of(surface.as_slice());
            made.purposes = Purposes::of(&purposes);
            made.specification.heel_stack = heel.map(Mm::whole);
            made.specification.drop_stated = drop.map(Mm::whole);
            made.specification.mass = mass.map(Grams::whole);
            made.retired = retired;
            (made, pairs)
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

        /// However many are asked for, they are the first of all of them.
        #[test]
        fn a_shorter_list_is_the_beginning_of_a_longer_one(made in prop::collection::vec(any_style(), 2..24)) {
            let numbered = (0..).zip(made).map(|(at, (style, pairs)): (usize, _)| {
                (Style { key: key(&at.to_string()), ..style }, pairs)
            });
            let made: Vec<(Style, u32)> = numbered.collect();
            let skus = made.iter().map(|(style, pairs)| stocked(style, "EU 42", *pairs, 139)).collect();
            let shop = snapshot(made.into_iter().map(|(style, _)| style).collect(), skus);
            for style in shop.styles() {
                let rows = |most| shop.similar(&style.key, most).iter().map(|s| s.card.row).collect::<Vec<_>>();
                let all = rows(usize::MAX);
                for most in 0..4 {
                    prop_assert_eq!(&rows(most), &all[..most.min(all.len())]);
                }
                let orders: Vec<_> = shop.similar(&style.key, usize::MAX).iter().map(|s| s.distance.order_key()).collect();
                prop_assert!(orders.is_sorted());
            }
        }
    }
}
