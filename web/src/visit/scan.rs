//! A scan or words inside a fitting: the shoe, where it stands in this order and why, or which filter hides it.

use std::collections::BTreeSet;

use catalogue::rank::Group as Place;
use catalogue::stock::Sku;
use indexer::ranked::Standing;
use indexer::search::{Counts, Search};
use indexer::snapshot::{Snapshot, StyleCard};
use indexer::words::WordsError;

use super::narrow::Narrowed;
use super::order::Shown;
use super::rows::Rows;
use super::{Visit, capital, groups, hidden, number_of, pairs, shoe, why};
use crate::browse::narrow::SHOES;
use crate::browse::told;
use crate::pages::scan::{NextStep, ScanFound, ScanPage, ScanShoe};
use crate::parts::Link;
use crate::parts::ranked_row::{RankedRow, RowStep};
use crate::request::scan::Scanned;
use crate::request::shoes::ShoesQuery;
use crate::shelf::Shelf;

/// As many shoes of the same words are shown.
const MOST: usize = 8;

/// The order of a fitting and what its filters leave of it.
pub type Order<'a> = (&'a Shown, &'a Narrowed, &'a Shelf);

/// The shoes that a scan or words mean.
pub struct Meant<'s> {
    /// The shoes, at most `MOST` of them.
    pub cards: Vec<StyleCard<'s>>,
    /// The sizes whose box carries the code.
    pub boxes: Vec<&'s Sku>,
    /// How many shoes there are.
    pub total: usize,
    /// What was done to the words to find them.
    pub told: Vec<String>,
}

/// What was put in, read with the numbers that this catalogue knows.
pub fn read(raw: &str, snapshot: &Snapshot) -> Scanned {
    Scanned::read(raw, &|gtin| snapshot.by_gtin(gtin).next().is_some())
}

/// The shoes of a number, else those that hold the text as words.
///
/// # Errors
/// The words are too long or too many, or could not be looked up.
pub fn meant<'s>(scanned: &Scanned, snapshot: &'s Snapshot) -> Result<Meant<'s>, WordsError> {
    let boxes: Vec<&Sku> = scanned.gtin.iter().flat_map(|gtin| snapshot.by_gtin(*gtin)).collect();
    let keys: BTreeSet<_> = boxes.iter().map(|sku| &sku.style).collect();
    if !keys.is_empty() {
        let cards: Vec<_> = keys.into_iter().filter_map(|key| snapshot.style(key)).collect();
        return Ok(Meant { total: cards.len(), cards, boxes, told: Vec::new() });
    }
    if !scanned.text.chars().any(char::is_alphanumeric) {
        return Ok(Meant { cards: Vec::new(), boxes, total: 0, told: Vec::new() });
    }
    let search =
        Search { words: scanned.text.clone(), counts: Counts::None, limit: Some(MOST), ..Search::default() };
    let found = snapshot.search(&search, None)?;
    let cards = found.hits.iter().filter_map(|hit| snapshot.card(hit.row)).collect();
    let told = told::sentences(&found.told, snapshot);
    Ok(Meant { cards, boxes, total: found.total as usize, told })
}

/// The page inside a fitting; without an order in a stopped one.
pub fn page(visit: &Visit<'_>, order: Option<Order<'_>>, scanned: &Scanned, meant: &Meant<'_>) -> ScanPage {
    let mut found: Vec<(usize, ScanFound)> =
        meant.cards.iter().map(|card| (at(order, card), found(visit, order, card, &meant.boxes))).collect();
    found.sort_by_key(|(at, _)| *at);
    let mut page = ScanPage {
        found: found.into_iter().map(|(_, found)| found).collect(),
        back: Some(Link::new(say!("Back to the order"), visit.href(""))),
        again: None,
        ..not_known(scanned)
    };
    if !meant.cards.is_empty() {
        page.heading = say!("{total} found", total = number_of(meant.total, say!("shoe"), say!("shoes")));
        page.said = said(scanned).into_iter().chain(meant.told.iter().cloned()).collect();
        page.steps = Vec::new();
    }
    if meant.total > meant.cards.len() {
        page.said.push(first_shown(meant.cards.len()));
    }
    page
}

/// That more were found than are shown.
pub fn first_shown(cards: usize) -> String {
    say!("The first {cards} are shown; more words narrow it.", cards)
}

/// The page of a code or of words that nothing here carries.
pub fn not_known(scanned: &Scanned) -> ScanPage {
    if scanned.text.is_empty() {
        return nothing_put_in(scanned);
    }
    let no_shoe = match (scanned.is_code, scanned.fault.is_some()) {
        (true, true) => None,
        (true, false) => Some(say!("No box in this catalogue carries this number.")),
        (false, _) => Some(say!("No shoe of this catalogue has these words.")),
    };
    ScanPage {
        heading: say!("Not known here").to_owned(),
        said: said(scanned).into_iter().chain(no_shoe.map(str::to_owned)).collect(),
        found: Vec::new(),
        steps: steps(scanned),
        again: None,
        back: None,
    }
}

