//! The shortlist side by side with the pair worn now. Turned to the customer: nothing of what the runner said.

use catalogue::measures::{Landing, Measures};
use catalogue::rank::Ranker;
use catalogue::style::Style;
use indexer::ranked::RankedList;
use indexer::snapshot::StyleCard;

use super::beside::{Beside, Column};
use super::rows::compared_mass;
use super::share::share as on_a_phone;
use super::{Visit, deltas, pairs, shoe};
use crate::labels::{NOT_GIVEN, STOPPED};
use crate::pages::compare::{ComparePage, Compared, Warning};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::sole_line::{Scale, SoleLine};
use crate::request::compare::CompareQuery;
use crate::words;

/// More than this many beside the worn pair are hard to compare.
const MANY: usize = 3;

/// The comparison. `list` is the order of this fitting, where one could be made; without it no band is drawn.
/// `origin` is the server as the browser reached it.
pub fn page(
    visit: &Visit<'_>,
    list: Option<&RankedList>,
    only_differences: bool,
    origin: &str,
) -> ComparePage {
    let cards: Vec<StyleCard<'_>> =
        visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key)).collect();
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let ranker = list.map(|list| &list.ranker);
    let shoes = cards.iter().map(|card| compared(visit, list, card, worn.as_ref()));
    let own = worn.as_ref().map(|measures| worn_column(visit, measures));
    let beside = beside(visit, &cards, worn.as_ref(), ranker);
    ComparePage {
        shoes: own.into_iter().chain(shoes).collect(),
        measures: beside.table(only_differences),
        charts: beside.charts(),
        said: cards.iter().map(|card| said(card, ranker, worn.as_ref())).collect(),
        warnings: stopped(list)
            .into_iter()
            .chain(warnings(cards.len()))
            .map(Warning::from)
            .chain(not_worn(visit, worn.as_ref()))
            .collect(),
        share: share(visit),
        on_a_phone: share(visit).and_then(|link| on_a_phone(origin, &link.href)),
        only_differences: (!cards.is_empty())
            .then(|| other_rows(&visit.href("/compare"), '?', only_differences)),
        add: None,
        card: Some(Link::new(say!("Make the card"), visit.href("/card"))),
    }
}

/// The worn pair first, then what has been brought out.
fn beside<'r>(
    visit: &Visit<'_>,
    cards: &[StyleCard<'_>],
    worn: Option<&Measures>,
    ranker: Option<&'r Ranker>,
) -> Beside<'r> {
    let style = super::worn::style(visit).map(|card| card.style);
    let own = worn.map(|measures| Column::worn(*measures, style));
    Beside {
        columns: own.filter(|_| !cards.is_empty()).into_iter().chain(cards.iter().map(Column::of)).collect(),
        ranker,
    }
}

/// The same comparison without anything about the runner, for two shoes or more.
pub fn share(visit: &Visit<'_>) -> Option<Link> {
    let shoes = &visit.fitting.shortlist;
    (shoes.len() >= 2)
        .then(|| Link::new(say!("The same without the worn pair, to share"), CompareQuery::address(shoes)))
}

/// Without an order there is a stop.
pub fn stopped(list: Option<&RankedList>) -> Option<String> {
    list.is_none().then(|| words::of(STOPPED).to_owned())
}

fn warnings(count: usize) -> Vec<String> {
    let warning = match count {
        0 => {
            say!(
                "Nothing has been brought out yet: bring out shoes from the stock in order, two or three of them."
            )
        }
        1 => say!("One shoe has been brought out; a second one makes a comparison."),
        2..=MANY => return Vec::new(),
        _ => say!("More than three are hard to compare: take some out."),
    };
    vec![warning.to_owned()]
}

/// Without measures of the worn pair nothing can be compared with it.
fn not_worn(visit: &Visit<'_>, worn: Option<&Measures>) -> Option<Warning> {
    worn.is_none().then(|| Warning {
        say: say!("The pair worn now stands not beside them: its measures are not known.").to_owned(),
        way: Some(Link::new(say!("Say which pair it is"), visit.href("/runner#worn"))),
    })
}

fn worn_column(visit: &Visit<'_>, measures: &Measures) -> Compared {
    let known = super::worn::style(visit).map(|card| (shoe::name(card.style), shoe::href(card.style)));
    let (name, href) = known.map_or((None, None), |(name, href)| (Some(name), Some(href)));
    Compared {
        name: name.map_or_else(|| say!("Your pair now").to_owned(), |name| say!("{name}, worn now", name)),
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
            .then(|| say!("Chosen").to_owned())
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
    let Some(hit) = hit else { return Some(say!("not in stock as filtered").to_owned()) };
    let skus = pairs::skus(visit.snapshot, hit);
    let price = pairs::price(visit.snapshot, &skus)
        .unwrap_or_else(|| say!("price {value}", value = words::of(NOT_GIVEN)));
    let sizes = sizes_in_stock(visit, card.style, &skus);
    Some(if sizes.is_empty() { price } else { say!("{price} · {sizes} in stock", price, sizes) })
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

/// All rows, or those that differ: the one that is not shown now. `joined` is what the query begins with.
pub fn other_rows(address: &str, joined: char, only_differences: bool) -> Link {
    if only_differences {
        Link::new(say!("All rows"), address)
    } else {
        Link::new(say!("Only the rows that differ"), format!("{address}{joined}only=differences"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_or_three_shoes_need_no_warning() {
        assert!(warnings(2).is_empty() && warnings(3).is_empty());
        assert!([0, 1, 4].iter().all(|count| warnings(*count).len() == 1));
    }
}
