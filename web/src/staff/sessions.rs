//! Who is signed in where. In memory: after a restart everybody signs in again.

use std::collections::HashMap;
use std::time::{Duration, Instant};

use indexer::store::Role;
use sha2::{Digest, Sha256};

/// The owner is signed out after this long without a request.
pub const OWNER_IDLE: Duration = Duration::from_mins(15);
/// A fitter, who is on the floor with a customer, after this long.
pub const FITTER_IDLE: Duration = Duration::from_mins(30);
/// Everybody after this long.
pub const LONGEST: Duration = Duration::from_hours(12);
/// How long the password counts as just given.
const FRESH: Duration = Duration::from_mins(5);
/// Sessions at a time; beyond them the one that was quiet longest ends.
pub const MOST: usize = 200;

/// The secret of a session, as its cookie holds it: 256 bits in hexadecimal digits.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret(String);

/// One signed-in browser.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// Whose.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// Since when: the password was given then.
    pub began: Instant,
    /// Its last request.
    pub seen: Instant,
}

/// The number by which a session is told from others: the beginning of the hash of its secret, which opens nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SessionId(u64);

/// All of them, by the hash of their secret: whoever reads the memory of the server can use none.
#[derive(Default)]
pub struct Sessions(HashMap<[u8; 32], Session>);

impl Secret {
    fn fresh() -> Option<Self> {
        let mut halves = [[0; 16]; 2];
        getrandom::fill(halves.as_flattened_mut()).ok()?;
        let [high, low] = halves.map(u128::from_be_bytes);
        Some(Self(format!("{high:032x}{low:032x}")))
    }

    /// What a cookie holds; `None` when it is not of a secret's shape.
    pub fn parse(text: &str) -> Option<Self> {
        let shaped = text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        shaped.then(|| Self(text.to_owned()))
    }

    /// The text for the cookie.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    fn hashed(&self) -> [u8; 32] {
        Sha256::digest(self.0.as_bytes()).into()
    }
}

/// A secret is never printed.
impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret(..)")
    }
}

impl SessionId {
    fn of(key: &[u8; 32]) -> Self {
        let mut first = [0; 8];
        first.copy_from_slice(&key[..8]);
        Self(u64::from_be_bytes(first))
    }

    /// The number of the session of a secret.
    pub fn of_secret(secret: &Secret) -> Self {
        Self::of(&secret.hashed())
    }

    /// A number read back from a form.
    pub fn parse(text: &str) -> Option<Self> {
        let shaped = text.len() == 16 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        shaped.then(|| u64::from_str_radix(text, 16).ok()).flatten().map(Self)
    }
}

impl std::fmt::Display for SessionId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

impl Session {
    /// Whether the password was given just now.
    pub fn is_fresh(&self, now: Instant) -> bool {
        now.saturating_duration_since(self.began) < FRESH
    }

    fn is_over(&self, now: Instant) -> bool {
        let idle = match self.role {
            Role::Owner => OWNER_IDLE,
            Role::Fitter => FITTER_IDLE,
        };
        now.saturating_duration_since(self.seen) >= idle
            || now.saturating_duration_since(self.began) >= LONGEST
    }
}

impl Sessions {
    /// Begins a session for somebody who has just given the password. `None` when the system has no random number.
    pub fn begin(&mut self, name: &str, role: Role, now: Instant) -> Option<Secret> {
        let secret = Secret::fresh()?;
        self.sweep(now);
        if self.0.len() >= MOST {
            let quiet = self.0.iter().min_by_key(|(_, session)| session.seen).map(|(key, _)| *key);
            quiet.map(|quiet| self.0.remove(&quiet));
        }
        let session = Session { name: name.to_owned(), role, began: now, seen: now };
        self.0.insert(secret.hashed(), session);
        Some(secret)
    }

    /// The session of a secret, which is seen by this; `None` when there is none or it is over.
    pub fn seen(&mut self, secret: &Secret, now: Instant) -> Option<Session> {
        let key = secret.hashed();
        if self.0.get(&key)?.is_over(now) {
            self.0.remove(&key);
            return None;
        }
        let session = self.0.get_mut(&key)?;
        session.seen = now;
        Some(session.clone())
    }

    /// Ends one.
    pub fn end(&mut self, secret: &Secret) {
        self.0.remove(&secret.hashed());
    }

    /// Ends all of a name, but the one of `spared`.
    pub fn end_all_of(&mut self, name: &str, spared: Option<&Secret>) {
        let spared = spared.map(Secret::hashed);
        self.0.retain(|key, session| !session.name.eq_ignore_ascii_case(name) || Some(*key) == spared);
    }

