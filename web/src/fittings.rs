//! The fittings of today, in memory only: what a visit has gathered, until it is closed or four hours are over.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use catalogue::key::{SkuKey, StyleKey};
use catalogue::runner::Runner;
use indexer::loaded::Seq;
use indexer::ranked::Standing;

use crate::config::FittingLimits;
use crate::fitting_name::FittingName;
use crate::parts::Drawn;
use crate::parts::form::Answers;
use crate::request::shoes::ShoesQuery;
use crate::request::shows::Shows;
use crate::shelf::Shelf;
use crate::tries::{Tries, Try};
use crate::words::Language;

/// One customer's visit. No `Debug`: what a runner said must not reach a log by way of a slip. A request works on a
/// copy, so that no page is made while the fittings are locked.
#[derive(Clone)]
pub struct Fitting {
    /// What it is called on the desk.
    pub name: FittingName,
    /// What was asked and seen.
    pub runner: Runner,
    /// The answers behind the runner, as they were typed.
    pub answers: Answers,
    /// The order as it was last computed; it stands until Refresh.
    pub order: Option<FrozenOrder>,
    /// The shoes set side by side, in the order in which they were taken.
    pub shortlist: Vec<StyleKey>,
    /// The shoe that goes home; always one of the shortlist.
    pub chosen: Option<StyleKey>,
    /// What hurt is printed on the card.
    pub prints_hurt: bool,
    /// The shoes put on the foot.
    pub tries: Tries,
    /// What the fitter said of single shoes.
    pub marks: BTreeMap<StyleKey, Mark>,
    /// Chips that were taken off, by their key in the URL.
    pub removed_chips: BTreeSet<String>,
    /// What the fitter filters by beside the runner's own filters; it only narrows.
    pub added: ShoesQuery,
    /// The sizes that were asked for and are not there, each counted once: the style's key, a space, the size.
    pub wanted: BTreeSet<String>,
    /// What the last answer changed in the order, in words.
    pub changed: Option<String>,
    opened: Instant,
}

/// An order at one state of the catalogue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrozenOrder {
    /// The state it was computed at.
    pub seq: Seq,
    /// The styles, best first, each with its group.
    pub places: Vec<(StyleKey, Standing)>,
}

/// A shoe pinned to the top or skipped, and why. The reason is chosen, never typed: free text could hold anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Pinned or skipped.
    pub kind: MarkKind,
    /// Why, when it was said.
    pub reason: Option<MarkReason>,
}

/// What becomes of a marked shoe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// It stands first.
    Pinned,
    /// It stands last.
    Skipped,
}

/// Why a shoe was pinned or skipped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkReason {
    /// How it feels on the foot.
    Comfort,
    /// Length, width or hold.
    Size,
    /// Looks.
    Looks,
    /// Price.
    Price,
    /// The runner knows it already.
    Known,
    /// The fitter's own judgement.
    Fitter,
}

/// The unguessable address of a fitting: 128 bits from the operating system, printed as 32 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct FittingId(u128);

/// A fitting as the desk lists it.
#[derive(Clone, Copy)]
pub struct OpenFitting {
    /// Its address.
    pub id: FittingId,
    /// Its name.
    pub name: FittingName,
    /// When it was opened.
    pub opened: Instant,
}

/// Why no fitting was opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotOpened {
    /// As many are open as may be.
    #[error(
        "{0} fittings are open, and no more are kept at a time. Close one at the desk, then start this one again."
    )]
    Full(usize),
    /// The operating system gives no random number.
    #[error(
        "This computer gives no random number for the fitting's address. Try again; restart it if that does not help."
    )]
    NoRandomNumber,
}

/// All open fittings.
pub struct Fittings {
    limits: FittingLimits,
    open: Mutex<HashMap<FittingId, Kept>>,
}

/// A fitting with its list as it was last drawn: whoever comes back to it from another page changes nothing, and its rows
/// are most of the work. It is forgotten with the fitting.
struct Kept {
    fitting: Fitting,
    /// Goes up with every chance to change the fitting.
    revision: u64,
    list: Option<Arc<DrawnList>>,
}

/// A fitting as it was read: a copy, its revision, and the list that was drawn of this revision.
pub struct Read {
    /// The copy.
    pub fitting: Fitting,
    /// Of which revision it is.
    pub revision: u64,
    /// The list, drawn.
    pub list: Option<Arc<DrawnList>>,
}

/// The list of a fitting, drawn.
pub struct DrawnList {
    /// What it was drawn from.
    pub from: DrawnFrom,
    /// The drawing.
    pub body: Drawn,
}

/// All that a list is drawn from beside the fitting.
#[derive(PartialEq, Eq)]
pub struct DrawnFrom {
    /// The state of the catalogue.
    pub seq: Seq,
    /// What was known of boxes.
    pub shelf: Shelf,
    /// The language.
    pub language: Language,
    /// What of it is shown.
    pub shows: Shows,
}

