//! Who may do what: accounts, sign-ins, and the way the first owner comes in.
//!
//! In reading order: who asks ([`visitor`]); what is taken as a password ([`password`]); who is signed in where
//! ([`sessions`]); what slows down guessing ([`throttle`]); the code of the first start ([`set_up_code`]).

mod outcome;
pub mod password;
pub mod sessions;
pub mod set_up_code;
pub mod throttle;
pub mod visitor;

use std::net::IpAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use indexer::error::StoreError;
use indexer::store::{Account, Role, StaffBook};
use tokio::sync::Semaphore;

use crate::clock::Moment;
use crate::events::{Event, NO_ACCOUNT};
pub use outcome::{NotKept, NotLetIn};
use sessions::{Secret, Session, SessionId, Sessions};
use set_up_code::SetUpCode;
use throttle::Throttle;
use visitor::Visitor;

/// Passwords hashed at a time: each takes 19 MiB and a processor.
pub const HASHED_AT_ONCE: usize = 2;
/// Characters of a name.
const LONGEST_NAME: usize = 40;

/// The staff of a shop and who of them is here.
pub struct Staff {
    held: Mutex<Held>,
    hashing: Semaphore,
    beyond_loopback: bool,
}

struct Held {
    book: StaffBook,
    has_accounts: bool,
    sessions: Sessions,
    throttle: Throttle,
    code: Option<SetUpCode>,
}

/// A try to sign in.
#[derive(Clone)]
pub struct Try {
    /// The name as typed.
    pub name: String,
    /// The password as typed.
    pub password: String,
    /// Where it comes from, when that is known.
    pub address: Option<IpAddr>,
}

/// Somebody who has just shown who they are.
#[derive(Clone, Debug)]
pub struct SignedIn {
    /// For the cookie.
    pub secret: Secret,
    /// As whom the request goes on.
    pub visitor: Visitor,
}

/// Its password stays out of every log.
impl std::fmt::Debug for Try {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Try(..)")
    }
}

/// One of the staff, for the owner to see.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// The name.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// Since when, in seconds since 1970.
    pub since: i64,
    /// On how many browsers they are signed in.
    pub signed_in: usize,
    /// How long ago the last of these was used.
    pub idle: Option<Duration>,
}

