//! Sheets that were sent in: being read, waiting for the owner's decision, or being applied. In memory: what is stored
//! is only ever a change.

use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use indexer::loaded::Seq;
use indexer::mapping::{Mapping, MappingFile};
use indexer::proposal::Counts;
use indexer::shop::{Progress, Understood};
use indexer::store::ChangeId;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::clock::Moment;
use crate::refusal::Refusal;

/// The number of a sheet in its address: 128 bits nobody can guess.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct SheetId(u128);

/// One sheet, wherever it stands.
#[derive(Clone)]
pub struct Sent {
    /// Its number.
    pub id: SheetId,
    /// The file's name.
    pub name: String,
    /// Bytes of the file.
    pub size: usize,
    /// Who sent it; blank for nobody.
    pub supplier: String,
    /// When it came.
    pub at: Moment,
    /// How far the work on it has come.
    pub progress: Arc<Progress>,
    /// Where it stands.
    pub state: State,
    /// Why the last work on it did nothing.
    pub refused: Option<Refusal>,
}

/// Where a sheet stands.
#[derive(Clone)]
pub enum State {
    /// It is being read.
    Reading,
    /// It could not be read.
    Unread(Refusal),
    /// It waits for the owner.
    Waits(Arc<WaitingSheet>),
    /// It is being applied.
    Applying(Arc<WaitingSheet>),
    /// It was applied.
    Applied(ChangeId),
}

/// A sheet, understood.
pub struct WaitingSheet {
    /// What was made of it.
    pub understood: Understood,
    /// What was said of it: reading it again starts from this.
    pub told: MappingFile,
    /// Where that came from.
    pub source: Source,
    /// How its headings would be read if nothing were said of them.
    pub guessed: Mapping,
    /// Another change has overtaken it: which one, and the counts before.
    pub overtaken: Option<(Seq, Counts)>,
}

/// Where a mapping comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// From the sheet itself.
    Guessed,
    /// From the last sheet with these headings, applied then, seconds since 1970.
    Remembered(i64),
    /// From a mapping file.
    File,
}

/// What a press of Apply meets.
pub enum Press {
    /// Now it is to be applied.
    Begin(Box<Sent>, Arc<WaitingSheet>),
    /// It is being applied, or was: an earlier press has done it.
    Done,
    /// Another reading waits than the one that was seen.
    Stale,
    /// There is no such sheet, or it is being read.
    Gone,
}

/// How much may wait.
#[derive(Clone, Copy, Debug)]
pub struct WaitingLimits {
    /// Sheets at a time; the oldest makes room.
    pub sheets: usize,
    /// Bytes of their files in all; the oldest makes room, the newest always stays.
    pub bytes: usize,
    /// How long a sheet waits.
    pub life: Duration,
    /// Sheets that are taken in at the same time; further ones wait for their turn.
    pub turns: usize,
    /// How long an answer waits for the work; afterwards the page says how far it is.
    pub patience: Duration,
}

/// All of them.
pub struct Waiting {
    limits: WaitingLimits,
    turns: Arc<Semaphore>,
    /// The oldest first.
    kept: Mutex<Vec<Sent>>,
}

impl WaitingLimits {
    /// The limits of a shop.
    pub const fn standard() -> Self {
        Self {
            sheets: 20,
            bytes: 100_000_000,
            life: Duration::from_hours(4),
            turns: 4,
            patience: Duration::from_millis(500),
        }
    }
}

impl Default for Waiting {
    fn default() -> Self {
        Self::new(WaitingLimits::standard())
    }
}

impl Waiting {
    /// None yet.
    pub fn new(limits: WaitingLimits) -> Self {
        Self { limits, turns: Arc::new(Semaphore::new(limits.turns)), kept: Mutex::default() }
    }

    /// Waits for a turn to take a sheet in. Whoever holds one may hold a whole file in memory.
    pub async fn turn(&self) -> Option<OwnedSemaphorePermit> {
        Arc::clone(&self.turns).acquire_owned().await.ok()
    }

    /// Waits until the work on a sheet is done, or patience is over: the sheet as it stands then.
    pub async fn settled(&self, id: SheetId, now: Instant) -> Option<Sent> {
        const GLANCE: Duration = Duration::from_millis(5);
        let done = async {
            while self.get(id, now).is_some_and(|sent| sent.is_worked_on()) {
                tokio::time::sleep(GLANCE).await;
            }
        };
        // Patience that is over is no fault: the sheet is then shown at work.
        let _ = tokio::time::timeout(self.limits.patience, done).await;
        self.get(id, now)
    }

    /// Keeps a sheet that is about to be read; `None` when the system has no random number for it.
    pub fn begin(&self, name: String, size: usize, supplier: String, at: Moment) -> Option<Sent> {
        let id = SheetId::fresh()?;
        let sent = Sent {
            id,
            name,
            size,
            supplier,
            at,
            progress: Arc::default(),
            state: State::Reading,
            refused: None,
        };
        let mut kept = self.living(at.instant);
        kept.push(sent.clone());
        make_room(&mut kept, &self.limits);
        Some(sent)
    }

    /// Begins to read a waiting sheet anew; `None` when it does not wait.
    pub fn begin_again(&self, id: SheetId, now: Instant) -> Option<(Sent, Arc<WaitingSheet>)> {
        let mut kept = self.living(now);
        let sent = kept.iter_mut().find(|sent| sent.id == id)?;
        let State::Waits(sheet) = &sent.state else { return None };
        let sheet = Arc::clone(sheet);
        sent.state = State::Reading;
        sent.progress = Arc::default();
        sent.refused = None;
        Some((sent.clone(), sheet))
    }