impl Fittings {
    /// None open yet.
    pub fn new(limits: FittingLimits) -> Self {
        Self { limits, open: Mutex::default() }
    }

    /// Opens a fitting for `runner`, under a name that no open one has.
    pub fn open(&self, runner: Runner, now: Instant) -> Result<FittingId, NotOpened> {
        let id = FittingId::fresh()?;
        let mut open = self.living(now);
        let full = NotOpened::Full(open.len());
        if open.len() >= self.limits.open {
            return Err(full);
        }
        let taken: Vec<FittingName> = open.values().map(|kept| kept.fitting.name).collect();
        let name = FittingName::free(id.0 as u8, |name| taken.contains(&name)).ok_or(full)?;
        open.insert(id, Kept { fitting: Fitting::new(name, runner, now), revision: 0, list: None });
        Ok(id)
    }

    /// What `act` makes of the fitting `id`; `None` when it is closed, has ended or never was. `act` must not come
    /// back to the fittings: they are locked meanwhile.
    pub fn with<T>(&self, id: &FittingId, now: Instant, act: impl FnOnce(&mut Fitting) -> T) -> Option<T> {
        self.living(now).get_mut(id).map(|kept| {
            kept.revision += 1;
            kept.list = None;
            act(&mut kept.fitting)
        })
    }

    /// A copy of the fitting `id`, with its list where that was drawn since the last change.
    pub fn read(&self, id: &FittingId, now: Instant) -> Option<Read> {
        self.living(now).get(id).map(|kept| Read {
            fitting: kept.fitting.clone(),
            revision: kept.revision,
            list: kept.list.clone(),
        })
    }

    /// Keeps the list of a fitting as it was drawn of a revision; a fitting that has changed since keeps nothing.
    pub fn keep(&self, id: &FittingId, now: Instant, revision: u64, list: DrawnList) {
        if let Some(kept) = self.living(now).get_mut(id).filter(|kept| kept.revision == revision) {
            kept.list = Some(Arc::new(list));
        }
    }

    /// Closes a fitting and forgets all of it; the shoes that were tried come back, to be counted without saying of
    /// whom. `None` when it was not open.
    pub fn close(&self, id: &FittingId, now: Instant) -> Option<Tries> {
        self.living(now).remove(id).map(|kept| kept.fitting.tries)
    }

    /// The open fittings, first opened first.
    pub fn list(&self, now: Instant) -> Vec<OpenFitting> {
        let open = self.living(now);
        let mut list: Vec<_> = open
            .iter()
            .map(|(id, Kept { fitting, .. })| OpenFitting {
                id: *id,
                name: fitting.name,
                opened: fitting.opened,
            })
            .collect();
        list.sort_by_key(|fitting| (fitting.opened, fitting.id.0));
        list
    }

    /// The boxes that are out with an open fitting, each with its name.
    pub fn boxes_out(&self, now: Instant) -> Vec<(SkuKey, FittingId, FittingName)> {
        let open = self.living(now);
        let of = |(id, Kept { fitting, .. }): (&FittingId, &Kept)| {
            let boxes = fitting.tries.shoes.iter().flat_map(Try::boxes).cloned();
            let (id, name) = (*id, fitting.name);
            boxes.map(move |sku| (sku, id, name)).collect::<Vec<_>>()
        };
        open.iter().flat_map(of).collect()
    }

    /// Forgets the fittings whose time is over. Every other call does so first; this one is for a quiet evening.
    pub fn sweep(&self, now: Instant) {
        drop(self.living(now));
    }

    /// A panic of an earlier caller leaves the fittings as they were: they hold no invariant across calls.
    fn living(&self, now: Instant) -> MutexGuard<'_, HashMap<FittingId, Kept>> {
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        open.retain(|_, kept| now.saturating_duration_since(kept.fitting.opened) < self.limits.life);
        open
    }
}

impl Fitting {
    fn new(name: FittingName, runner: Runner, opened: Instant) -> Self {
        Self {
            name,
            runner,
            answers: Answers::default(),
            order: None,
            shortlist: Vec::new(),
            chosen: None,
            prints_hurt: false,
            tries: Tries::default(),
            marks: BTreeMap::new(),
            removed_chips: BTreeSet::new(),
            added: ShoesQuery::default(),
            wanted: BTreeSet::new(),
            changed: None,
            opened,
        }
    }
}

impl FittingId {
    fn fresh() -> Result<Self, NotOpened> {
        let mut bytes = [0; 16];
        getrandom::fill(&mut bytes).map_err(|_| NotOpened::NoRandomNumber)?;
        Ok(Self(u128::from_be_bytes(bytes)))
    }

