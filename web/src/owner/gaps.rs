//! The gaps in words: counts, doubts, suppliers and makers.

use std::collections::BTreeMap;

use catalogue::key::StyleKey;
use indexer::gaps::{
    Doubt, Hole, Narrowed, OUTLIERS_IN_WORDS, Shoe, contradictions, duplicates, holes, letter, outliers,
};

use super::gaps_query::{GapsQuery, ask_href};
use crate::pages::gaps::{DoubtLine, Doubts, GapsPage, Letter};
use crate::parts::Link;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::shoe;
use crate::words;

/// Doubts of one kind shown; the rest is counted.
const SHOWN: usize = 50;
/// Shoes of one doubt that are linked; its sentence says how many there are.
const LINKED: usize = 5;

/// The page of counts; `all` are all shoes of the catalogue.
pub fn page(asked: &GapsQuery, all: &[Shoe<'_>]) -> GapsPage {
    let shoes = admitted(&asked.narrowed, all);
    let supplied = shoes.iter().filter(|shoe| !shoe.style.retired).count();
    let holes = holes(&shoes);
    let (found, whole): (Vec<&Hole>, Vec<&Hole>) = holes.iter().partition(|hole| hole.missing > 0);
    let missing: usize = holes.iter().map(|hole| hole.missing).sum();
    let is_all = asked.narrowed == Narrowed::default();
    GapsPage {
        lead: say!(
            "{supplied}: {missing} values not given.",
            supplied = of_whom(&asked.narrowed, supplied),
            missing
        ),
        all: (!is_all).then(|| Link::new(say!("All shoes"), GapsQuery::parse("").href())),
        empty: empty(supplied, is_all),
        holes: holes_table(asked, &found),
        whole: whole_in_words(&whole),
        doubts: doubts(&asked.narrowed, all, &shoes),
        suppliers: if is_all { suppliers(&shoes) } else { Table::default() },
        makers: if is_all { makers(&shoes) } else { Table::default() },
        letter: letter_of(&asked.narrowed, &shoes),
    }
}

/// The shoes that are looked at.
pub fn admitted<'s>(narrowed: &Narrowed, all: &[Shoe<'s>]) -> Vec<Shoe<'s>> {
    all.iter().filter(|shoe| narrowed.admits(shoe)).copied().collect()
}

/// `38 styles of Brackwater`.
pub fn of_whom(narrowed: &Narrowed, styles: usize) -> String {
    let styles = if styles == 1 { say!("1 style").to_owned() } else { say!("{styles} styles", styles) };
    let by = narrowed.maker.as_ref().map_or_else(String::new, |maker| say!(" made by {maker}", maker));
    let from = narrowed.supplier.as_ref().map_or_else(String::new, |name| say!(" supplied by {name}", name));
    format!("{styles}{by}{from}")
}

/// Where a shoe is mended.
pub fn mend_href(style: &StyleKey) -> String {
    format!("/shoes/{style}/edit")
}

fn empty(supplied: usize, is_all: bool) -> String {
    match (supplied, is_all) {
        (0, true) => say!("The catalogue is empty, so nothing is missing yet: send a supplier's range sheet in under Sheets."),
        (0, false) => say!("No shoe that is still supplied is among these; the name may be spelled otherwise."),
        _ => "",
    }
    .to_owned()
}

fn holes_table(asked: &GapsQuery, found: &[&Hole]) -> Table {
    let row = |hole: &&Hole| {
        let Hole { wanted, missing, of } = hole;
        vec![
            Cell::text(words::of(wanted.label)).linked(asked.listing(wanted).href()),
            Cell::text(say!("{missing} of {of}", missing, of)),
            Cell::text(words::of(wanted.costs)),
        ]
    };
    Table {
        caption: say!("How many styles lack what, of those it applies to").to_owned(),
        heads: vec![
            Head::words(say!("Not given")),
            Head::number(say!("Styles")),
            Head::words(say!("What that costs")),
        ],
        rows: found.iter().map(row).collect(),
    }
}

fn whole_in_words(whole: &[&Hole]) -> String {
    let asked: Vec<_> = whole
        .iter()
        .filter(|hole| hole.of > 0)
        .map(|hole| words::lowered(words::of(hole.wanted.label)))
        .collect();
    match asked.as_slice() {
        [] => String::new(),
        _ => say!("Known of every shoe it applies to: {asked}.", asked = asked.join(", ")),
    }
}

