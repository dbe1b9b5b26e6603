//! The only reader of time. Everything else is handed a time, so that a test can say what it is.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

/// The clock of the server: the machine's, or one that stands still until a test moves it.
#[derive(Clone, Debug)]
pub struct Clock(Kind);

/// One time, for expiry and for the ledger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// Never runs backwards: for expiry.
    pub instant: Instant,
    /// Seconds since 1970: for the ledger and for people.
    pub unix_seconds: i64,
}

#[derive(Clone, Debug)]
enum Kind {
    Machine,
    Fixed(Arc<Mutex<Moment>>),
}

impl Clock {
    /// The machine's clock.
    pub const fn machine() -> Self {
        Self(Kind::Machine)
    }

    /// A clock that stands still at `unix_seconds` until it is moved. Clones show the same time.
    pub fn fixed(unix_seconds: i64) -> Self {
        let start = Moment { instant: Instant::now(), unix_seconds };
        Self(Kind::Fixed(Arc::new(Mutex::new(start))))
    }

    /// The time now.
    pub fn now(&self) -> Moment {
        match &self.0 {
            Kind::Machine => Moment { instant: Instant::now(), unix_seconds: machine_seconds() },
            Kind::Fixed(moment) => *moment.lock().unwrap_or_else(PoisonError::into_inner),
        }
    }

    /// Moves a fixed clock forward; the machine's takes no notice.
    pub fn advance(&self, by: Duration) {
        if let Kind::Fixed(moment) = &self.0 {
            let mut moment = moment.lock().unwrap_or_else(PoisonError::into_inner);
            moment.instant += by;
            moment.unix_seconds += by.as_secs() as i64;
        }
    }

    /// Sets a fixed clock to another time of day, as one does whose battery is empty: no time goes by.
    pub fn jump(&self, unix_seconds: i64) {
        if let Kind::Fixed(moment) = &self.0 {
            moment.lock().unwrap_or_else(PoisonError::into_inner).unix_seconds = unix_seconds;
        }
    }
}

/// How long something has been going on: for numbers and patience, which no test asks for.
#[derive(Clone, Copy, Debug)]
pub struct Stopwatch(Instant);

impl Stopwatch {
    /// From now on.
    pub fn begin() -> Self {
        Self(Instant::now())
    }

    /// How long it was until now.
    pub fn took(self) -> Duration {
        self.0.elapsed()
    }
}

/// A machine whose clock stands before 1970 has no time to tell: 0.
fn machine_seconds() -> i64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs() as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fixed_clock_moves_only_when_it_is_moved_and_for_all_its_clones() {
        let clock = Clock::fixed(1_000);
        let before = clock.now();
        assert_eq!(clock.now(), before);
        clock.clone().advance(Duration::from_secs(90));
        assert_eq!(clock.now().unix_seconds, 1_090);
        assert_eq!(clock.now().instant - before.instant, Duration::from_secs(90));
    }
}
