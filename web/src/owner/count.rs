//! A count: the form as posted, what it would change in words, and what was done.

use std::collections::BTreeSet;

use catalogue::stock::{Quantity, Sku};
use indexer::count::{Count, Found, MOST_BYTES, Refused, Scanned, Scope};
use indexer::loaded::Seq;
use indexer::snapshot::Snapshot;
use indexer::store::Receipt;

use crate::labels::NOT_GIVEN;
use crate::pages::count::{CountPage, Preview};
use crate::parts::act::Act;
use crate::parts::fields::Choice;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::shoe;
use crate::words;

/// Its address.
pub const COUNT: &str = "/count";
/// The number of the last change when the preview was made.
const BASE: &str = "base";
/// The digest of the preview.
const SEEN: &str = "seen";
/// Rows of a table shown; the rest is counted.
const SHOWN: usize = 300;

/// The form as posted.
#[derive(Clone, Debug, Default)]
pub struct Posted {
    text: String,
    place: String,
    scope: Scope,
    /// Which preview is to be applied; `None` to look first.
    pub seen: Option<Seen>,
}

/// The preview that is to be applied.
#[derive(Clone, Debug)]
pub struct Seen {
    /// The last change it knew of.
    pub base: Seq,
    /// Its digest.
    pub digest: String,
}

impl Posted {
    /// Reads a posted form; what is missing is blank.
    pub fn read(body: &[u8]) -> Self {
        let (mut posted, mut base, mut digest) = (Self::default(), None, None);
        for (name, value) in form_urlencoded::parse(body) {
            match &*name {
                "text" => posted.text = value.into_owned(),
                "place" => posted.place = value.into_owned(),
                "scope" => posted.scope = Scope::from_word(&value).unwrap_or_default(),
                BASE => base = value.parse().ok(),
                SEEN => digest = Some(value.into_owned()),
                _ => {}
            }
        }
        posted.seen = base.zip(digest).map(|(base, digest)| Seen { base: Seq(base), digest });
        posted
    }

    /// What was scanned.
    ///
    /// # Errors
    /// The problem with its field.
    pub fn scanned(&self) -> Result<Scanned, Problem> {
        Scanned::new(self.text.clone(), &self.place, self.scope).map_err(|refused| {
            let field = match refused {
                Refused::Nothing | Refused::TooLong => "text",
                Refused::Place | Refused::NoPlace => "place",
            };
            Problem { field: field.to_owned(), say: words::made(&refused.to_string()) }
        })
    }
}

impl Seen {
    /// The key under which pressing again is the same count.
    pub fn key(&self) -> String {
        format!("count-{}-{}", self.base.0, self.digest)
    }
}

/// The page with what was posted, if anything.
pub fn page(posted: Posted, snapshot: &Snapshot) -> CountPage {
    CountPage {
        action: COUNT.to_owned(),
        done: None,
        overtaken: String::new(),
        problems: Vec::new(),
        most: format!("{} MB", MOST_BYTES / 1024 / 1024),
        // Text beyond the limit is not sent back: it would only be sent again.
        text: if posted.text.len() > MOST_BYTES { String::new() } else { posted.text },
        place: posted.place,
        places: places(snapshot),
        scopes: Scope::ALL.into_iter().map(choice).collect(),
        scope: posted.scope.word().to_owned(),
        preview: None,
    }
}

/// What a count would change, with the form that applies it.
pub fn preview(count: &Count, posted: &Posted, snapshot: &Snapshot) -> Preview {
    let differing: Vec<_> = count.found.iter().filter(|found| found.changes()).collect();
    let apply = Act::Post {
        action: COUNT.to_owned(),
        fields: [
            ("text", posted.text.clone()),
            ("place", posted.place.clone()),
            ("scope", posted.scope.word().to_owned()),
            (BASE, count.base.0.to_string()),
            (SEEN, count.digest.clone()),
        ]
        .map(|(name, value)| (name.to_owned(), value))
        .into(),
    };
    Preview {
        counts: counts(count, differing.len()),
        held: held(count),
        more_found: more_found(differing.len(), count.found.len() - differing.len()),
        found: found(&differing, count, snapshot),
        absent: absent(count, snapshot),
        absent_in_words: absent_in_words(count),
        absent_matters: count.empties(),
        apply: (!count.is_empty()).then_some(apply),
    }
}

/// What was done, as a sentence.
pub fn done(receipt: &Receipt) -> String {
    let Receipt { change, sizes, changed, pairs } = receipt;
    say!(
        "Counted as change {change}: {pairs} pairs of {sizes} sizes, {changed} of them another number.",
        change = change.0,
        pairs,
        sizes,
        changed
    )
}

fn places(snapshot: &Snapshot) -> Vec<String> {
    let places: BTreeSet<&str> = snapshot.skus().iter().filter_map(|sku| sku.place.as_deref()).collect();
    places.into_iter().map(ToOwned::to_owned).collect()
}

fn choice(scope: Scope) -> Choice {
    let label = match scope {
        Scope::Listed => say!("Only these were counted"),
        Scope::Shelf => say!("This is everything on that shelf"),
        Scope::Shop => say!("This is everything in the shop"),
    };
    Choice { value: scope.word().to_owned(), label: label.to_owned(), hint: String::new() }
}

