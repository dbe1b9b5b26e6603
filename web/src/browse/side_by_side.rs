//! Shoes side by side by their address alone: nothing about a runner, so that the link may be shared.

use catalogue::key::StyleKey;
use indexer::snapshot::{Snapshot, StyleCard};

use crate::access::Access;
use crate::pages::compare::{AddShoe, ComparePage, Compared, Warning};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::sole_line::Scale;
use crate::request::compare::CompareQuery;
use crate::staff::visitor::visitor;
use crate::visit::beside::{Beside, Column};
use crate::visit::money::money;
use crate::visit::share::share;
use crate::visit::{compare, number_of, shoe, worn};

/// At most this many are set side by side.
pub const MOST: usize = 4;

/// The comparison of these shoes, in their order; what cannot be shown is said, with what can be done.
/// `origin` is the server as the browser reached it.
pub fn page(asked: &CompareQuery, snapshot: &Snapshot, origin: &str) -> ComparePage {
    let (mut cards, mut gone) = (Vec::new(), Vec::new());
    for key in &asked.shoes {
        match StyleKey::parse(key).and_then(|key| snapshot.style(&key)) {
            Some(card) => cards.push(card),
            None => gone.push(key),
        }
    }
    let mut warnings: Vec<Warning> =
        gone.into_iter().map(|key| no_such_shoe(key, !cards.is_empty())).collect();
    if cards.len() > MOST {
        warnings.push(too_many(&cards[MOST..]));
        cards.truncate(MOST);
    }
    warnings.extend(cards.iter().filter_map(|card| withdrawn(card, &cards, snapshot)));
    warnings.extend(too_few(cards.len()));
    let beside = Beside { columns: cards.iter().map(Column::of).collect(), ranker: None };
    let only = asked.only_differences;
    ComparePage {
        shoes: cards.iter().map(|card| compared(card, &cards, snapshot)).collect(),
        measures: beside.table(only),
        charts: beside.charts(),
        said: Vec::new(),
        warnings,
        share: None,
        on_a_phone: (cards.len() > 1).then(|| share(origin, &address(&cards))).flatten(),
        only_differences: (cards.len() > 1).then(|| compare::other_rows(&address(&cards), '&', only)),
        add: (cards.len() < MOST).then(|| add(asked, &cards, snapshot)),
        card: None,
    }
}

fn address(cards: &[StyleCard<'_>]) -> String {
    CompareQuery::address(cards.iter().map(|card| &card.style.key))
}

fn no_such_shoe(key: &str, beside_others: bool) -> Warning {
    let short: String = key.chars().take(60).collect();
    let say = if beside_others {
        say!(
            "The catalogue holds no shoe “{short}”: it may have been withdrawn. The others stand as they were.",
            short
        )
    } else {
        say!("The catalogue holds no shoe “{short}”: it may have been withdrawn.", short)
    };
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("q", &short.replace(['.', '-'], " "));
    let way = || Link::new(say!("Look for it among the shoes"), format!("/shoes?{}", query.finish()));
    // A customer who holds the link to a comparison sees no other page of the stock.
    Warning { say, way: visitor().may(Access::Fitter).then(way) }
}

fn too_many(left: &[StyleCard<'_>]) -> Warning {
    let names: Vec<String> = left.iter().map(|card| shoe::name(card.style)).collect();
    let say = say!(
        "More than four are hard to compare; the first four are shown, without {visit}.",
        visit = crate::visit::listed(&names, say!("and"))
    );
    let way = Link::new(say!("Set the others side by side"), address(&left[..left.len().min(MOST)]));
    Warning { say, way: Some(way) }
}

/// A shoe that is no longer supplied is still shown; what has followed it can take its place.
fn withdrawn(card: &StyleCard<'_>, all: &[StyleCard<'_>], snapshot: &Snapshot) -> Option<Warning> {
    let name = card.style.retired.then(|| shoe::name(card.style))?;
    let next = snapshot.successors(&card.style.key).pop();
    let next = next.filter(|next| all.iter().all(|shown| shown.row != next.row));
    Some(match next {
        None => Warning { say: say!("{name} is no longer supplied; its measures stand.", name), way: None },
        Some(next) => {
            let keys = all.iter().map(|other| if other.row == card.row { next } else { *other });
            let keys: Vec<StyleCard<'_>> = keys.collect();
            let followed = shoe::name(next.style);
            let way = Link::new(say!("Set {followed} in its place", followed), address(&keys));
            Warning {
                say: say!("{name} is no longer supplied; {followed} has followed it.", name, followed),
                way: Some(way),
            }
        }
    })
}

fn too_few(count: usize) -> Option<Warning> {
    let say = match count {
        0 => say!("Name two shoes or more: find the first one below."),
        1 => say!("One shoe alone: find another one below to set beside it."),
        _ => return None,
    };
    Some(Warning { say: say.to_owned(), way: None })
}

/// The box that finds another shoe, with what its words may mean.
fn add(asked: &CompareQuery, cards: &[StyleCard<'_>], snapshot: &Snapshot) -> AddShoe {
    let is_shown = |key: &StyleKey| cards.iter().any(|card| card.style.key == *key);
    let found = worn::candidates(snapshot, &asked.words).into_iter().filter(|style| !is_shown(&style.key));
    let link = |style: &catalogue::style::Style| {
        let keys = cards.iter().map(|card| &card.style.key).chain([&style.key]);
        Link::new(shoe::name(style), CompareQuery::address(keys))
    };
    let found: Vec<Link> = found.map(link).collect();
    AddShoe {
        shoes: cards.iter().map(|card| card.style.key.to_string()).collect(),
        none: found.is_empty() && !asked.words.is_empty(),
        all: visitor().may(Access::Fitter),
        words: asked.words.clone(),
        found,
    }
}

fn compared(card: &StyleCard<'_>, all: &[StyleCard<'_>], snapshot: &Snapshot) -> Compared {
    let others = all.iter().filter(|other| other.row != card.row).map(|other| &other.style.key);
    Compared {
        name: shoe::name(card.style),
        href: visitor().may(Access::Fitter).then(|| shoe::href(card.style)),
        sole: shoe::sole(&card.measures, None, Scale::Large),
        stock: stock(card, snapshot),
        remove: (all.len() > 1).then(|| Act::Go(CompareQuery::address(others))),
        choose: None,
    }
}

fn stock(card: &StyleCard<'_>, snapshot: &Snapshot) -> String {
    let price = card.skus.iter().filter_map(|sku| sku.price).min();
    let price = price.map_or_else(
        || say!("price not given").to_owned(),
        |p| say!("from {currency}", currency = money(p, snapshot.policy().currency)),
    );
    let pairs: u32 = card.skus.iter().filter_map(|sku| sku.quantity).map(|q| q.counted()).sum();
    say!("{price} · {pairs} in stock", price, pairs = number_of(pairs as usize, say!("pair"), say!("pairs")))
}
