//! The shortlist side by side with the pair worn now. Turned to the customer: nothing of what the runner said.

use catalogue::measures::{Landing, Measures};
use catalogue::rank::Ranker;
use catalogue::style::Style;
use indexer::ranked::RankedList;
use indexer::snapshot::StyleCard;

use super::rows::compared_mass;
use super::shoe::{self, plain};
use super::{Visit, capital, deltas, pairs};
use crate::labels::{NOT_GIVEN, STOPPED};
use crate::pages::compare::{ComparePage, Compared};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::sole_line::{Scale, SoleLine};
use crate::parts::table::{Cell, Head, Table};

/// More than this many beside the worn pair are hard to compare.
const MANY: usize = 3;

/// The comparison. `list` is the order of this fitting, where one could be made.
pub fn page(visit: &Visit<'_>, list: Option<&RankedList>) -> ComparePage {
    let cards: Vec<StyleCard<'_>> =
        visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key)).collect();
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let ranker = list.map(|list| &list.ranker);
    let shoes = cards.iter().map(|card| compared(visit, list, card, worn.as_ref()));
    let own = worn.as_ref().map(|measures| worn_column(visit, measures));
    ComparePage {
        shoes: own.into_iter().chain(shoes).collect(),
        measures: table(&cards, worn.as_ref()),
        said: cards.iter().map(|card| said(card, ranker, worn.as_ref())).collect(),
        warnings: stopped(list).into_iter().chain(warnings(cards.len())).collect(),
        share: share(visit),
        only_differences: None,
        card: Some(Link::new("Make the card", visit.href("/card"))),
    }
}

/// The same comparison without anything about the runner, for two shoes or more.
pub fn share(visit: &Visit<'_>) -> Option<Link> {
    let shoes: Vec<String> = visit.fitting.shortlist.iter().map(|key| format!("shoe={key}")).collect();
    (shoes.len() >= 2).then(|| {
        Link::new("The same without the worn pair, to share", format!("/compare?{}", shoes.join("&")))
    })
}

/// Without an order there is a stop.
pub fn stopped(list: Option<&RankedList>) -> Option<String> {
    list.is_none().then(|| STOPPED.to_owned())
}

fn warnings(count: usize) -> Vec<String> {
    let warning = match count {
        0 => {
            "Nothing has been brought out yet: bring out shoes from the stock in order, two or three of them."
        }
        1 => "One shoe has been brought out; a second one makes a comparison.",
        2..=MANY => return Vec::new(),
        _ => "More than three are hard to compare: take some out.",
    };
    vec![warning.to_owned()]
}

fn worn_column(visit: &Visit<'_>, measures: &Measures) -> Compared {
    let known = super::worn::style(visit).map(|card| (shoe::name(card.style), shoe::href(card.style)));
    let (name, href) = known.map_or((None, None), |(name, href)| (Some(name), Some(href)));
    Compared {
        name: name.map_or_else(|| "Your pair now".to_owned(), |name| format!("{name}, worn now")),
        href,
        sole: SoleLine { shoe: shoe::profile(measures), worn: None, scale: Scale::Large },
        stock: String::new(),
        remove: None,
        choose: None,
    }
}

fn compared(
    visit: &Visit<'_>,
    list: Option<&RankedList>,
    card: &StyleCard<'_>,
    worn: Option<&Measures>,
) -> Compared {
    let is_chosen = visit.fitting.chosen.as_ref() == Some(&card.style.key);
    let stock = stock(visit, list, card);
    Compared {
        name: shoe::name(card.style),
        href: Some(shoe::href(card.style)),
        sole: shoe::sole(&card.measures, worn, Scale::Large),
        stock: is_chosen
            .then(|| "Chosen".to_owned())
            .into_iter()
            .chain(stock)
            .collect::<Vec<_>>()
            .join(" · "),
        remove: Some(take_out(visit, card)),
        choose: (!is_chosen).then(|| Act::post(visit.href("/choose"), "style", card.style.key.as_str())),
    }
}

fn take_out(visit: &Visit<'_>, card: &StyleCard<'_>) -> Act {
    let fields = [("drop", card.style.key.as_str()), ("back", "compare")];
    let fields = fields.map(|(name, value)| (name.to_owned(), value.to_owned())).into();
    Act::Post { action: visit.href("/shortlist"), fields }
}

/// `€ 139 · 42.5, 43 in stock`; `None` where no list was made to look into.
fn stock(visit: &Visit<'_>, list: Option<&RankedList>, card: &StyleCard<'_>) -> Option<String> {
    let hit = list?.results.hits.iter().find(|hit| hit.row == card.row);
    let Some(hit) = hit else { return Some("not in stock as filtered".to_owned()) };
    let skus = pairs::skus(visit.snapshot, hit);
    let price = pairs::price(visit.snapshot, &skus).unwrap_or_else(|| format!("price {NOT_GIVEN}"));
    let sizes = sizes_in_stock(visit, card.style, &skus);
    Some(if sizes.is_empty() { price } else { format!("{price} · {sizes} in stock") })
}

/// The working sizes there are pairs of: `42.5, 43`.
pub fn sizes_in_stock(visit: &Visit<'_>, style: &Style, skus: &[&catalogue::stock::Sku]) -> String {
    let sizes = pairs::by_size(visit.snapshot, &visit.fitting.runner, style, skus);
    sizes.into_iter().filter(|size| !size.none).map(|size| size.label).collect::<Vec<_>>().join(", ")
}

