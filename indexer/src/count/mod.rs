//! Counting: codes as scanned, held against what the catalogue believes.
//!
//! Computed, never stored: nothing of a count is kept between looking at it and applying it but the text itself. A
//! count is a fact of its day; the next stock sheet may change it again.

mod line;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::fmt;

use catalogue::key::SkuKey;
use catalogue::stock::{Quantity, Sku};

pub use line::LineFault;

use crate::hash::sha256;
use crate::loaded::Seq;
use crate::snapshot::{Skus, Snapshot};
use line::Code;

/// Bytes of scanned text that are taken at a time: some seventy thousand scans.
pub const MOST_BYTES: usize = 1024 * 1024;
/// Characters of the name of a shelf.
pub const LONGEST_PLACE: usize = 40;

/// What of the shop the scanned codes are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Scope {
    /// Only these were counted.
    #[default]
    Listed,
    /// This is everything on the shelf.
    Shelf,
    /// This is everything in the shop.
    Shop,
}

/// What was scanned, where, and whether it is everything there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scanned {
    text: String,
    place: Option<String>,
    scope: Scope,
}

/// Why a count cannot be begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// Nothing was scanned.
    Nothing,
    /// More text than is taken.
    TooLong,
    /// No name of a shelf.
    Place,
    /// Everything on a shelf, and no shelf named.
    NoPlace,
}

/// What a count would change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Count {
    /// The state of the catalogue it was made at.
    pub base: Seq,
    /// The hash of what it would write and of what stands there now.
    pub digest: String,
    /// The shelf, spelled as the catalogue spells it.
    pub place: Option<String>,
    /// Whether this is everything.
    pub scope: Scope,
    /// Lines that hold anything.
    pub lines: usize,
    /// The sizes found, in the order of the catalogue.
    pub found: Vec<Found>,
    /// Sizes believed there and not scanned, in the order of the catalogue.
    pub absent: Vec<Sku>,
    /// Lines that are not counted.
    pub held: Vec<Held>,
}

/// A size that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// What the catalogue believes.
    pub sku: Sku,
    /// Pairs counted.
    pub pairs: u32,
}

/// A line that is not counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Its number in the text, from 1.
    pub line: usize,
    /// What it says.
    pub text: String,
    /// Why.
    pub why: Why,
}

/// Why a line is not counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// It cannot be read.
    Damaged(LineFault),
    /// No size has this code.
    Unknown,
    /// Several sizes have it.
    Several(Vec<SkuKey>),
}

/// A cell that a count writes.
pub(crate) struct Written<'c> {
    pub(crate) key: SkuKey,
    pub(crate) pairs: u32,
    pub(crate) place: Option<&'c str>,
    pub(crate) text: String,
}

impl Scope {
    /// All three, in reading order.
    pub const ALL: [Self; 3] = [Self::Listed, Self::Shelf, Self::Shop];

    /// Its word in forms and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Listed => "listed",
            Self::Shelf => "shelf",
            Self::Shop => "shop",
        }
    }

    /// The scope that `word` names.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|scope| scope.word() == word)
    }
}

impl Scanned {
    /// What was scanned; a blank place is none. An empty shelf may be counted, an empty shop may not.
    ///
    /// # Errors
    /// Nothing or too much scanned; a place that is none, or none where one is needed.
    pub fn new(text: String, place: &str, scope: Scope) -> Result<Self, Refused> {
        let place = place.trim();
        if place.chars().count() > LONGEST_PLACE || place.chars().any(char::is_control) {
            return Err(Refused::Place);
        }
        let place = Some(place.to_owned()).filter(|place| !place.is_empty());
        match scope {
            _ if text.len() > MOST_BYTES => Err(Refused::TooLong),
            Scope::Shelf if place.is_none() => Err(Refused::NoPlace),
            Scope::Listed | Scope::Shop if text.trim().is_empty() => Err(Refused::Nothing),
            _ => Ok(Self { text, place, scope }),
        }
    }
}

impl Count {
    /// What was scanned, against the catalogue as it is in this snapshot.
    pub fn of(scanned: &Scanned, snapshot: &Snapshot) -> Self {
        let place = scanned.place.as_deref().map(|place| as_spelled(place, snapshot.skus()));
        let mut count = Self {
            base: snapshot.seq(),
            digest: String::new(),
            place,
            scope: scanned.scope,
            lines: 0,
            found: Vec::new(),
            absent: Vec::new(),
            held: Vec::new(),
        };
        let pairs = count.read(&scanned.text, snapshot);
        let found = |(at, pairs): (&usize, &u32)| Found { sku: snapshot.skus()[*at].clone(), pairs: *pairs };
        count.found = pairs.iter().map(found).collect();
        // Without a shelf nothing is missed by a count of some sizes, and nobody looks for it.
        if count.place.is_some() || count.scope == Scope::Shop {
            let missed = snapshot.skus().iter().enumerate().filter(|(at, _)| !pairs.contains_key(at));
            let absent: Vec<Sku> =
                missed.map(|(_, sku)| sku).filter(|sku| count.expects(sku)).cloned().collect();
            count.absent = absent;
        }
        count.digest = count.hashed();
        count
    }

    /// Whether what is believed there and was not scanned becomes none: only when everything was counted, and every
    /// line was understood, for a line that is held may be the very shoe.
    pub fn empties(&self) -> bool {
        self.scope != Scope::Listed && self.held.is_empty()
    }

    /// Pairs counted.
    pub fn pairs(&self) -> u64 {
        self.found.iter().map(|found| u64::from(found.pairs)).sum()
    }

