//! The owner's day, from the ledger, the gaps, the stock and the nameless tally.

use catalogue::key::StyleKey;
use catalogue::stock::Sku;
use indexer::gaps::{Low, Shoe, holes, low_sizes};
use indexer::shop::Keeping;
use indexer::snapshot::Snapshot;
use indexer::store::{Counted, RecordedChange, TallyLine};

use super::changes::{because, counts, what};
use super::gaps_query::GAPS;
use super::keeping::kept;
use crate::pages::day::{DayPage, Noted};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::visit::date::{day, minute};
use crate::visit::{number_of, shoe};
use crate::words;

/// Its address.
pub const DAY: &str = "/day";
/// The fields of *Dealt with*.
pub const COUNTED: &str = "counted";
/// The key of what is dealt with.
pub const KEY: &str = "key";

/// Seconds of a day.
const A_DAY: i64 = 86_400;
/// Lines of one part.
const SHOWN: usize = 20;
/// Styles with low sizes that are named, and sizes of each.
const LOW_NAMED: usize = 10;
const SIZES_NAMED: usize = 6;

/// What the day is made of.
pub struct Day<'a> {
    /// The catalogue.
    pub snapshot: &'a Snapshot,
    /// Its shoes with their suppliers.
    pub shoes: &'a [Shoe<'a>],
    /// The latest changes, newest first.
    pub changes: &'a [RecordedChange],
    /// What was counted in the fitting room.
    pub tallies: &'a [TallyLine],
    /// How the catalogue is kept; `None` where it is in memory.
    pub keeping: Option<&'a Keeping>,
    /// Now, seconds since 1970.
    pub now: i64,
}