fn nothing_put_in(scanned: &Scanned) -> ScanPage {
    let say = say!("Scan a box, or type a maker, a name, a style number or a colour.").to_owned();
    ScanPage {
        heading: say!("Nothing was put in").to_owned(),
        said: scanned.mended.iter().cloned().chain([say]).collect(),
        found: Vec::new(),
        steps: Vec::new(),
        again: None,
        back: None,
    }
}

/// What was read, what was mended, what is wrong.
pub fn said(scanned: &Scanned) -> Vec<String> {
    let text = &scanned.text;
    let read =
        if scanned.is_code { say!("Read: {text}.", text) } else { say!("Looked for: “{text}”.", text) };
    [read].into_iter().chain(scanned.mended.iter().cloned()).chain(scanned.fault.clone()).collect()
}

fn steps(scanned: &Scanned) -> Vec<NextStep> {
    let words = ShoesQuery::default().with("q", &scanned.text).href(SHOES);
    let search = Link::new(say!("Search all shoes for it"), words);
    let step = |link: Option<Link>, say: &str| NextStep { link, say: say.to_owned() };
    let (label, href, say) = match scanned.gtin {
        Some(gtin) => (
            say!("Attach the number to its size"),
            format!("/scan/attach?code={gtin}"),
            say!("for the next time: find the shoe, and choose the size whose box it is on."),
        ),
        None => (
            say!("See what the scanner sends"),
            "/scanner".to_owned(),
            say!("where codes keep coming wrong."),
        ),
    };
    let last = step(Some(Link::new(label, href)), say);
    let search = step(Some(search), say!("as words: a maker, a name, a style number, a colour."));
    let again = say!("Scan the box again, or type the digits under its bars: the box for it is ready.");
    vec![search, step(None, again), last]
}

fn at(order: Option<Order<'_>>, card: &StyleCard<'_>) -> usize {
    let place = order.and_then(|(shown, ..)| {
        let hits = &shown.list.results.hits;
        shown.places.iter().position(|shoe| hits.get(shoe.hit).is_some_and(|hit| hit.row == card.row))
    });
    place.unwrap_or(usize::MAX)
}

fn found(visit: &Visit<'_>, order: Option<Order<'_>>, card: &StyleCard<'_>, boxes: &[&Sku]) -> ScanFound {
    let own = boxes.iter().filter(|sku| sku.style == card.style.key);
    let boxes = own.map(|sku| pairs::boxed(sku)).collect();
    match order {
        Some(order @ (shown, narrowed, _)) => ScanFound {
            stands: stands(visit, shown, card),
            boxes,
            shoe: row(visit, order, card)
                .map_or_else(|| plain(visit, card), |row| ScanShoe::Row(Box::new(row))),
            hidden: hidden::from_list(visit, shown, narrowed, card),
        },
        None => ScanFound {
            stands: say!("No order: a red flag has stopped it").to_owned(),
            boxes,
            shoe: plain(visit, card),
            hidden: None,
        },
    }
}

/// `Place 3 of 61 in this order, under Bring out first`.
fn stands(visit: &Visit<'_>, shown: &Shown, card: &StyleCard<'_>) -> String {
    if card.style.retired {
        return say!("Not in this order").to_owned();
    }
    let place = capital(&why::place(visit, shown, card.style));
    match shown.standing_of(&card.style.key, visit.snapshot) {
        Some(group @ (Place::First | Place::Also | Place::Further)) => {
            say!("{place}, under {group}", place, group = groups::heading(group))
        }
        _ => place,
    }
}

fn row(visit: &Visit<'_>, (shown, narrowed, shelf): Order<'_>, card: &StyleCard<'_>) -> Option<RankedRow> {
    let hits = &shown.list.results.hits;
    let placed = shown.places.iter().find(|shoe| hits.get(shoe.hit).is_some_and(|hit| hit.row == card.row));
    let standing = placed.map_or(Standing { place: Place::Further, worn: false }, |shoe| shoe.standing);
    let listed = narrowed.hit(card.row).or_else(|| hits.get(placed?.hit));
    let whole = pairs::hit(card);
    let row = Rows::of(visit, shown, narrowed, shelf).row_of(listed.unwrap_or(&whole), standing)?;
    let step = match row.step {
        RowStep::BringOut(act) => RowStep::Add(act),
        other => other,
    };
    Some(RankedRow { step, ..row })
}

fn plain(visit: &Visit<'_>, card: &StyleCard<'_>) -> ScanShoe {
    let hit = pairs::hit(card);
    let skus = pairs::skus(visit.snapshot, &hit);
    let sizes = pairs::by_size(visit.snapshot, &visit.fitting.runner, card.style, &skus);
    let sizes: Vec<String> =
        sizes.iter().map(|size| say!("{pairs} in {size}", pairs = size.pairs, size = size.label)).collect();
    ScanShoe::Plain(shoe::link(card.style), say!("pairs: {sizes}.", sizes = sizes.join(", ")))
}
