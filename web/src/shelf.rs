//! What is true of a box for the moment: out with a fitting, held until an hour, or not on the shelf. The first two live
//! in memory, while they last; the third is in the store, for the owner to count again.

use std::collections::{BTreeSet, HashMap};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use catalogue::key::SkuKey;

use crate::clock::Moment;
use crate::fitting_name::FittingName;
use crate::fittings::FittingId;

/// The boxes that are held. How long is counted by a clock that never jumps; the hour that people read is kept beside.
#[derive(Debug, Default)]
pub struct Held(Mutex<HashMap<SkuKey, Until>>);

/// The end of a hold.
#[derive(Clone, Copy, Debug)]
struct Until {
    instant: Instant,
    /// Seconds since 1970, by the clock as it was when the hold began.
    told: i64,
}

/// No more boxes than this are held at a time: a request cannot fill the memory.
pub const MOST: usize = 500;

impl Held {
    /// Holds a box for so long; whether there was room.
    pub fn hold(&self, sku: SkuKey, long: Duration, now: Moment) -> bool {
        let mut held = self.at(now.instant);
        let has_room = held.len() < MOST || held.contains_key(&sku);
        if has_room {
            let told = now.unix_seconds.saturating_add_unsigned(long.as_secs());
            held.insert(sku, Until { instant: now.instant + long, told });
        }
        has_room
    }

    /// How many are held.
    pub fn count(&self, now: Instant) -> usize {
        self.at(now).len()
    }

    /// Puts a box back.
    pub fn release(&self, sku: &SkuKey) {
        self.lock().remove(sku);
    }

    fn at(&self, now: Instant) -> MutexGuard<'_, HashMap<SkuKey, Until>> {
        let mut held = self.lock();
        held.retain(|_, until| until.instant > now);
        held
    }

    fn lock(&self) -> MutexGuard<'_, HashMap<SkuKey, Until>> {
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
    /// What is known at `now`.
    pub fn of(
        out: Vec<(SkuKey, FittingId, FittingName)>,
        held: &Held,
        missing: &BTreeSet<SkuKey>,
        now: Instant,
    ) -> Self {
        let mut boxes: HashMap<SkuKey, Vec<BoxState>> = HashMap::new();
        let mut add = |sku: SkuKey, state| boxes.entry(sku).or_default().push(state);
        for (sku, fitting, name) in out {
            add(sku, BoxState::Out(fitting, name));
        }
        for (sku, until) in held.at(now).iter() {
            add(sku.clone(), BoxState::Held(until.told));
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
    use crate::clock::Clock;

    fn sku(at: usize) -> SkuKey {
        SkuKey::parse(&format!("fennick.a/linen/eu-{at}/d")).unwrap()
    }

    fn of(held: &Held, clock: &Clock) -> Vec<BoxState> {
        Shelf::of(Vec::new(), held, &BTreeSet::new(), clock.now().instant).get(&sku(42)).to_vec()
    }

    #[test]
    fn a_box_is_held_until_its_hour_and_no_longer() {
        let (held, clock) = (Held::default(), Clock::fixed(0));
        assert!(held.hold(sku(42), Duration::from_secs(100), clock.now()));
        clock.advance(Duration::from_secs(99));
        assert_eq!(of(&held, &clock), [BoxState::Held(100)]);
        clock.advance(Duration::from_secs(1));
        assert_eq!(of(&held, &clock), []);
        held.hold(sku(42), Duration::from_secs(100), clock.now());
        held.release(&sku(42));
        assert_eq!(of(&held, &clock), []);
    }

    #[test]
    fn a_clock_that_jumps_lets_no_box_go_and_holds_none_for_ever() {
        for to in [-31_536_000, 315_360_000] {
            let (held, clock) = (Held::default(), Clock::fixed(1_000));
            assert!(held.hold(sku(42), Duration::from_hours(2), clock.now()));
            clock.jump(to);
            assert_eq!(of(&held, &clock).len(), 1, "{to}");
            clock.advance(Duration::from_hours(2));
            assert_eq!(of(&held, &clock), [], "{to}");
        }
    }

    #[test]
    fn no_more_boxes_are_held_than_a_shop_holds() {
        let (held, clock) = (Held::default(), Clock::fixed(0));
        let (ten, now) = (Duration::from_secs(10), clock.now());
        assert!((0..MOST).all(|at| held.hold(sku(at), ten, now)));
        assert!(!held.hold(sku(MOST), ten, now));
        assert!(held.hold(sku(0), ten * 2, now), "one that is held may be held longer");
        clock.advance(Duration::from_secs(11));
        assert!(held.hold(sku(MOST), ten, clock.now()), "those whose hour is over make room");
        assert_eq!(held.count(clock.now().instant), 2);
    }
}
