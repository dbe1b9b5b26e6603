//! Wrong passwords slow down whoever sends them, and lock nobody out for good.

use std::collections::HashMap;
use std::net::IpAddr;
use std::time::{Duration, Instant};

/// Wrong ones of an account before it has to wait.
pub const FREE: u32 = 5;
/// The longest an account waits.
pub const LONGEST: Duration = Duration::from_mins(15);
/// Wrong ones of an address within [`HOUR`].
pub const PER_ADDRESS: u32 = 30;
/// How long the wrong ones of an address count.
pub const HOUR: Duration = Duration::from_hours(1);
/// Names and addresses remembered; beyond them the one that was quiet longest is forgotten.
pub const REMEMBERED: usize = 1000;

/// What wrong passwords there were.
#[derive(Default)]
pub struct Throttle {
    names: HashMap<String, Failures>,
    addresses: HashMap<IpAddr, Failures>,
}

#[derive(Clone, Copy)]
struct Failures {
    count: u32,
    last: Instant,
}

impl Throttle {
    /// How long `name` or `address` must wait before the next try; `None` when it need not.
    pub fn wait(&self, name: &str, address: Option<IpAddr>, now: Instant) -> Option<Duration> {
        let of_name = self.names.get(&key(name)).and_then(|failures| failures.account_waits(now));
        let of_address = address.and_then(|address| self.addresses.get(&address)?.address_waits(now));
        of_name.into_iter().chain(of_address).max()
    }

    /// A try, which counts as wrong until it [`succeeded`](Self::succeeded).
    pub fn tried(&mut self, name: &str, address: Option<IpAddr>, now: Instant) {
        count(&mut self.names, key(name), now, LONGEST);
        if let Some(address) = address {
            count(&mut self.addresses, address, now, HOUR);
        }
    }

    /// Forgets names and addresses whose wrong passwords count no longer.
    pub fn sweep(&mut self, now: Instant) {
        let counts = |failures: &Failures, long| now.saturating_duration_since(failures.last) <= long;
        self.names.retain(|_, failures| counts(failures, LONGEST));
        self.addresses.retain(|_, failures| counts(failures, HOUR));
    }

    /// How many names and addresses are remembered.
    pub fn count(&self) -> usize {
        self.names.len() + self.addresses.len()
    }

    /// The right password: the account begins anew; the address has one less to answer for.
    pub fn succeeded(&mut self, name: &str, address: Option<IpAddr>) {
        self.names.remove(&key(name));
        if let Some(failures) = address.and_then(|address| self.addresses.get_mut(&address)) {
            failures.count = failures.count.saturating_sub(1);
        }
    }
}

impl Failures {
    /// One second after the fifth, twice as long after each further one.
    fn account_waits(self, now: Instant) -> Option<Duration> {
        let over = self.count.checked_sub(FREE)?;
        let wait = Duration::from_secs(1 << over.min(10)).min(LONGEST);
        left(wait, now.saturating_duration_since(self.last))
    }

    fn address_waits(self, now: Instant) -> Option<Duration> {
        (self.count >= PER_ADDRESS).then(|| left(HOUR, now.saturating_duration_since(self.last))).flatten()
    }
}

fn left(wait: Duration, passed: Duration) -> Option<Duration> {
    wait.checked_sub(passed).filter(|left| !left.is_zero())
}

/// Names differ by their letters only, and a name of a megabyte is remembered by its beginning.
fn key(name: &str) -> String {
    name.trim().to_lowercase().chars().take(64).collect()
}

/// One more; what is older than `forgotten` counts no longer.
fn count<K: std::hash::Hash + Eq + Clone>(
    all: &mut HashMap<K, Failures>,
    key: K,
    now: Instant,
    forgotten: Duration,
) {
    if all.len() >= REMEMBERED && !all.contains_key(&key) {
        let quiet = all.iter().min_by_key(|(_, failures)| failures.last).map(|(key, _)| key.clone());
        quiet.map(|quiet| all.remove(&quiet));
    }
    let failures = all.entry(key).or_insert(Failures { count: 0, last: now });
    if now.saturating_duration_since(failures.last) > forgotten {
        failures.count = 0;
    }
    *failures = Failures { count: failures.count.saturating_add(1), last: now };
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLET: Option<IpAddr> = Some(IpAddr::V4(std::net::Ipv4Addr::new(192, 168, 1, 4)));

    #[test]
    fn five_are_free_and_then_the_wait_doubles_up_to_a_quarter_of_an_hour() {
        let (mut throttle, now) = (Throttle::default(), Instant::now());
        let mut waits = Vec::new();
        for _ in 0..20 {
            throttle.tried("Mara", None, now);
            waits.push(throttle.wait("MARA ", None, now).map_or(0, |wait| wait.as_secs()));
        }
        assert_eq!(waits[..9], [0, 0, 0, 0, 1, 2, 4, 8, 16]);
        assert_eq!(waits[19], 900);
        assert_eq!(throttle.wait("Jonte", None, now), None, "others do not wait");
        assert_eq!(throttle.wait("Mara", None, now + LONGEST), None, "nobody is locked out for good");
    }

    #[test]
    fn the_right_password_ends_the_wait_of_its_account() {
        let (mut throttle, now) = (Throttle::default(), Instant::now());
        (0..9).for_each(|_| throttle.tried("Mara", None, now));
        throttle.succeeded("mara", None);
        assert_eq!(throttle.wait("Mara", None, now), None);
    }

    #[test]
    fn an_address_that_tries_many_names_waits_too() {
        let (mut throttle, now) = (Throttle::default(), Instant::now());
        (0..30).for_each(|number| throttle.tried(&format!("name {number}"), TABLET, now));
        assert_eq!(throttle.wait("another", TABLET, now), Some(HOUR));
        assert_eq!(throttle.wait("another", None, now), None);
        assert_eq!(throttle.wait("another", TABLET, now + HOUR), None);
    }

    #[test]
    fn an_hour_after_the_last_wrong_password_neither_name_nor_address_is_remembered() {
        let (mut throttle, now) = (Throttle::default(), Instant::now());
        throttle.tried("Mara", TABLET, now);
        throttle.sweep(now + HOUR);
        assert_eq!((throttle.names.len(), throttle.addresses.len()), (0, 1), "the address still counts");
        throttle.sweep(now + HOUR + Duration::from_secs(1));
        assert_eq!(throttle.count(), 0);
    }

    #[test]
    fn a_thousand_names_fill_no_memory() {
        let (mut throttle, now) = (Throttle::default(), Instant::now());
        (0..5000).for_each(|number| throttle.tried(&format!("name {number}"), None, now));
        assert!(throttle.names.len() <= REMEMBERED);
    }
}
