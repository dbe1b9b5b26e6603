//! Shoes side by side by their address alone: nothing about a runner, so that the link may be shared.

use catalogue::key::StyleKey;
use indexer::snapshot::{Snapshot, StyleCard};

use crate::pages::compare::{ComparePage, Compared};
use crate::parts::act::Act;
use crate::parts::sole_line::Scale;
use crate::visit::money::money;
use crate::visit::{compare, shoe};

/// At most this many are set side by side.
pub const MOST: usize = 4;

/// The comparison of these keys, in their order; keys that name no shoe are said.
pub fn page(keys: &[String], snapshot: &Snapshot) -> ComparePage {
    let (mut cards, mut warnings) = (Vec::new(), Vec::new());
    for key in keys {
        match StyleKey::parse(key).and_then(|key| snapshot.style(&key)) {
            Some(card) => cards.push(card),
            None => warnings.push(no_such_shoe(key)),
        }
    }
    if cards.len() > MOST {
        cards.truncate(MOST);
        warnings.push(format!("More than {MOST} are hard to compare; the first {MOST} are shown."));
    }
    if cards.len() < 2 {
        warnings.push("Name two shoes or more: open a shoe, and set it beside others.".to_owned());
    }
    ComparePage {
        shoes: cards.iter().map(|card| compared(card, &cards, snapshot)).collect(),
        measures: compare::table(&cards, None),
        said: Vec::new(),
        warnings,
        share: None,
        only_differences: None,
        card: None,
    }
}

fn no_such_shoe(key: &str) -> String {
    let short: String = key.chars().take(60).collect();
    format!("The catalogue holds no shoe “{short}”; it is left out.")
}

fn compared(card: &StyleCard<'_>, all: &[StyleCard<'_>], snapshot: &Snapshot) -> Compared {
    let others: Vec<String> = all
        .iter()
        .filter(|other| other.row != card.row)
        .map(|other| format!("shoe={}", other.style.key))
        .collect();
    Compared {
        name: shoe::name(card.style),
        href: Some(shoe::href(card.style)),
        sole: shoe::sole(&card.measures, None, Scale::Large),
        stock: stock(card, snapshot),
        remove: (all.len() > 2).then(|| Act::Go(format!("/compare?{}", others.join("&")))),
        choose: None,
    }
}

fn stock(card: &StyleCard<'_>, snapshot: &Snapshot) -> String {
    let price = card.skus.iter().filter_map(|sku| sku.price).min();
    let price = price.map_or_else(
        || "price not given".to_owned(),
        |p| format!("from {}", money(p, snapshot.policy().currency)),
    );
    let pairs: u32 = card.skus.iter().filter_map(|sku| sku.quantity).map(|q| q.counted()).sum();
    format!("{price} · {pairs} pairs in stock")
}