    /// Takes a press of Apply that saw this reading.
    pub fn press(&self, id: SheetId, seen: Option<&str>, now: Instant) -> Press {
        let mut kept = self.living(now);
        let Some(sent) = kept.iter_mut().find(|sent| sent.id == id) else { return Press::Gone };
        let sheet = match &sent.state {
            State::Waits(sheet) => Arc::clone(sheet),
            State::Applying(_) | State::Applied(_) => return Press::Done,
            State::Reading | State::Unread(_) => return Press::Gone,
        };
        if seen.is_some_and(|seen| seen != sheet.understood.proposal.digest) {
            return Press::Stale;
        }
        sent.state = State::Applying(Arc::clone(&sheet));
        sent.progress = Arc::default();
        sent.refused = None;
        Press::Begin(Box::new(sent.clone()), sheet)
    }

    /// Says where a sheet stands now; one that was left meanwhile stays away.
    pub fn set(&self, id: SheetId, state: State, refused: Option<Refusal>, now: Instant) {
        if let Some(sent) = self.living(now).iter_mut().find(|sent| sent.id == id) {
            sent.state = state;
            sent.refused = refused;
        }
    }

    /// The sheet of a number.
    pub fn get(&self, id: SheetId, now: Instant) -> Option<Sent> {
        self.living(now).iter().find(|sent| sent.id == id).cloned()
    }

    /// Forgets a sheet, and calls off what is being done for it. One that is being applied is called off and stays.
    pub fn leave(&self, id: SheetId, now: Instant) {
        self.living(now).retain(|sent| {
            if sent.id == id {
                sent.progress.cancel();
            }
            sent.id != id || matches!(sent.state, State::Applying(_))
        });
    }

    /// All of them, the newest first.
    pub fn list(&self, now: Instant) -> Vec<Sent> {
        self.living(now).iter().rev().cloned().collect()
    }

    /// A panic of an earlier caller leaves the sheets as they were: they hold no invariant across calls.
    fn living(&self, now: Instant) -> MutexGuard<'_, Vec<Sent>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|sent| now.saturating_duration_since(sent.at.instant) < self.limits.life);
        kept
    }
}

fn make_room(kept: &mut Vec<Sent>, limits: &WaitingLimits) {
    let bytes = |kept: &[Sent]| kept.iter().map(Sent::held).sum::<usize>();
    while kept.len() > limits.sheets || (kept.len() > 1 && bytes(kept) > limits.bytes) {
        kept.remove(0).progress.cancel();
    }
}

impl Sent {
    /// Whether it is being read or applied.
    pub fn is_worked_on(&self) -> bool {
        matches!(self.state, State::Reading | State::Applying(_))
    }

    /// Bytes held for it.
    fn held(&self) -> usize {
        match self.state {
            State::Applied(_) | State::Unread(_) => 0,
            _ => self.size,
        }
    }

    /// Its address.
    pub fn href(&self) -> String {
        self.id.href()
    }
}

impl SheetId {
    fn fresh() -> Option<Self> {
        let mut bytes = [0; 16];
        getrandom::fill(&mut bytes).ok()?;
        Some(Self(u128::from_be_bytes(bytes)))
    }

    /// A number read back from an address; `None` when it is not of a number's shape.
    pub fn parse(text: &str) -> Option<Self> {
        let shaped = text.len() == 32 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        shaped.then(|| u128::from_str_radix(text, 16).ok()).flatten().map(Self)
    }

    /// The address of the sheet.
    pub fn href(self) -> String {
        format!("/sheets/{self}")
    }
}

impl fmt::Display for SheetId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

impl fmt::Debug for SheetId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "SheetId({:08x}…)", self.0 >> 96)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::Clock;

    fn sent(waiting: &Waiting, size: usize) -> SheetId {
        let at = Clock::fixed(0).now();
        waiting.begin("a.csv".into(), size, String::new(), at).unwrap().id
    }

    fn ids(waiting: &Waiting) -> Vec<SheetId> {
        waiting.list(Instant::now()).iter().map(|sent| sent.id).collect()
    }

    #[test]
    fn the_oldest_sheet_makes_room_and_the_newest_stays() {
        let waiting = Waiting::new(WaitingLimits { sheets: 2, bytes: 20, ..WaitingLimits::standard() });
        let [_, second, third] = [0; 3].map(|_| sent(&waiting, 10));
        assert_eq!(ids(&waiting), [third, second], "too many");
        let large = sent(&waiting, 30);
        assert_eq!(ids(&waiting), [large], "too many bytes");
    }

    #[test]
    fn a_sheet_that_is_left_is_called_off_and_does_not_come_back() {
        let waiting = Waiting::default();
        let id = sent(&waiting, 10);
        let progress = waiting.get(id, Instant::now()).unwrap().progress;
        waiting.leave(id, Instant::now());
        assert!(progress.is_cancelled());
        waiting.set(id, State::Applied(ChangeId(1)), None, Instant::now());
        assert_eq!(ids(&waiting), []);
    }

    #[test]
    fn a_number_reads_back_and_is_not_the_next_of_another() {
        let waiting = Waiting::default();
        let (first, second) = (sent(&waiting, 1), sent(&waiting, 1));
        assert_eq!(SheetId::parse(&first.to_string()), Some(first));
        assert!(first.0.abs_diff(second.0) > u128::from(u32::MAX));
        assert_eq!(SheetId::parse("7"), None);
    }
}