fn said(card: &StyleCard<'_>, ranker: Option<&Ranker>, worn: Option<&Measures>) -> String {
    format!("{}: {}.", shoe::name(card.style), differences(card, ranker, worn))
}

/// The differences of one shoe to the worn pair, as a row of the list says them.
pub fn differences(card: &StyleCard<'_>, ranker: Option<&Ranker>, worn: Option<&Measures>) -> String {
    let mass = ranker.map_or_else(
        || card.measures.mass().map(|mass| mass.in_tenths()),
        |ranker| compared_mass(&ranker.explain(&card.measures), &card.measures),
    );
    deltas::in_words(&card.measures, mass, worn, ranker.map_or(Landing::Heel, Ranker::landing))
}

/// One measure of the table: its head with the unit, and its value in tenths.
type Numbered = (&'static str, fn(&Measures) -> Option<i32>, &'static str, &'static str);

const NUMBERS: [Numbered; 4] = [
    ("Heel stack, mm", |m| m.heel_stack().map(|mm| mm.in_tenths()), "lower", "higher"),
    ("Forefoot stack, mm", |m| m.forefoot_stack().map(|mm| mm.in_tenths()), "lower", "higher"),
    ("Drop, mm", |m| m.drop().map(|mm| mm.in_tenths()), "less", "more"),
    ("Weight as weighed, g", |m| m.mass().map(|g| g.in_tenths()), "lighter", "heavier"),
];

/// Measures side by side, differences to the worn pair in words.
pub(crate) fn table(cards: &[StyleCard<'_>], worn: Option<&Measures>) -> Table {
    if cards.is_empty() {
        return Table::default();
    }
    let own = worn.map(|_| Head::number("Worn now"));
    let heads = cards.iter().map(|card| Head::number(shoe::name(card.style)));
    let numbers = NUMBERS.iter().map(|row| number_row(row, cards, worn));
    let words = word_rows().into_iter().map(|(name, of)| word_row(name, of, cards, worn));
    Table {
        caption: "Measures side by side".to_owned(),
        heads: [Head::words("Measure")].into_iter().chain(own).chain(heads).collect(),
        rows: numbers.chain(words).collect(),
    }
}

/// One precision a row: tenths when any value has them.
fn number_row(
    (name, of, less, more): &Numbered,
    cards: &[StyleCard<'_>],
    worn: Option<&Measures>,
) -> Vec<Cell> {
    let base = worn.map(of);
    let values: Vec<Option<i32>> =
        base.into_iter().chain(cards.iter().map(|card| of(&card.measures))).collect();
    let fine = values.iter().flatten().any(|tenths| tenths % 10 != 0);
    let cell = |(place, value): (usize, &Option<i32>)| match value {
        None => Cell::not_given(),
        Some(tenths) => match base.flatten().filter(|_| place > 0).map(|worn| tenths - worn) {
            None => Cell::text(fixed(*tenths, fine)),
            Some(0) => Cell::text(fixed(*tenths, fine)).below("same"),
            Some(delta) => {
                let word = if delta < 0 { less } else { more };
                Cell::text(fixed(*tenths, fine)).below(format!("{} {word}", plain(delta.abs()))).differing()
            }
        },
    };
    [Cell::text(*name)].into_iter().chain(values.iter().enumerate().map(cell)).collect()
}

fn fixed(tenths: i32, fine: bool) -> String {
    let sign = if tenths < 0 { "−" } else { "" };
    let magnitude = tenths.unsigned_abs();
    if fine {
        format!("{sign}{}.{}", magnitude / 10, magnitude % 10)
    } else {
        format!("{sign}{}", magnitude / 10)
    }
}

type OfMeasures = fn(&Measures) -> Option<String>;

fn word_rows() -> [(&'static str, OfMeasures); 3] {
    [
        ("Bending", |m| m.bending().map(|word| word.word().to_owned())),
        ("Rocker sole", |m| m.rocker().map(yes_or_no)),
        ("Plate", |m| m.plate().map(yes_or_no)),
    ]
}

fn yes_or_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

fn word_row(name: &str, of: OfMeasures, cards: &[StyleCard<'_>], worn: Option<&Measures>) -> Vec<Cell> {
    let base = worn.map(of);
    let values: Vec<Option<String>> =
        base.clone().into_iter().chain(cards.iter().map(|card| of(&card.measures))).collect();
    let base = base.flatten();
    let cell = |(place, value): (usize, Option<String>)| match value {
        None => Cell::not_given(),
        Some(word) => match base.as_ref().filter(|base| place > 0 && **base != word) {
            Some(worn) => Cell::text(capital(&word)).below(format!("worn: {worn}")).differing(),
            None => Cell::text(capital(&word)),
        },
    };
    [Cell::text(name)].into_iter().chain(values.into_iter().enumerate().map(cell)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_row_has_one_precision() {
        assert_eq!([fixed(80, true), fixed(85, true), fixed(-5, true)], ["8.0", "8.5", "−0.5"]);
        assert_eq!(fixed(80, false), "8");
    }

    #[test]
    fn two_or_three_shoes_need_no_warning() {
        assert!(warnings(2).is_empty() && warnings(3).is_empty());
        assert!([0, 1, 4].iter().all(|count| warnings(*count).len() == 1));
    }
}
