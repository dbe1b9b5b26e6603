//! What is done while nobody looks: what is over is forgotten; the whole store is checked after the start, and each night
//! checked and backed up; an index that is damaged on the disk is built anew. Nobody waits for any of it.

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Weak};
use std::thread;
use std::time::Duration;

use indexer::keeping::{Mistrust, Why};
use indexer::loaded::Seq;
use indexer::shop::Shop;

use crate::app::AppState;
use crate::clock::Moment;

/// How often it is looked whether it is time.
const OFTEN: Duration = Duration::from_secs(30);
/// The hour, in universal time, from which a day's backup is due; a machine that is off then makes it when it is on.
const HOUR: i64 = 2;
/// After a backup that failed.
const AGAIN: Duration = Duration::from_hours(1);
/// After a check that found damage: a disk that could not be read may be read again.
const CHECKED_AGAIN: Duration = Duration::from_mins(10);
/// A clock that goes forward by more than this, while no such time goes by, is not believed.
const JUMP: i64 = 48 * 3600;
const A_DAY: i64 = 86_400;

/// Something failed inside the program: store and index are looked at soon.
static LOOK_SOON: AtomicBool = AtomicBool::new(false);

/// Has the store and the index checked at the next occasion.
pub fn look_soon() {
    LOOK_SOON.store(true, Ordering::Relaxed);
}

/// What is remembered from one look to the next.
#[derive(Debug, Default)]
pub struct Night {
    last: Option<Moment>,
    /// The day of the last backup, in days since 1970.
    made_on: Option<i64>,
    failed: Option<Moment>,
    damaged: Option<Moment>,
}

/// What was done at one look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Store and index were checked.
    pub checked: bool,
    /// A backup was tried: whether it, and its copy in the second folder, was made.
    pub backup: Option<bool>,
}

impl Night {
    /// Looks whether anything is due at `now`, and does it.
    pub fn look(&mut self, shop: &Shop, now: Moment) -> Done {
        if let Some(mistrust) = self.jumped(now) {
            shop.mistrusts(mistrust);
        }
        let is_first = self.last.replace(now).is_none();
        let is_due = self.is_due(shop, now);
        let looks_soon = LOOK_SOON.swap(false, Ordering::Relaxed);
        let looks_again = self.damaged.is_some_and(|found| now.instant - found.instant >= CHECKED_AGAIN);
        let checked = (is_first || is_due || looks_soon || looks_again) && self.checked(shop, now);
        Done { checked, backup: is_due.then(|| self.back_up(shop, now)) }
    }

    fn checked(&mut self, shop: &Shop, now: Moment) -> bool {
        let Some(health) = shop.check() else { return false };
        self.damaged = (!health.faults.is_empty()).then_some(now);
        true
    }

    fn jumped(&self, now: Moment) -> Option<Mistrust> {
        let last = self.last?;
        let before = last.unix_seconds + (now.instant - last.instant).as_secs() as i64;
        (now.unix_seconds - before > JUMP).then_some(Mistrust::Jumped { before, now: now.unix_seconds })
    }

    /// Days are compared, not counted: a clock that went back has its backup each day too.
    fn is_due(&self, shop: &Shop, now: Moment) -> bool {
        let Some(keeping) = shop.keeping() else { return false };
        if shop.is_read_only() {
            return false;
        }
        let today = now.unix_seconds.div_euclid(A_DAY);
        let is_late = now.unix_seconds.rem_euclid(A_DAY) >= HOUR * 3600;
        let waits = self.failed.is_some_and(|failed| now.instant - failed.instant < AGAIN);
        // One that failed may have left the own folder's: the second folder still waits for its copy.
        let whole = self.failed.is_none().then_some(keeping.newest).flatten();
        let made = self.made_on == Some(today)
            || whole.is_some_and(|backup| backup.why == Why::Night && backup.at.div_euclid(A_DAY) == today);
        let is_empty = shop.snapshot().seq() == Seq(0);
        is_late && !waits && !made && !is_empty
    }

    fn back_up(&mut self, shop: &Shop, now: Moment) -> bool {
        let made = shop.back_up(Why::Night, now.unix_seconds);
        let is_whole =
            made.is_some_and(|made| made.is_ok_and(|made| made.second.is_none_or(|second| second.is_ok())));
        if is_whole {
            self.made_on = Some(now.unix_seconds.div_euclid(A_DAY));
        }
        self.failed = (!is_whole).then_some(now);
        is_whole
    }
}

/// Looks from time to time, on a thread of its own, as long as the server is there.
pub fn begin(state: &Arc<AppState>) -> io::Result<()> {
    let state = Arc::downgrade(state);
    thread::Builder::new().name("night".to_owned()).spawn(move || go_on(&state)).map(|_| ())
}

fn go_on(state: &Weak<AppState>) {
    let mut night = Night::default();
    while let Some(state) = state.upgrade() {
        // A panic in here is none of the server's, and must not end the nights.
        let look = std::panic::AssertUnwindSafe(|| {
            state.forget_what_is_over();
            night.look(&state.shop, state.clock.now())
        });
        let _ = std::panic::catch_unwind(look);
        drop(state);
        thread::sleep(OFTEN);
    }
}
