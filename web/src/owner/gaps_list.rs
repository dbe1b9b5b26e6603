//! The shoes that lack one thing, with a link to mend each.

use indexer::gaps::{Shoe, WANTED, Wanted, holes};

use super::gaps::{admitted, mend_href, of_whom};
use super::gaps_query::GapsQuery;
use crate::pages::gaps::GapListPage;
use crate::parts::Link;
use crate::parts::pager::Pager;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::shoe;
use crate::words;

/// Shoes on a page.
const PAGE: usize = 50;

/// The list of shoes that lack `wanted`.
pub fn page(asked: &GapsQuery, wanted: &'static Wanted, all: &[Shoe<'_>]) -> GapListPage {
    let shoes = admitted(&asked.narrowed, all);
    let missing: Vec<_> = shoes.iter().filter(|shoe| wanted.is_missing(shoe)).collect();
    let of = holes(&shoes).iter().find(|hole| hole.wanted.key == wanted.key).map_or(0, |hole| hole.of);
    let pages = missing.len().div_ceil(PAGE).max(1);
    let page = asked.page.min(pages);
    let to = |page: usize| asked.at_page(page).href();
    GapListPage {
        heading: say!("{wanted}: not given", wanted = words::of(wanted.label)),
        lead: say!(
            "{missing} of {narrowed}.",
            missing = missing.len(),
            narrowed = of_whom(&asked.narrowed, of)
        ),
        costs: words::of(wanted.costs).to_owned(),
        back: Link::new(say!("All gaps of these shoes"), asked.counts().href()),
        shoes: table(wanted, missing.iter().skip((page - 1) * PAGE).take(PAGE).copied()),
        pager: Pager {
            page,
            pages,
            back: (page > 1).then(|| to(page - 1)),
            on: (page < pages).then(|| to(page + 1)),
        },
    }
}

fn table<'a>(wanted: &Wanted, shoes: impl Iterator<Item = &'a Shoe<'a>>) -> Table {
    let row = |shoe: &Shoe<'_>| {
        let style = shoe.style;
        vec![
            Cell::text(shoe::name(style)).linked(shoe::href(style)),
            Cell::text(style.number.as_deref().unwrap_or(say!("no number"))),
            Cell::text(shoe.supplier),
            Cell::text(also(wanted, shoe)),
            Cell::text(say!("Mend")).linked(mend_href(&style.key)),
        ]
    };
    Table {
        caption: say!("Shoes without {wanted}", wanted = words::lowered(words::of(wanted.label))),
        heads: [say!("Shoe"), say!("Style number"), say!("Supplier"), say!("Also not given"), say!("Mend")]
            .map(Head::words)
            .into(),
        rows: shoes.map(row).collect(),
    }
}

fn also(wanted: &Wanted, shoe: &Shoe<'_>) -> String {
    let others = WANTED.iter().filter(|other| other.key != wanted.key && other.is_missing(shoe));
    let labels: Vec<_> = others.map(|other| words::lowered(words::of(other.label))).collect();
    if labels.is_empty() { say!("nothing else").to_owned() } else { labels.join(", ") }
}