    /// An id read back from an address; `None` when it is not of an id's shape.
    pub fn parse(text: &str) -> Option<Self> {
        let shaped = text.len() == 32 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        shaped.then(|| u128::from_str_radix(text, 16).ok()).flatten().map(Self)
    }
}

impl fmt::Display for FittingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:032x}", self.0)
    }
}

/// Who holds the id holds the fitting: a log gets the first digits at most.
impl fmt::Debug for FittingId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "FittingId({:08x}…)", self.0 >> 96)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    const LIMITS: FittingLimits = FittingLimits { open: 3, life: Duration::from_hours(4) };

    fn opened() -> (Fittings, FittingId, Instant) {
        let (fittings, now) = (Fittings::new(LIMITS), Instant::now());
        let id = fittings.open(Runner::default(), now).unwrap();
        (fittings, id, now)
    }

    fn drawn() -> DrawnList {
        let (shelf, shows) = (Shelf::default(), Shows::default());
        let from = DrawnFrom { seq: Seq(1), shelf, language: Language::English, shows };
        DrawnList { from, body: crate::parts::layout::nothing() }
    }

    #[test]
    fn a_list_is_kept_as_drawn_until_the_fitting_changes_and_no_longer() {
        let (fittings, id, now) = opened();
        let read = || fittings.read(&id, now).unwrap();
        let before = read().revision;
        fittings.keep(&id, now, before, drawn());
        assert!(read().list.is_some());
        fittings.with(&id, now, |fitting| fitting.prints_hurt = true).unwrap();
        assert!(read().list.is_none());
        fittings.keep(&id, now, before, drawn());
        assert!(read().list.is_none(), "a list of before is not that of now");
        fittings.close(&id, now).unwrap();
        assert!(fittings.read(&id, now).is_none());
    }

    #[test]
    fn a_fitting_keeps_what_it_was_told_until_it_is_closed() {
        let (fittings, id, now) = opened();
        let key = StyleKey::parse("fennick.fm-310").unwrap();
        fittings.with(&id, now, |fitting| fitting.shortlist.push(key.clone()));
        assert_eq!(fittings.with(&id, now, |fitting| fitting.shortlist.clone()), Some(vec![key]));
        assert_eq!(fittings.close(&id, now), Some(Tries::default()));
        assert_eq!(fittings.close(&id, now), None);
        assert_eq!(fittings.with(&id, now, |_| ()), None);
        assert!(fittings.list(now).is_empty());
    }

    #[test]
    fn a_fitting_ends_after_four_hours_however_it_is_looked_at() {
        let (fittings, id, now) = opened();
        let last = LIMITS.life.saturating_sub(Duration::from_secs(1));
        assert!(fittings.with(&id, now + last, |_| ()).is_some());
        assert!(fittings.with(&id, now + LIMITS.life, |_| ()).is_none());
        let (fittings, _, now) = opened();
        fittings.sweep(now + LIMITS.life);
        assert!(fittings.list(now).is_empty(), "swept, not only hidden");
    }

    #[test]
    fn two_open_fittings_never_share_a_name_or_an_id() {
        let limits = FittingLimits { open: FittingName::COUNT, ..LIMITS };
        let (fittings, now) = (Fittings::new(limits), Instant::now());
        let ids: BTreeSet<_> = (0..FittingName::COUNT)
            .map(|_| fittings.open(Runner::default(), now).unwrap().to_string())
            .collect();
        let names: BTreeSet<_> = fittings.list(now).iter().map(|fitting| fitting.name.to_string()).collect();
        assert_eq!((ids.len(), names.len()), (FittingName::COUNT, FittingName::COUNT));
    }

    #[test]
    fn a_full_desk_says_so_and_an_ended_fitting_makes_room() {
        let (fittings, _, now) = opened();
        for _ in 1..LIMITS.open {
            fittings.open(Runner::default(), now).unwrap();
        }
        assert_eq!(fittings.open(Runner::default(), now), Err(NotOpened::Full(3)));
        assert!(fittings.open(Runner::default(), now + LIMITS.life).is_ok());
    }

    #[test]
    fn an_id_reads_back_and_nothing_else_is_one() {
        let (_, id, _) = opened();
        assert_eq!(FittingId::parse(&id.to_string()), Some(id));
        for text in ["", "0", "0123456789ABCDEF0123456789ABCDEF", "+123456789abcdef0123456789abcdef"] {
            assert_eq!(FittingId::parse(text), None, "{text:?}");
        }
    }

    #[test]
    fn the_log_sees_a_part_of_an_id_only() {
        let id = FittingId::parse("0123456789abcdef0123456789abcdef").unwrap();
        assert_eq!(format!("{id:?}"), "FittingId(01234567…)");
    }
}
