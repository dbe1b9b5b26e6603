//! The list of shoes: rows, pages, and what was found.

use catalogue::stock::Sku;
use catalogue::style::Style;
use indexer::search::{Hit, Results};
use indexer::snapshot::{Snapshot, StyleCard};
use indexer::words::Told;

use super::found_in::found_in;
use super::narrow::{self, SHOES};
use super::told;
use crate::labels::NOT_GIVEN;
use crate::pages::shoes::{ShoeRow, ShoesPage};
use crate::parts::Link;
use crate::parts::chips::Chips;
use crate::parts::marked::Marked;
use crate::parts::pager::Pager;
use crate::parts::search_box::SearchBox;
use crate::parts::sole_line::Scale;
use crate::request::shoes::{PAGE, ShoesQuery};
use crate::request::shoes_meant::{EXACT, SAID};
use crate::visit::{pairs, shoe};
use crate::words;

/// The page of a search.
pub fn page(asked: &ShoesQuery, results: &Results, snapshot: &Snapshot) -> ShoesPage {
    let mut page = ShoesPage {
        search: SearchBox {
            words: asked.words().to_owned(),
            hidden: asked.hidden(&["q", SAID, EXACT]),
            ..SearchBox::default()
        },
        found: found(results),
        told: told::remarks(asked, results, snapshot, SHOES),
        warnings: warnings(asked, results, snapshot),
        chips: Chips { chips: Vec::new(), add: None },
        clear: None,
        facets: Vec::new(),
        ranges: Vec::new(),
        orders: Vec::new(),
        rows: results.hits.iter().filter_map(|hit| row(snapshot, results, hit)).collect(),
        without: Vec::new(),
        pager: pager(asked, results),
        twins: twins(asked),
    };
    narrow::into(&mut page, asked, results, snapshot);
    page
}

/// The same list for programs, a page at a time, and as files that hold the whole of it.
fn twins(asked: &ShoesQuery) -> Vec<Link> {
    let whole = asked.without("page");
    vec![
        Link::new(say!("This list as JSON"), asked.href("/shoes.json")),
        Link::new(say!("The whole list as a table (CSV)"), whole.href("/shoes.csv")),
        Link::new(say!("The whole list as a workbook (XLSX)"), whole.href("/shoes.xlsx")),
    ]
}

/// `38 styles, 112 pairs in stock`.
fn found(results: &Results) -> String {
    let styles = if results.total == 1 { say!("style") } else { say!("styles") };
    say!("{total} {styles}, {pairs} pairs in stock", total = results.total, styles, pairs = results.pairs)
}

fn warnings(asked: &ShoesQuery, results: &Results, snapshot: &Snapshot) -> Vec<String> {
    let empty = snapshot.styles().is_empty().then(|| {
        say!("The catalogue is empty: import a supplier's range sheet, then a stock sheet, under Sheets.")
            .to_owned()
    });
    let beyond = asked.is_beyond_the_last_page().then(|| {
        say!("That page is further than a list goes; this is the last that can be asked for. Narrow the list instead.").to_owned()
    });
    empty
        .into_iter()
        .chain(beyond)
        .chain(results.warnings.iter().map(|warning| format!("{warning}.")))
        .collect()
}

fn pager(asked: &ShoesQuery, results: &Results) -> Pager {
    let pages = (results.total as usize).div_ceil(PAGE).max(1);
    let page = asked.page();
    let to = |page: usize| asked.on_page(page).href(SHOES);
    Pager {
        page,
        pages,
        back: (page > 1).then(|| to((page - 1).min(pages))),
        on: (page < pages).then(|| to(page + 1)),
    }
}

fn row(snapshot: &Snapshot, results: &Results, hit: &Hit) -> Option<ShoeRow> {
    Some(row_of(snapshot, &snapshot.card(hit.row)?, hit, &results.told))
}

/// The row of a shoe with the SKUs behind a hit, and what was looked for marked.
pub fn row_of(snapshot: &Snapshot, card: &StyleCard<'_>, hit: &Hit, told: &Told) -> ShoeRow {
    let skus = pairs::skus(snapshot, hit);
    let marked = |text: &str| Marked::of(text, told.marked(text));
    ShoeRow {
        href: shoe::href(card.style),
        maker: marked(&card.style.maker),
        name: marked(&card.style.name),
        found_in: found_in(card, told),
        mass: pairs::mass(&card.measures),
        sole: shoe::sole(&card.measures, None, Scale::List),
        facts: facts(card),
        remarks: remarks(card.style),
        price: pairs::price(snapshot, &skus),
        stock: stock(hit.pairs, &skus),
        place: pairs::place(&skus),
    }
}

/// `Men, road, daily; drop 8 mm; bends medium`: what is missing is named.
pub fn facts(card: &StyleCard<'_>) -> String {
    let style = card.style;
    let words = |words: Vec<&str>, what: &str| {
        if words.is_empty() { format!("{what} {}", words::of(NOT_GIVEN)) } else { words.join(say!(" and ")) }
    };
    let audience = style.audience.map_or_else(
        || say!("audience {value}", value = words::of(NOT_GIVEN)),
        |a| words::of(a.word()).to_owned(),
    );
    let drop = card.measures.drop().map_or_else(
        || say!("drop {value}", value = words::of(NOT_GIVEN)),
        |drop| say!("drop {drop}", drop = words::number(drop)),
    );
    let bending = card.measures.bending();
    let bending = bending.map_or_else(
        || say!("bending {value}", value = words::of(NOT_GIVEN)),
        |word| say!("bends: {word}", word = words::of(word.word())),
    );
    [
        audience,
        words(style.surfaces.iter().map(|s| words::of(s.word())).collect(), say!("surface")),
        words(style.purposes.iter().map(|p| words::of(p.word())).collect(), say!("purpose")),
        drop,
        bending,
    ]
    .join(", ")
}

/// Plate, rocker, the shop's words, no longer supplied.
pub fn remarks(style: &Style) -> Vec<String> {
    let spec = &style.specification;
    let yes = |known: Option<bool>, word: &str| (known == Some(true)).then(|| word.to_owned());
    let retired = style.retired.then(|| say!("no longer supplied").to_owned());
    [
        yes(spec.plate, say!("plate")),
        yes(spec.rocker, say!("rocker sole")),
        style.shop_note.as_deref().map(note),
        retired,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// A shop note: the words that can be ticked in the language of the page, others as they were typed.
pub fn note(note: &str) -> String {
    note.split("; ").map(words::of).collect::<Vec<_>>().join("; ")
}

/// `7 pairs, EU 40 to 45`, or `none in stock`.
fn stock(pairs: u32, skus: &[&Sku]) -> String {
    let mut labels: Vec<_> = skus.iter().map(|sku| &sku.label).collect();
    labels.sort_by_key(|label| (label.system(), label.twelfths()));
    match (labels.first(), labels.last()) {
        (Some(first), Some(last)) if first == last => say!("{pairs} pairs, {first}", pairs, first),
        (Some(first), Some(last)) => {
            say!("{pairs} pairs, {first} to {printed}", pairs, first, printed = last.printed())
        }
        _ => say!("none in stock").to_owned(),
    }
}