fn counts(count: &Count, differing: usize) -> Vec<(String, u64, String)> {
    let none = if count.empties() { count.absent.len() } else { 0 };
    [
        (
            say!("Pairs"),
            count.pairs(),
            say!("counted from {held} lines", held = count.lines - count.held.len()),
        ),
        (say!("Sizes"), count.found.len() as u64, say!("found").to_owned()),
        (say!("Changed"), differing as u64, say!("of these: another number than believed").to_owned()),
        (say!("Become none"), none as u64, say!("believed there and not scanned").to_owned()),
        (say!("Held"), count.held.len() as u64, say!("lines that are not counted").to_owned()),
    ]
    .map(|(label, number, means)| (label.to_owned(), number, means))
    .into()
}

fn held(count: &Count) -> Table {
    let row = |held: &indexer::count::Held| {
        vec![
            Cell::text(held.line.to_string()),
            Cell::text(&held.text),
            Cell::text(crate::visit::capital(&words::made(&held.why.to_string()))),
        ]
    };
    let more = count.held.len().saturating_sub(SHOWN);
    let caption = if more > 0 {
        say!("The first {value}; {more} more", value = SHOWN, more)
    } else {
        say!("Lines that are not counted").to_owned()
    };
    Table {
        caption,
        heads: vec![
            Head::words(say!("Line")),
            Head::words(say!("Read")),
            Head::words(say!("Why, and what to do")),
        ],
        rows: count.held.iter().take(SHOWN).map(row).collect(),
    }
}

fn found(differing: &[&Found], count: &Count, snapshot: &Snapshot) -> Table {
    let row = |found: &&Found| {
        let mut size = Cell::text(size(&found.sku, snapshot)).linked(format!("/shoes/{}", found.sku.style));
        size.below = moved(found, count);
        let difference = match found.difference() {
            Some(0) => say!("as believed").to_owned(),
            Some(more) => format!("{more:+}"),
            None => say!("number was not known").to_owned(),
        };
        vec![
            size,
            believed(found.sku.quantity),
            Cell::text(found.pairs.to_string()),
            Cell::text(difference).differing(),
        ]
    };
    Table {
        caption: say!("Sizes found in another number than believed").to_owned(),
        heads: vec![
            Head::words(say!("Size")),
            Head::number(say!("Believed")),
            Head::number(say!("Counted")),
            Head::number(say!("Difference")),
        ],
        rows: differing.iter().take(SHOWN).map(row).collect(),
    }
}

fn more_found(differing: usize, as_believed: usize) -> String {
    let more = match differing.saturating_sub(SHOWN) {
        0 => String::new(),
        more => say!("And {more} more. ", more),
    };
    match as_believed {
        0 => more,
        1 => say!("{more}One size is there as believed.", more),
        sizes => say!("{more}{sizes} sizes are there as believed.", more, sizes),
    }
}

fn absent(count: &Count, snapshot: &Snapshot) -> Table {
    let becomes = if count.empties() { say!("none") } else { say!("stays as believed") };
    let row = |sku: &Sku| {
        let size = Cell::text(size(sku, snapshot)).linked(format!("/shoes/{}", sku.style));
        vec![size, believed(sku.quantity), Cell::text(becomes)]
    };
    Table {
        caption: say!("Believed there and not scanned").to_owned(),
        heads: vec![Head::words(say!("Size")), Head::number(say!("Believed")), Head::words(say!("Becomes"))],
        rows: count.absent.iter().take(SHOWN).map(row).collect(),
    }
}

fn absent_in_words(count: &Count) -> String {
    let where_ = match (&count.place, count.scope) {
        (_, Scope::Shop) => say!("in the shop").to_owned(),
        (Some(place), _) => say!("on {place}", place),
        (None, _) => return String::new(),
    };
    let (sizes, they) = match count.absent.len() {
        0 => return say!("Everything believed {where_} was scanned.", where_),
        1 => (say!("1 size").to_owned(), say!("it")),
        sizes => (say!("{sizes} sizes", sizes), say!("they")),
    };
    let becomes = match (count.scope, count.empties()) {
        (Scope::Listed, _) => say!("since only these were counted, nothing becomes of that").to_owned(),
        (_, true) => say!("with Apply, {they} will be counted as none", they),
        (_, false) => {
            say!("while lines above are not counted nothing becomes of that, for one may be the very shoe")
                .to_owned()
        }
    };
    let more = count.absent.len().saturating_sub(SHOWN);
    let shown = if more > 0 { say!(" The first {value} are listed.", value = SHOWN) } else { String::new() };
    say!("{sizes} believed {where_} without a scan: {becomes}.{shown}", sizes, where_, becomes, shown)
}

/// Where a size was believed to be, when it was found elsewhere.
fn moved(found: &Found, count: &Count) -> Option<String> {
    let (from, to) = (found.sku.place.as_deref()?, count.place.as_deref()?);
    (from != to).then(|| say!("moves from {from}: pairs left there are not counted", from))
}

fn believed(quantity: Option<Quantity>) -> Cell {
    match quantity {
        Some(Quantity::Some) => Cell::text("some"),
        Some(quantity) => Cell::text(quantity.to_string()),
        None => Cell { unknown: true, ..Cell::text(words::of(NOT_GIVEN)) },
    }
}

/// A size as one looks for it on the wall: `Feldrast Egge, grey, EU 42, D`.
fn size(sku: &Sku, snapshot: &Snapshot) -> String {
    let name =
        snapshot.style(&sku.style).map_or_else(|| sku.style.to_string(), |card| shoe::name(card.style));
    let label = sku.label.to_string();
    let parts = [&name, sku.colourway.as_str(), &label, sku.width.as_deref().unwrap_or_default()];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}
