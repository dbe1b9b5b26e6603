//! The order as it is shown: frozen when it was first computed, until Refresh.

use std::collections::{BTreeSet, HashMap};

use catalogue::key::StyleKey;
use catalogue::rank::Group as Place;
use indexer::ranked::{RankedList, Standing};
use indexer::snapshot::{Group, Snapshot};

use crate::fittings::FrozenOrder;

/// The ranked list, and which of its hits are shown in what order.
pub struct Shown {
    /// The list of this catalogue.
    pub list: RankedList,
    /// The hits that are shown, best first.
    pub places: Vec<Shoe>,
    /// The catalogue has changed since the order was made.
    pub stale: Option<Stale>,
}

/// One hit in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shoe {
    /// Its place among the hits of the list.
    pub hit: usize,
    /// Where it stands.
    pub standing: Standing,
}

/// What has changed since the order was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stale {
    /// Shoes of the order that are no longer there.
    pub gone: usize,
    /// Shoes that would be new in it.
    pub new: usize,
}

impl Shown {
    /// A list in its own order, or in the frozen one.
    pub fn of(list: RankedList, frozen: Option<&FrozenOrder>, snapshot: &Snapshot) -> Self {
        match frozen.filter(|frozen| frozen.seq != snapshot.seq()) {
            None => {
                let places = list.places.iter().enumerate();
                let places = places.map(|(hit, standing)| Shoe { hit, standing: *standing }).collect();
                Self { list, places, stale: None }
            }
            Some(frozen) => Self::thawing(list, frozen, snapshot),
        }
    }

    fn thawing(list: RankedList, frozen: &FrozenOrder, snapshot: &Snapshot) -> Self {
        let now: HashMap<StyleKey, usize> = keys(&list, snapshot).into_iter().zip(0..).collect();
        let shoe = |(key, standing): &(StyleKey, Standing)| {
            now.get(key).map(|hit| Shoe { hit: *hit, standing: *standing })
        };
        let places: Vec<Shoe> = frozen.places.iter().filter_map(shoe).collect();
        let stale =
            Stale { gone: frozen.places.len() - places.len(), new: now.len().saturating_sub(places.len()) };
        Self { list, places, stale: Some(stale) }
    }

    /// The shoes of one group, in order.
    pub fn group(&self, place: Place) -> impl Iterator<Item = Shoe> {
        self.places.iter().copied().filter(move |shoe| shoe.standing.place == place)
    }

    /// The group of a style; `None` when it is not shown.
    pub fn standing_of(&self, key: &StyleKey, snapshot: &Snapshot) -> Option<Place> {
        let found = self.places.iter().find(|shoe| style_of(&self.list, shoe.hit, snapshot) == Some(key));
        found.map(|shoe| shoe.standing.place)
    }

    /// The place of a style among those that are ranked, from 1.
    pub fn place_of(&self, key: &StyleKey, snapshot: &Snapshot) -> Option<usize> {
        let ranked = self.places.iter().filter(|shoe| is_ranked(shoe.standing.place));
        let at = ranked.map(|shoe| style_of(&self.list, shoe.hit, snapshot)).position(|k| k == Some(key));
        at.map(|at| at + 1)
    }
}

/// Whether a group takes places: the shoe worn now stands aside of them, and too little is known of some.
pub const fn is_ranked(place: Place) -> bool {
    matches!(place, Place::First | Place::Also | Place::Further)
}

impl FrozenOrder {
    /// The order of a list, to be kept.
    pub fn of(list: &RankedList, snapshot: &Snapshot) -> Self {
        let places = keys(list, snapshot).into_iter().zip(list.places.iter().copied()).collect();
        Self { seq: snapshot.seq(), places }
    }
}

fn keys(list: &RankedList, snapshot: &Snapshot) -> Vec<StyleKey> {
    (0..list.results.hits.len()).filter_map(|hit| style_of(list, hit, snapshot).cloned()).collect()
}

fn style_of<'s>(list: &RankedList, hit: usize, snapshot: &'s Snapshot) -> Option<&'s StyleKey> {
    let hit = list.results.hits.get(hit)?;
    snapshot.card(hit.row).map(|card| &card.style.key)
}

/// The filters that were taken off, by their keys.
pub fn removed(keys: &BTreeSet<String>) -> BTreeSet<Group> {
    keys.iter().filter_map(|key| Group::from_key(key)).collect()
}
