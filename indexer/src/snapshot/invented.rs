//! Invented styles and SKUs for the tests of words, snapshot and search.

use catalogue::key::StyleKey;
use catalogue::policy::HousePolicy;
use catalogue::size::{SizeCharts, SizeLabel, SizeSystem};
use catalogue::stock::{Price, Quantity, Sku};
use catalogue::style::{Purposes, Specification, Style, Surfaces};

use super::Snapshot;
use crate::loaded::{Loaded, Seq};
use crate::words::{Synonyms, Words};

/// A style of which nothing is known beyond its names.
pub(crate) fn style(maker: &str, number: &str, name: &str) -> Style {
    Style {
        key: StyleKey::of_number(maker, number).unwrap(),
        maker: maker.into(),
        number: Some(number.into()),
        name: name.into(),
        audience: None,
        surfaces: Surfaces::NONE,
        purposes: Purposes::NONE,
        specification: Specification::default(),
        notes: None,
        shop_note: None,
        season: None,
        replaces: None,
        retired: false,
    }
}

/// A size label: `EU 42 2/3`; a system nobody knows is no system.
pub(crate) fn label(text: &str) -> SizeLabel {
    let (system, printed) = text.split_once(' ').unwrap();
    SizeLabel::parse(SizeSystem::from_word(system), printed).unwrap()
}

/// A SKU of a style, its quantity unknown, without a price.
pub(crate) fn sku(style: &Style, colourway: &str, size: &str) -> Sku {
    let label = label(size);
    Sku {
        style: style.key.clone(),
        colourway: colourway.into(),
        label,
        width: None,
        gtin: None,
        quantity: None,
        price: None,
        place: None,
    }
}

/// A SKU with pairs and a price in whole units.
pub(crate) fn stocked(style: &Style, size: &str, pairs: u32, price: u32) -> Sku {
    let price = Some(Price(price * 100));
    Sku { quantity: Some(Quantity::Pairs(pairs)), price, ..sku(style, "grey", size) }
}

/// What a store would load.
pub(crate) fn loaded(mut styles: Vec<Style>, mut skus: Vec<Sku>) -> Loaded {
    styles.sort_by(|a, b| a.key.cmp(&b.key));
    skus.sort_by_cached_key(Sku::key);
    skus.sort_by(|a, b| a.style.cmp(&b.style));
    let (policy, charts) = (HousePolicy::standard(), SizeCharts::default());
    Loaded { seq: Seq(7), styles, skus, policy, charts, stock_told: None, synonyms: Synonyms::default() }
}

/// The snapshot of it, its words in memory.
pub(crate) fn snapshot(styles: Vec<Style>, skus: Vec<Sku>) -> Snapshot {
    let loaded = loaded(styles, skus);
    let words = Words::open_or_build(None, &loaded).unwrap();
    Snapshot::build(loaded, words)
}