impl Day<'_> {
    /// The page.
    pub fn page(&self) -> DayPage {
        let few = self.snapshot.policy().few_pairs;
        let low = low_sizes(self.shoes, few.into());
        let changed = self.changes.first().map(|change| change.at);
        DayPage {
            kept: kept(self.keeping, changed, self.now),
            last_import: self.last_import(),
            since: self.since(),
            holes: self.holes(),
            recount: self.of(|counted| counted == Counted::NotOnShelf, Self::recount),
            wanted: self.of(|counted| counted == Counted::Wanted, Self::wanted),
            on_foot: self.of(|counted| matches!(counted, Counted::OnFoot(_)), Self::on_foot),
            low: low.iter().take(LOW_NAMED).filter_map(|low| self.low(low)).collect(),
            low_more: low.len().saturating_sub(LOW_NAMED),
            few: say!(
                "In brackets the pairs that are left: sizes with {few} or fewer, between sizes with more; the number is in the policy.",
                few = number_of(few.into(), say!("pair"), say!("pairs"))
            ),
        }
    }

    fn last_import(&self) -> Noted {
        let last = self.changes.iter().find(|change| change.kind == "import" && !change.undone);
        last.map_or_else(
            || Noted::plain(say!("No sheet has been imported yet, or the last ones were taken back.")),
            change_line,
        )
    }

    fn since(&self) -> Vec<Noted> {
        let since = self.changes.iter().filter(|change| change.at > self.now - A_DAY);
        since.take(SHOWN).map(change_line).collect()
    }

    fn holes(&self) -> Noted {
        let missing: usize = holes(self.shoes).iter().map(|hole| hole.missing).sum();
        let link = Link::new(say!("What, and of whom to ask it"), GAPS);
        Noted {
            link: Some(link),
            ..Noted::plain(say!(
                "{missing} not given.",
                missing = number_of(missing, say!("value"), say!("values"))
            ))
        }
    }

    /// The lines of one kind; what the catalogue no longer holds is passed over.
    fn of(
        &self,
        is: impl Fn(Counted) -> bool,
        say: impl Fn(&Self, &TallyLine) -> Option<Noted>,
    ) -> Vec<Noted> {
        let lines = self.tallies.iter().filter(|line| is(line.counted));
        lines.filter_map(|line| say(self, line)).take(SHOWN).collect()
    }

    fn recount(&self, line: &TallyLine) -> Option<Noted> {
        let sku = self.sku(&line.key)?;
        let card = self.snapshot.style(&sku.style)?;
        let place = sku.place.as_ref().map_or_else(String::new, |place| format!(", {place}"));
        let told = sku
            .quantity
            .map_or_else(|| say!("pairs not given").to_owned(), |pairs| say!("{pairs} by the sheets", pairs));
        let say = format!("{} {}{place}: {told}", shoe::name(card.style), size(sku));
        let count = Link::new(say!("Count it"), "/count");
        Some(Noted { say, soft: times(line), link: Some(count), settle: Some(settle(line)) })
    }

    fn wanted(&self, line: &TallyLine) -> Option<Noted> {
        let (style, size) = line.key.split_once(' ')?;
        let card = self.snapshot.style(&StyleKey::parse(style)?)?;
        let say = say!("{card} in {size}", card = shoe::name(card.style), size);
        let page = Link::new(say!("The shoe"), shoe::href(card.style));
        Some(Noted { say, soft: times(line), link: Some(page), settle: Some(settle(line)) })
    }

    fn on_foot(&self, line: &TallyLine) -> Option<Noted> {
        let Counted::OnFoot(remark) = line.counted else { return None };
        let card = self.snapshot.style(&StyleKey::parse(&line.key)?)?;
        let say = format!("{}: {}", shoe::name(card.style), words::of(remark.shop_note()));
        let note =
            Link::new(say!("Make it a shop note"), format!("{}/edit#shop_note", shoe::href(card.style)));
        Some(Noted { say, soft: times(line), link: Some(note), settle: Some(settle(line)) })
    }

    fn low(&self, low: &Low) -> Option<Noted> {
        let card = self.snapshot.style(&low.style)?;
        let named = low.sizes.iter().take(SIZES_NAMED);
        let mut sizes: Vec<String> = named.map(|(size, pairs)| format!("{size} ({pairs})")).collect();
        sizes.extend(
            low.sizes.len().checked_sub(SIZES_NAMED + 1).map(|more| say!("{more} more", more = more + 1)),
        );
        let page = Link::new(say!("The shoe"), shoe::href(card.style));
        let say = format!("{}: {}", shoe::name(card.style), sizes.join(", "));
        Some(Noted { link: Some(page), ..Noted::plain(say) })
    }

    fn sku(&self, key: &str) -> Option<&Sku> {
        self.snapshot.sku(key)
    }
}

fn change_line(change: &RecordedChange) -> Noted {
    let rows = change.rows.map_or_else(String::new, |rows| format!(", {}", counts(rows)));
    Noted {
        say: format!("{}{}", what(change), because(change)),
        soft: format!("{}{rows}", minute(change.at)),
        link: Some(Link::new(
            say!("Change {change}", change = change.id.0),
            format!("/changes/{}", change.id.0),
        )),
        settle: None,
    }
}

fn size(sku: &Sku) -> String {
    let width = sku.width.as_ref().map_or_else(String::new, |width| format!(" {width}"));
    let colourway = if sku.colourway.is_empty() { String::new() } else { format!(" {}", sku.colourway) };
    format!("{}{width}{colourway}", sku.label)
}

/// `3 times, last on 26 November 2026`.
fn times(line: &TallyLine) -> String {
    let times =
        if line.times == 1 { say!("once").to_owned() } else { say!("{times} times", times = line.times) };
    let last = if line.times == 1 { say!("on") } else { say!("last on") };
    format!("{times}, {last} {}", day(line.last_day * A_DAY))
}

fn settle(line: &TallyLine) -> Act {
    let fields = [(COUNTED, line.counted.word()), (KEY, line.key.as_str())];
    let fields = fields.map(|(name, value)| (name.to_owned(), value.to_owned())).into();
    Act::Post { action: format!("{DAY}/settle"), fields }
}
