//! Shoes that may be one shoe told twice: one code on two boxes, one name or number on two styles, a forerunner that
//! nobody knows.

use std::collections::{BTreeMap, BTreeSet};

use catalogue::key::{MakerKey, StyleKey};
use catalogue::stock::{Gtin, Sku};
use catalogue::style::Audience;

use super::{Doubt, Shoe, called};

/// What may be told twice. Retired shoes count where a key or a code is shared, for keys and codes are given once.
pub fn duplicates(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    let found = [codes_twice(shoes), names_twice(shoes), numbers_twice(shoes), forerunners_unknown(shoes)];
    found.into_iter().flatten().collect()
}

fn codes_twice(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    let mut by_code: BTreeMap<Gtin, Vec<&Sku>> = BTreeMap::new();
    for sku in shoes.iter().flat_map(|shoe| shoe.skus) {
        if let Some(gtin) = sku.gtin {
            by_code.entry(gtin).or_default().push(sku);
        }
    }
    let twice = by_code.into_iter().filter(|(_, on)| on.len() > 1);
    twice
        .map(|(gtin, on)| Doubt {
            code: "code-on-two-sizes",
            styles: unique(on.iter().map(|sku| &sku.style)),
            say: format!(
                "The code {gtin} is on {} sizes: {}. A scan cannot tell them apart.",
                on.len(),
                listed(on.iter().map(|sku| sku.key().to_string()))
            ),
        })
        .collect()
}

/// One name for women and for men is two shoes; with the audience of one unknown it may be the same.
fn names_twice(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    let mut by_name: BTreeMap<(MakerKey, String), Vec<&Shoe<'_>>> = BTreeMap::new();
    for shoe in shoes.iter().filter(|shoe| !shoe.style.retired) {
        if let Some(name) = folded(&shoe.style.name) {
            by_name.entry((shoe.style.key.maker(), name)).or_default().push(shoe);
        }
    }
    by_name.into_values().filter_map(|same| names_of_one(&same)).collect()
}

fn names_of_one(same: &[&Shoe<'_>]) -> Option<Doubt> {
    let mut of_audience: BTreeMap<Option<Audience>, usize> = BTreeMap::new();
    for shoe in same {
        *of_audience.entry(shoe.style.audience).or_default() += 1;
    }
    let unknown = of_audience.contains_key(&None);
    let alike = |shoe: &&&Shoe<'_>| unknown || of_audience.get(&shoe.style.audience).is_some_and(|n| *n > 1);
    let styles = unique(same.iter().filter(alike).map(|shoe| &shoe.style.key));
    let first = same.first()?;
    let say = format!(
        "{} styles are called {}, as far as case, marks and blanks tell: are they one?",
        styles.len(),
        called(first.style)
    );
    (styles.len() > 1).then_some(Doubt { code: "name-twice", styles, say })
}

fn numbers_twice(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    let mut by_number: BTreeMap<String, Vec<&Shoe<'_>>> = BTreeMap::new();
    for shoe in shoes.iter().filter(|shoe| !shoe.style.retired) {
        if let Some(number) = shoe.style.number.as_deref().and_then(folded) {
            by_number.entry(number).or_default().push(shoe);
        }
    }
    let makers =
        |same: &[&Shoe<'_>]| same.iter().map(|shoe| shoe.style.key.maker()).collect::<BTreeSet<_>>().len();
    let twice = by_number.into_values().filter(|same| makers(same) > 1);
    twice
        .map(|same| Doubt {
            code: "number-under-two-makers",
            styles: unique(same.iter().map(|shoe| &shoe.style.key)),
            say: format!(
                "The style number {} stands under {} makers: {}. Is one of them a supplier's name?",
                same.first().and_then(|shoe| shoe.style.number.as_deref()).unwrap_or_default(),
                makers(&same),
                listed(same.iter().map(|shoe| called(shoe.style)))
            ),
        })
        .collect()
}

fn forerunners_unknown(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    let known: BTreeSet<&StyleKey> = shoes.iter().map(|shoe| &shoe.style.key).collect();
    let unknown = shoes.iter().filter_map(|shoe| {
        let replaced = shoe.style.replaces.as_ref().filter(|key| !known.contains(key))?;
        Some((shoe, replaced))
    });
    unknown
        .map(|(shoe, replaced)| Doubt {
            code: "replaces-unknown",
            styles: vec![shoe.style.key.clone()],
            say: format!("It replaces {replaced}, which the catalogue does not hold."),
        })
        .collect()
}

/// The first few, and how many more there are.
fn listed(names: impl ExactSizeIterator<Item = String>) -> String {
    const NAMED: usize = 5;
    let more = names.len().saturating_sub(NAMED);
    let named = names.take(NAMED).collect::<Vec<_>>().join(", ");
    if more > 0 { format!("{named} and {more} more") } else { named }
}

/// A text without case, marks, blanks and signs.
fn folded(text: &str) -> Option<String> {
    MakerKey::of(text).map(|slug| slug.as_str().replace('-', ""))
}

fn unique<'k>(keys: impl Iterator<Item = &'k StyleKey>) -> Vec<StyleKey> {
    keys.cloned().collect::<BTreeSet<_>>().into_iter().collect()
}