fn doubts(narrowed: &Narrowed, all: &[Shoe<'_>], shoes: &[Shoe<'_>]) -> Vec<Doubts> {
    let named: BTreeMap<&StyleKey, &Shoe<'_>> = all.iter().map(|shoe| (&shoe.style.key, shoe)).collect();
    // Peers and doubles are looked for among all shoes, and shown where one of these is among them.
    let concerns = |doubt: &Doubt| {
        doubt.styles.iter().any(|key| named.get(key).is_some_and(|shoe| narrowed.admits(shoe)))
    };
    let kind = |heading: &str, how: &str, none: &str, found: Vec<Doubt>| {
        let found: Vec<_> = found.into_iter().filter(concerns).collect();
        Doubts {
            heading: heading.to_owned(),
            how: how.to_owned(),
            none: none.to_owned(),
            count: found.len(),
            shown: found.iter().take(SHOWN).map(|doubt| line(doubt, &named)).collect(),
        }
    };
    vec![
        kind(
            say!("Contradictions"),
            "",
            say!("No value of a shoe disagrees with another one of it."),
            contradictions(shoes),
        ),
        kind(
            say!("Outliers"),
            words::of(OUTLIERS_IN_WORDS),
            say!("No price, drop, weight or number of pairs stands out."),
            outliers(all),
        ),
        kind(say!("Told twice"), "", say!("No code, name or number stands for two shoes."), duplicates(all)),
    ]
}

fn line(doubt: &Doubt, named: &BTreeMap<&StyleKey, &Shoe<'_>>) -> DoubtLine {
    let known = || doubt.styles.iter().filter_map(|key| named.get(key)).take(LINKED);
    let mend = |shoe: &&Shoe<'_>| {
        let label = if doubt.styles.len() > 1 {
            say!("Mend {shoe}", shoe = shoe::name(shoe.style))
        } else {
            say!("Mend").to_owned()
        };
        Link::new(label, mend_href(&shoe.style.key))
    };
    DoubtLine {
        say: words::made(&doubt.say),
        shoes: known().map(|shoe| shoe::link(shoe.style)).collect(),
        mend: known().map(mend).collect(),
    }
}

/// Styles and holes by a name.
fn by_name<'s>(shoes: &[Shoe<'s>], name: fn(&Shoe<'s>) -> &'s str) -> Vec<(&'s str, usize, usize)> {
    let mut by_name: BTreeMap<&str, Vec<Shoe<'_>>> = BTreeMap::new();
    for shoe in shoes.iter().filter(|shoe| !shoe.style.retired && !name(shoe).is_empty()) {
        by_name.entry(name(shoe)).or_default().push(*shoe);
    }
    let sum = |shoes: &[Shoe<'_>]| holes(shoes).iter().map(|hole| hole.missing).sum();
    by_name.into_iter().map(|(name, shoes)| (name, shoes.len(), sum(&shoes))).collect()
}

fn suppliers(shoes: &[Shoe<'_>]) -> Table {
    let row = |(name, styles, holes): (&str, usize, usize)| {
        vec![
            Cell::text(name).linked(GapsQuery::of_supplier(name).href()),
            Cell::text(styles.to_string()),
            Cell::text(holes.to_string()),
            Cell::text(say!("As a text file")).linked(ask_href(name)),
        ]
    };
    Table {
        caption: say!("Who supplies how many styles, and how much of them is not given").to_owned(),
        heads: vec![
            Head::words(say!("Supplier")),
            Head::number(say!("Styles")),
            Head::number(say!("Not given")),
            Head::words(say!("What to ask")),
        ],
        rows: by_name(shoes, |shoe| shoe.supplier).into_iter().map(row).collect(),
    }
}

fn makers(shoes: &[Shoe<'_>]) -> Table {
    let row = |(name, styles, holes): (&str, usize, usize)| {
        let name = Cell::text(name).linked(GapsQuery::of_maker(name).href());
        vec![name, Cell::text(styles.to_string()), Cell::text(holes.to_string())]
    };
    Table {
        caption: say!("Who makes how many styles, and how much of them is not given").to_owned(),
        heads: vec![
            Head::words(say!("Maker")),
            Head::number(say!("Styles")),
            Head::number(say!("Not given")),
        ],
        rows: by_name(shoes, |shoe| &shoe.style.maker).into_iter().map(row).collect(),
    }
}

fn letter_of(narrowed: &Narrowed, shoes: &[Shoe<'_>]) -> Option<Letter> {
    let supplier = narrowed.supplier.as_ref().filter(|_| narrowed.maker.is_none())?;
    Some(Letter { text: letter(supplier, shoes, &words::made)?, download: ask_href(supplier) })
}