    /// Whether applying it writes anything.
    pub fn is_empty(&self) -> bool {
        self.written().next().is_none()
    }

    /// What it writes: of each size the pairs, and of what was found the shelf. A size found as believed is written
    /// too, for then the figure is of today.
    pub(crate) fn written(&self) -> impl Iterator<Item = Written<'_>> {
        let place = self.place.as_deref();
        let found = self.found.iter().map(move |found| Written {
            key: found.sku.key(),
            pairs: found.pairs,
            place,
            text: place.map_or_else(|| "counted".to_owned(), |place| format!("counted on {place}")),
        });
        let absent = self.absent.iter().filter(|_| self.empties()).map(|sku| Written {
            key: sku.key(),
            pairs: 0,
            place: None,
            text: "not found when everything was counted".to_owned(),
        });
        found.chain(absent)
    }

    /// Reads the text: pairs by the place of their size; what cannot be counted is held.
    fn read(&mut self, text: &str, snapshot: &Snapshot) -> BTreeMap<usize, u32> {
        let mut pairs: BTreeMap<usize, u32> = BTreeMap::new();
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        for (at, said) in text.lines().enumerate().filter(|(_, said)| !said.trim().is_empty()) {
            self.lines += 1;
            match named(said, snapshot) {
                Ok((at, more)) => {
                    let so_far = pairs.entry(at).or_default();
                    *so_far = so_far.saturating_add(more);
                }
                Err(why) => self.held.push(Held { line: at + 1, text: shortened(said), why }),
            }
        }
        pairs
    }

    /// Whether a size is believed to be where was counted. One of unknown number may be there too.
    fn expects(&self, sku: &Sku) -> bool {
        let there = match (&self.place, self.scope) {
            (_, Scope::Shop) => true,
            (Some(place), _) => sku.place.as_ref().is_some_and(|at| folded(at) == folded(place)),
            (None, _) => false,
        };
        there && sku.quantity != Some(Quantity::Pairs(0))
    }

    fn hashed(&self) -> String {
        let skus = self.found.iter().map(|found| &found.sku).chain(&self.absent);
        let before: Vec<_> = skus.map(|sku| (sku.key(), sku.quantity, &sku.place)).collect();
        let after: Vec<_> = self.written().map(|cell| (cell.key, cell.pairs, cell.place)).collect();
        sha256(format!("{:?} {before:?} {after:?}", self.scope).as_bytes())
    }
}

impl Found {
    /// How many pairs more than believed; `None` where no number is believed.
    pub fn difference(&self) -> Option<i64> {
        match self.sku.quantity {
            Some(Quantity::Pairs(believed)) => Some(i64::from(self.pairs) - i64::from(believed)),
            Some(Quantity::AtLeast(least)) if self.pairs < least => {
                Some(i64::from(self.pairs) - i64::from(least))
            }
            Some(Quantity::AtLeast(_) | Quantity::Some) | None => None,
        }
    }

    /// Whether the figure changes.
    pub fn changes(&self) -> bool {
        self.sku.quantity != Some(Quantity::Pairs(self.pairs))
    }
}

/// The place of the size that a line names, and its pairs.
fn named(said: &str, snapshot: &Snapshot) -> Result<(usize, u32), Why> {
    let (code, pairs) = line::read(said).map_err(Why::Damaged)?;
    let places: Vec<usize> = match &code {
        Code::Gtin(gtin) => snapshot.places_of_gtin(*gtin).collect(),
        Code::Key(key) => snapshot.place_of_key(key.as_str()).into_iter().collect(),
    };
    match places[..] {
        [] => Err(Why::Unknown),
        [at] => Ok((at, pairs)),
        _ => Err(Why::Several(places.iter().map(|at| snapshot.skus()[*at].key()).collect())),
    }
}

/// A shelf as the catalogue spells it, where it knows one that differs by case and blanks alone.
fn as_spelled(place: &str, skus: &Skus) -> String {
    let known = skus.iter().filter_map(|sku| sku.place.as_deref());
    known.filter(|at| folded(at) == folded(place)).min().unwrap_or(place).to_owned()
}

fn folded(place: &str) -> String {
    place.split_whitespace().collect::<String>().to_lowercase()
}

/// The beginning of a line: what is shown of it.
fn shortened(line: &str) -> String {
    const SHOWN: usize = 60;
    let line = line.trim();
    if line.chars().count() <= SHOWN {
        return line.to_owned();
    }
    line.chars().take(SHOWN).chain(['…']).collect()
}

impl Why {
    /// Its word, for machines.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Damaged(fault) => fault.word(),
            Self::Unknown => "unknown",
            Self::Several(_) => "several",
        }
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Damaged(fault) => write!(f, "{fault}"),
            Self::Unknown => f.write_str(
                "no size in the catalogue has this code. Import the sheet that lists it, or take the line out.",
            ),
            Self::Several(keys) => {
                let keys: Vec<_> = keys.iter().map(SkuKey::as_str).collect();
                write!(f, "several sizes have this code. Write the key instead: {}.", keys.join(" or "))
            }
        }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("No code was scanned. Scan or paste codes, one a line."),
            Self::TooLong => write!(
                f,
                "At most {} MB of codes are taken at a time. Count shelf by shelf.",
                MOST_BYTES / 1024 / 1024
            ),
            Self::Place => {
                write!(
                    f,
                    "The name of a shelf has at most {LONGEST_PLACE} characters, in one line. Shorten it."
                )
            }
            Self::NoPlace => {
                f.write_str("Everything on which shelf? Name it, or choose another answer below.")
            }
        }
    }
}