    /// Those of a name, or of everybody; whose number and since when, the last used first.
    pub fn open(&self, name: Option<&str>, now: Instant) -> Vec<(SessionId, Session)> {
        let is_asked = |session: &Session| name.is_none_or(|name| session.name.eq_ignore_ascii_case(name));
        let open = self.0.iter().filter(|(_, session)| is_asked(session) && !session.is_over(now));
        let mut open: Vec<_> = open.map(|(key, session)| (SessionId::of(key), session.clone())).collect();
        open.sort_by_key(|(id, session)| (std::cmp::Reverse(session.seen), id.0));
        open
    }

    /// Ends those of these numbers, but only of this name where one is given; how many there were, and whose.
    pub fn end_these(&mut self, ids: &[SessionId], name: Option<&str>) -> Vec<String> {
        let is_meant = |key: &[u8; 32], session: &Session| {
            ids.contains(&SessionId::of(key))
                && name.is_none_or(|name| session.name.eq_ignore_ascii_case(name))
        };
        let ended: Vec<_> = self.0.extract_if(|key, session| is_meant(key, session)).collect();
        ended.into_iter().map(|(_, session)| session.name).collect()
    }

    /// How many browsers a name is signed in on, and when the last of them was seen.
    pub fn of(&self, name: &str, now: Instant) -> (usize, Option<Instant>) {
        let own = || {
            self.0.values().filter(|session| session.name.eq_ignore_ascii_case(name) && !session.is_over(now))
        };
        (own().count(), own().map(|session| session.seen).max())
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Forgets those that are over.
    pub fn sweep(&mut self, now: Instant) {
        self.0.retain(|_, session| !session.is_over(now));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signed_in(role: Role) -> (Sessions, Secret, Instant) {
        let (mut sessions, now) = (Sessions::default(), Instant::now());
        let secret = sessions.begin("Mara", role, now).unwrap();
        (sessions, secret, now)
    }

    #[test]
    fn a_session_ends_when_nobody_uses_it_and_the_owners_sooner() {
        let (mut owner, secret, now) = signed_in(Role::Owner);
        assert!(owner.seen(&secret, now + Duration::from_mins(14)).is_some());
        assert!(owner.seen(&secret, now + Duration::from_mins(28)).is_some(), "each request begins it anew");
        assert!(owner.seen(&secret, now + Duration::from_mins(43)).is_none());
        let (mut fitter, secret, now) = signed_in(Role::Fitter);
        assert!(fitter.seen(&secret, now + Duration::from_mins(29)).is_some());
    }

    #[test]
    fn nobody_stays_signed_in_for_more_than_half_a_day() {
        let (mut sessions, secret, began) = signed_in(Role::Fitter);
        let minutes = |minutes| began + Duration::from_mins(minutes);
        assert!((0..71).all(|ten| sessions.seen(&secret, minutes(ten * 10)).is_some()));
        assert!(sessions.seen(&secret, minutes(720)).is_none());
    }

    #[test]
    fn the_password_counts_as_just_given_for_five_minutes() {
        let (mut sessions, secret, now) = signed_in(Role::Owner);
        let (soon, later) = (now + Duration::from_secs(299), now + Duration::from_mins(5));
        assert!(sessions.seen(&secret, soon).unwrap().is_fresh(soon));
        assert!(!sessions.seen(&secret, later).unwrap().is_fresh(later), "requests do not make it fresh");
    }

    #[test]
    fn a_session_that_ended_stays_so_and_so_do_all_of_a_name() {
        let (mut sessions, first, now) = signed_in(Role::Owner);
        let second = sessions.begin("mara", Role::Owner, now).unwrap();
        let third = sessions.begin("Jonte", Role::Fitter, now).unwrap();
        sessions.end_all_of("MARA", Some(&second));
        assert!(sessions.seen(&first, now).is_none() && sessions.seen(&second, now).is_some());
        sessions.end(&second);
        assert!(sessions.seen(&second, now).is_none() && sessions.seen(&third, now).is_some());
    }

    #[test]
    fn a_secret_is_of_256_bits_and_is_never_printed() {
        let (_, secret, _) = signed_in(Role::Owner);
        assert_eq!(secret.as_str().len(), 64);
        assert!(Secret::parse(secret.as_str()).is_some() && Secret::parse("0123").is_none());
        assert_eq!(format!("{secret:?}"), "Secret(..)");
    }

    #[test]
    fn many_sessions_fill_no_memory() {
        let (mut sessions, now) = (Sessions::default(), Instant::now());
        for _ in 0..300 {
            sessions.begin("Mara", Role::Fitter, now).unwrap();
        }
        assert_eq!(sessions.of("Mara", now).0, MOST);
    }
}
