//! What is true of a box for the moment: out with a fitting, held until an hour, or not on the shelf. The first two live
//! in memory, while they last; the third is in the store, for the owner to count again.

use std::collections::{BTreeSet, HashMap};
use std::sync::{Mutex, MutexGuard, PoisonError};

use catalogue::key::SkuKey;

use crate::fitting_name::FittingName;
use crate::fittings::FittingId;

/// The boxes that are held, each until a second since 1970.
#[derive(Debug, Default)]
pub struct Held(Mutex<HashMap<SkuKey, i64>>);

/// No more boxes than this are held at a time: a request cannot fill the memory.
const MOST: usize = 500;

impl Held {
    /// Holds a box until then; whether there was room.
    pub fn hold(&self, sku: SkuKey, until: i64, now: i64) -> bool {
        let mut held = self.at(now);
        let has_room = held.len() < MOST || held.contains_key(&sku);
        if has_room {
            held.insert(sku, until);
        }
        has_room
    }

    /// Puts a box back.
    pub fn release(&self, sku: &SkuKey) {
        self.lock().remove(sku);
    }

    fn at(&self, now: i64) -> MutexGuard<'_, HashMap<SkuKey, i64>> {
        let mut held = self.lock();
        held.retain(|_, until| *until > now);
        held
    }

    fn lock(&self) -> MutexGuard<'_, HashMap<SkuKey, i64>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What is known of one box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoxState {
    /// On the foot in this fitting, or in another.
    Out(FittingId, FittingName),
    /// Held until then, seconds since 1970.
    Held(i64),
    /// Looked for and not found.
    NotOnShelf,
}

/// All boxes of which something is known now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shelf(HashMap<SkuKey, Vec<BoxState>>);

impl Shelf {
    /// What is known at `now`, seconds since 1970.
    pub fn of(
        out: Vec<(SkuKey, FittingId, FittingName)>,
        held: &Held,
        missing: &BTreeSet<SkuKey>,
        now: i64,
    ) -> Self {
        let mut boxes: HashMap<SkuKey, Vec<BoxState>> = HashMap::new();
        let mut add = |sku: SkuKey, state| boxes.entry(sku).or_default().push(state);
        for (sku, fitting, name) in out {
            add(sku, BoxState::Out(fitting, name));
        }
        for (sku, until) in held.at(now).iter() {
            add(sku.clone(), BoxState::Held(*until));
        }
        for sku in missing {
            add(sku.clone(), BoxState::NotOnShelf);
        }
        Self(boxes)
    }

    /// What is known of a box; most often nothing.
    pub fn get(&self, sku: &SkuKey) -> &[BoxState] {
        self.0.get(sku).map_or(&[], Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_is_held_until_its_hour_and_no_longer() {
        let held = Held::default();
        let sku = SkuKey::parse("fennick.a/linen/eu-42/d").unwrap();
        assert!(held.hold(sku.clone(), 100, 0));
        assert_eq!(Shelf::of(Vec::new(), &held, &BTreeSet::new(), 99).get(&sku), [BoxState::Held(100)]);
        assert_eq!(Shelf::of(Vec::new(), &held, &BTreeSet::new(), 100).get(&sku), []);
        held.hold(sku.clone(), 200, 100);
        held.release(&sku);
        assert_eq!(Shelf::of(Vec::new(), &held, &BTreeSet::new(), 101).get(&sku), []);
    }

    #[test]
    fn no_more_boxes_are_held_than_a_shop_holds() {
        let held = Held::default();
        let sku = |at: usize| SkuKey::parse(&format!("fennick.a/linen/eu-{at}/d")).unwrap();
        assert!((0..MOST).all(|at| held.hold(sku(at), 10, 0)));
        assert!(!held.hold(sku(MOST), 10, 0));
        assert!(held.hold(sku(0), 20, 0), "one that is held may be held longer");
        assert!(held.hold(sku(MOST), 30, 11), "those whose hour is over make room");
    }
}