impl Staff {
    /// The staff in a book; `beyond_loopback` when other computers can reach the server.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn new(book: StaffBook, beyond_loopback: bool) -> Result<Self, StoreError> {
        let has_accounts = !book.is_empty()?;
        let held = Held {
            book,
            has_accounts,
            sessions: Sessions::default(),
            throttle: Throttle::default(),
            code: None,
        };
        let hashing = Semaphore::new(HASHED_AT_ONCE);
        Ok(Self { held: Mutex::new(held), hashing, beyond_loopback })
    }

    fn held(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whether anybody has an account.
    pub fn is_set_up(&self) -> bool {
        self.held().has_accounts
    }

    /// A code for the first owner, to be printed; `None` when nobody needs one: there are accounts, or only this
    /// computer can reach the server.
    pub fn set_up_code(&self, now: Instant) -> Option<String> {
        let mut held = self.held();
        if held.has_accounts || !self.beyond_loopback {
            return None;
        }
        held.code = SetUpCode::fresh(now);
        held.code.as_ref().map(ToString::to_string)
    }

    /// Whoever sends this secret, or none.
    pub fn visitor(&self, secret: Option<&Secret>, now: Instant) -> Visitor {
        let mut held = self.held();
        if !held.has_accounts {
            return if self.beyond_loopback { Visitor::BeforeSetUp } else { Visitor::AtTheComputer };
        }
        match secret.and_then(|secret| held.sessions.seen(secret, now)) {
            Some(session) => {
                let fresh = session.is_fresh(now);
                Visitor::SignedIn { name: session.name, role: session.role, fresh }
            }
            None => Visitor::SignedOut,
        }
    }

    /// Lets somebody in by name and password. A browser that is signed in as the same name goes on under a new
    /// secret; any other session it had ends.
    ///
    /// # Errors
    /// [`NotLetIn`], which does not tell a wrong name from a wrong password.
    pub async fn let_in(
        &self,
        tried: Try,
        before: Option<Secret>,
        now: Instant,
    ) -> Result<SignedIn, NotLetIn> {
        let account = self.asked(&tried, now)?;
        let (known, password) = (account.clone(), tried.password.clone());
        let fits = self.hashed(move || fits(known.as_ref(), &password)).await.ok_or(NotLetIn::Broken)?;
        let account = account.filter(|_| fits);
        let (secret, account) = self.admitted(account, &tried, before.as_ref(), now)?;
        self.renewed(&account, &tried.password).await;
        let visitor = Visitor::SignedIn { name: account.name, role: account.role, fresh: true };
        Ok(SignedIn { secret, visitor })
    }

    /// The account that is tried. The try counts before it is known to be wrong: a thousand sent at once are not all let
    /// through.
    fn asked(&self, tried: &Try, now: Instant) -> Result<Option<Account>, NotLetIn> {
        let mut held = self.held();
        let account = held.book.of(tried.name.trim())?;
        if let Some(wait) = held.throttle.wait(&tried.name, tried.address, now) {
            Event::SignInPutOff.tell_of(who(account.as_ref()), None, tried.address);
            return Err(NotLetIn::Wait(wait));
        }
        held.throttle.tried(&tried.name, tried.address, now);
        Ok(account)
    }

    /// Begins the session of an account whose password was right. Whoever was removed, or given another password, while
    /// that was worked out is not let in.
    fn admitted(
        &self,
        account: Option<Account>,
        tried: &Try,
        before: Option<&Secret>,
        now: Instant,
    ) -> Result<(Secret, Account), NotLetIn> {
        let mut held = self.held();
        let still = held.book.of(tried.name.trim())?;
        let Some(account) = account.filter(|account| still.as_ref() == Some(account)) else {
            Event::SignInRefused.tell_of(who(still.as_ref()), None, tried.address);
            return Err(NotLetIn::Wrong);
        };
        held.throttle.succeeded(&account.name, tried.address);
        if let Some(before) = before {
            held.sessions.end(before);
        }
        let secret = held.sessions.begin(&account.name, account.role, now).ok_or(NotLetIn::Broken)?;
        Event::SignedIn.tell_of(&account.name, None, tried.address);
        Ok((secret, account))
    }

    /// Keeps a password under today's parameters when its hash was made under others.
    async fn renewed(&self, account: &Account, password: &str) {
        if !password::is_dated(&account.password) {
            return;
        }
        let password = password.to_owned();
        if let Some(Some(hash)) = self.hashed(move || password::hash(&password)).await
            && let Err(fault) = self.held().book.set_password(&account.name, &hash)
        {
            tracing::warn!(%fault, "a hash could not be renewed");
        }
    }

    /// Does the work of a hash where it keeps nobody waiting, two at a time.
    async fn hashed<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Option<T> {
        let _turn = self.hashing.acquire().await.ok()?;
        tokio::task::spawn_blocking(work).await.ok()
    }

    /// Makes the first owner, by the code that was printed; at the computer itself no code is asked.
    ///
    /// # Errors
    /// [`NotKept`]; nothing is changed then.
    pub async fn set_up(&self, code: &str, first: Try, now: Moment) -> Result<SignedIn, NotKept> {
        {
            let mut held = self.held();
            if held.has_accounts {
                return Err(NotKept::WrongCode);
            }
            if let Some(wait) = held.throttle.wait("", first.address, now.instant) {
                return Err(NotKept::Wait(wait));
            }
            let right = held.code.as_ref().is_some_and(|own| own.is(code, now.instant));
            if self.beyond_loopback && !right {
                held.throttle.tried("", first.address, now.instant);
                Event::WrongCode.tell_of(NO_ACCOUNT, None, first.address);
                return Err(NotKept::WrongCode);
            }
        }
        self.add(&first.name, &first.password, Role::Owner, now.unix_seconds).await?;
        let mut held = self.held();
        held.code = None;
        let name = first.name.trim().to_owned();
        Event::SetUp.tell_of(&name, None, first.address);
        let secret = held.sessions.begin(&name, Role::Owner, now.instant).ok_or(NotKept::Broken)?;
        Ok(SignedIn { secret, visitor: Visitor::SignedIn { name, role: Role::Owner, fresh: true } })
    }

    /// Adds an account.
    ///
    /// # Errors
    /// [`NotKept`]; nothing is changed then.
    pub async fn add(&self, name: &str, password: &str, role: Role, at: i64) -> Result<(), NotKept> {
        let name = name.trim().to_owned();
        let reads = !name.is_empty() && !name.chars().any(char::is_control);
        if !reads || name.chars().count() > LONGEST_NAME {
            return Err(NotKept::Name);
        }
        if !self.is_set_up() && role != Role::Owner {
            return Err(NotKept::OwnerFirst);
        }
        let hash = self.hash_of(password, &name).await?;
        let mut held = self.held();
        if !held.book.add(&Account { name: name.clone(), role, password: hash, since: at })? {
            return Err(NotKept::Taken);
        }
        Event::AccountAdded.tell_about(&name);
        held.has_accounts = true;
        Ok(())
    }

    async fn hash_of(&self, password: &str, name: &str) -> Result<String, NotKept> {
        if let Some(weak) = password::weakness(password, name) {
            return Err(NotKept::Weak(weak));
        }
        let password = password.to_owned();
        self.hashed(move || password::hash(&password)).await.flatten().ok_or(NotKept::Broken)
    }

    /// Gives an account another password; its other browsers are signed out.
    ///
    /// # Errors
    /// [`NotKept`]; nothing is changed then.
    pub async fn set_password(
        &self,
        name: &str,
        password: &str,
        spared: Option<&Secret>,
    ) -> Result<(), NotKept> {
        let hash = self.hash_of(password, name).await?;
        let mut held = self.held();
        if !held.book.set_password(name, &hash)? {
            return Err(NotKept::Nobody);
        }
        held.sessions.end_all_of(name, spared);
        Event::PasswordChanged.tell_about(name);
        Ok(())
    }

    /// Removes an account and ends its sessions.
    ///
    /// # Errors
    /// [`NotKept`]; nothing is changed then.
    pub fn remove(&self, name: &str) -> Result<(), NotKept> {
        let mut held = self.held();
        if held.book.of(name)?.is_none() {
            return Err(NotKept::Nobody);
        }
        if !held.book.remove(name)? {
            return Err(NotKept::LastOwner);
        }
        held.has_accounts = !held.book.is_empty()?;
        held.sessions.end_all_of(name, None);
        Event::AccountRemoved.tell_about(name);
        Ok(())
    }

    /// Forgets sessions that are over and wrong passwords that count no longer.
    pub fn sweep(&self, now: Instant) {
        let mut held = self.held();
        held.sessions.sweep(now);
        held.throttle.sweep(now);
        held.code = held.code.take().filter(|code| !code.is_over(now));
    }

    /// How many sessions there are, and how many names and addresses that a wrong password was sent of.
    pub fn in_memory(&self) -> (usize, usize) {
        let held = self.held();
        (held.sessions.count(), held.throttle.count())
    }

    /// Signs a browser out.
    pub fn sign_out(&self, secret: &Secret) {
        self.held().sessions.end(secret);
        Event::SignedOut.tell();
    }

    /// Signs a name out everywhere, but where `spared` is used.
    pub fn sign_out_everywhere(&self, name: &str, spared: Option<&Secret>) {
        self.held().sessions.end_all_of(name, spared);
        Event::SessionsEnded.tell_about(name);
    }

    /// The open sessions of a name, or of everybody, the last used first.
    pub fn sessions(&self, name: Option<&str>, now: Instant) -> Vec<(SessionId, Session)> {
        self.held().sessions.open(name, now)
    }

    /// Ends sessions by their numbers, of one name alone where one is given; how many there were.
    pub fn end_sessions(&self, ids: &[SessionId], name: Option<&str>) -> usize {
        let mut ended = self.held().sessions.end_these(ids, name);
        let count = ended.len();
        ended.sort_unstable();
        ended.dedup();
        for name in ended {
            Event::SessionsEnded.tell_about(&name);
        }
        count
    }

    /// All of the staff, by name.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn members(&self, now: Instant) -> Result<Vec<Member>, StoreError> {
        let held = self.held();
        let member = |account: Account| {
            let (signed_in, seen) = held.sessions.of(&account.name, now);
            let idle = seen.map(|seen| now.saturating_duration_since(seen));
            Member { name: account.name, role: account.role, since: account.since, signed_in, idle }
        };
        Ok(held.book.all()?.into_iter().map(member).collect())
    }
}

/// Whose name was given, for the log.
fn who(account: Option<&Account>) -> &str {
    account.map_or(NO_ACCOUNT, |account| account.name.as_str())
}

/// Whether a password fits an account. Without an account as much work is done, so that the time taken does not tell
/// which names there are.
fn fits(account: Option<&Account>, password: &str) -> bool {
    if let Some(account) = account {
        return password::fits(password, &account.password);
    }
    let _ = password::hash(password);
    false
}

#[cfg(test)]
mod tests;
