//! What the store promises of counts.

use super::tests::{STOCK, filled, import, signed};
use super::*;
use crate::columns::QUANTITY;
use crate::count::{Count, Scanned, Scope};
use crate::error::ApplyError;
use crate::proposal::Entity;
use crate::snapshot::Snapshot;
use crate::words::Words;

const GREY_42: &str = "fennick.f1/grey/eu-42/";

/// F1 in grey: 2 pairs of 42 and 1 of 43.
fn stocked() -> Store {
    let mut store = filled();
    let rows: [&[&str]; 3] =
        [STOCK, &["Fennick", "F1", "Grey", "EU", "42", "2"], &["Fennick", "F1", "Grey", "EU", "43", "1"]];
    import(&mut store, "counted stock", &rows);
    store
}

fn counted(store: &Store, text: &str, place: &str, scope: Scope) -> Count {
    let loaded = store.load().unwrap();
    let words = Words::open_or_build(None, &loaded).unwrap();
    let scanned = Scanned::new(text.to_owned(), place, scope).unwrap();
    Count::of(&scanned, &Snapshot::build(loaded, words))
}

/// Applies what was counted under a key.
fn apply(store: &mut Store, key: &str, text: &str, place: &str, scope: Scope) -> ChangeId {
    let count = counted(store, text, place, scope);
    store.count(&signed(key), |_| Ok(count)).unwrap()
}

fn quantities(store: &Store) -> Vec<(String, Option<String>)> {
    let skus = store.load().unwrap().skus;
    skus.iter().map(|sku| (sku.key().to_string(), sku.quantity.map(|q| q.to_string()))).collect()
}

fn quantity(store: &Store, key: &str) -> Option<String> {
    quantities(store).into_iter().find(|(known, _)| known == key).and_then(|(_, quantity)| quantity)
}

#[test]
fn a_count_taken_back_gives_the_same_export_byte_for_byte() {
    let mut store = stocked();
    let before = store.export_ndjson().unwrap();
    let change = apply(&mut store, "count", GREY_42, "A1", Scope::Shelf);
    assert_eq!(quantity(&store, GREY_42).as_deref(), Some("1"));
    assert_ne!(store.export_ndjson().unwrap(), before);
    assert!(store.undo(change, &signed("undo")).unwrap().kept.is_empty());
    assert_eq!(store.export_ndjson().unwrap(), before);
}

#[test]
fn a_count_pressed_twice_counts_once() {
    let mut store = stocked();
    let first = apply(&mut store, "count", &format!("{GREY_42} x5"), "", Scope::Listed);
    assert_eq!(apply(&mut store, "count", &format!("{GREY_42} x5"), "", Scope::Listed), first);
    assert_eq!(store.seq().unwrap().0, first.0);
    let receipt = store.receipt(first).unwrap().unwrap();
    assert_eq!((receipt.change, receipt.sizes, receipt.changed, receipt.pairs), (first, 1, 1, 5));
    assert_eq!(store.receipt(ChangeId(1)).unwrap(), None, "an import is no count");
}

#[test]
fn everything_in_the_shop_makes_what_was_not_found_none() {
    let mut store = stocked();
    let change = apply(&mut store, "count", &format!("{GREY_42};2"), "", Scope::Shop);
    assert!(quantities(&store).iter().all(|(key, q)| key == GREY_42 || q.as_deref() == Some("0")));
    let receipt = store.receipt(change).unwrap().unwrap();
    assert!(receipt.sizes > receipt.changed, "42 was found as believed, and is told anew: {receipt:?}");
}

#[test]
fn the_next_sheet_may_change_what_was_counted_also_where_a_person_had_said_it() {
    let mut store = stocked();
    let said = Correction {
        entity: Entity::Sku,
        key: GREY_42.to_owned(),
        column: &QUANTITY,
        value: Some(crate::draft::Value::Text("9".into())),
        text: "seen in the shop".to_owned(),
    };
    store.correct(&said, &signed("correct")).unwrap();
    let change = apply(&mut store, "count", GREY_42, "", Scope::Listed);
    let rows: [&[&str]; 2] = [STOCK, &["Fennick", "F1", "Grey", "EU", "42", "4"]];
    let (sheet, _) = import(&mut store, "later", &rows);
    assert_eq!(quantity(&store, GREY_42).as_deref(), Some("4"));
    store.undo(sheet, &signed("undo sheet")).unwrap();
    assert_eq!(quantity(&store, GREY_42).as_deref(), Some("1"));
    store.undo(change, &signed("undo count")).unwrap();
    assert_eq!(quantity(&store, GREY_42).as_deref(), Some("9"));
}

#[test]
fn a_count_renews_the_age_of_the_stock_and_loses_it_when_taken_back() {
    let mut store = stocked();
    let count = counted(&store, GREY_42, "", Scope::Listed);
    let later = Signed { at: 5_000, ..signed("count") };
    let change = store.count(&later, |_| Ok(count)).unwrap();
    assert_eq!(store.load().unwrap().stock_told, Some(5_000));
    store.undo(change, &signed("undo")).unwrap();
    assert_eq!(store.load().unwrap().stock_told, Some(1_000));
}

#[test]
fn a_count_that_is_refused_leaves_no_trace() {
    let mut store = stocked();
    let now = store.seq().unwrap();
    let refused = store.count(&signed("count"), |now| Err(ApplyError::Conflict { base: Seq(1), now }));
    assert!(matches!(refused, Err(ApplyError::Conflict { .. })));
    assert_eq!(store.seq().unwrap(), now);
}
