//! Counts over an invented catalogue, without a store.

use super::*;
use crate::snapshot::invented::{sku, snapshot, style};
use catalogue::stock::Gtin;

/// Sources: the worked examples of `tests/tables/gtin_examples.csv`.
const EGGE_42: &str = "7300011000017";
const EGGE_43: &str = "6291041500213";
const TWICE: &str = "20123451";

/// Egge in 42 (3 pairs on A1), 43 (at least 10 on A1), 44 (unknown number on B2), and two sizes of one code.
fn shop() -> Snapshot {
    let egge = style("Feldrast", "FR-1", "Egge");
    let size = |size: &str, code: &str, quantity, place: Option<&str>| Sku {
        gtin: Gtin::parse(code).ok(),
        quantity,
        place: place.map(Into::into),
        ..sku(&egge, "grey", size)
    };
    let skus = vec![
        size("EU 42", EGGE_42, Some(Quantity::Pairs(3)), Some("Bay A1")),
        size("EU 43", EGGE_43, Some(Quantity::AtLeast(10)), Some("Bay A1")),
        size("EU 44", "", Some(Quantity::Some), Some("B2")),
        size("EU 45", TWICE, None, None),
        size("EU 46", TWICE, Some(Quantity::Pairs(0)), Some("Bay A1")),
    ];
    snapshot(vec![egge], skus)
}

fn count(text: &str, place: &str, scope: Scope) -> Count {
    Count::of(&Scanned::new(text.to_owned(), place, scope).unwrap(), &shop())
}

/// Size labels of the absent.
fn absent(count: &Count) -> Vec<String> {
    count.absent.iter().map(|sku| sku.label.printed().to_owned()).collect()
}

#[test]
fn a_code_scanned_again_adds_a_pair_and_blank_lines_say_nothing() {
    let count = count(&format!("{EGGE_42}\n\n{EGGE_43};2\r\n{EGGE_42} x3\r{EGGE_42}\n"), "", Scope::Listed);
    let found: Vec<_> =
        count.found.iter().map(|f| (f.sku.label.printed(), f.pairs, f.difference())).collect();
    assert_eq!(found, [("42", 5, Some(2)), ("43", 2, Some(-8))]);
    assert_eq!((count.lines, count.pairs(), count.held.len()), (4, 7, 0));
}

#[test]
fn more_than_at_least_is_no_difference_that_is_known() {
    let count = count(&format!("{EGGE_43} 12\nfeldrast.fr-1/grey/eu-44/"), "", Scope::Listed);
    assert_eq!(count.found.iter().map(Found::difference).collect::<Vec<_>>(), [None, None]);
    assert!(count.found.iter().all(Found::changes), "a number is now known");
}

#[test]
fn what_cannot_be_counted_is_held_with_its_line() {
    let count = count(&format!("{EGGE_42}\n\n7300011000018\n036000241457\n{TWICE}"), "", Scope::Listed);
    let held: Vec<_> = count.held.iter().map(|held| (held.line, held.why.word())).collect();
    assert_eq!(held, [(3, "damaged"), (4, "unknown"), (5, "several")]);
    let said = count.held.iter().map(|held| held.why.to_string()).collect::<Vec<_>>();
    assert!(said[0].contains("the last one would be 7"), "{said:?}");
    assert!(said[2].contains("feldrast.fr-1/grey/eu-45/ or feldrast.fr-1/grey/eu-46/"), "{said:?}");
}

#[test]
fn only_what_was_counted_changes_unless_it_was_everything() {
    let listed = count(EGGE_42, "", Scope::Listed);
    assert!(listed.absent.is_empty() && !listed.empties());
    let listed = count(EGGE_42, "bay a1", Scope::Listed);
    assert_eq!((absent(&listed), listed.empties()), (vec!["43".to_owned()], false));
    assert_eq!(listed.written().count(), 1);
    let shelf = count(EGGE_42, "bay a1", Scope::Shelf);
    assert_eq!((absent(&shelf), shelf.empties()), (vec!["43".to_owned()], true));
    assert_eq!(shelf.place.as_deref(), Some("Bay A1"), "spelled as the catalogue spells it");
    let written: Vec<_> = shelf.written().map(|w| (w.pairs, w.place)).collect();
    assert_eq!(written, [(1, Some("Bay A1")), (0, None)]);
    assert_eq!(absent(&count(EGGE_42, "", Scope::Shop)), ["43", "44", "45"], "46 is believed to be out");
}

#[test]
fn nothing_becomes_none_while_a_line_is_held() {
    let count = count(&format!("{EGGE_42}\n7300011000018"), "Bay A1", Scope::Shelf);
    assert!(!count.empties() && absent(&count) == ["43"]);
    assert_eq!(count.written().count(), 1);
}

#[test]
fn a_count_is_another_when_the_catalogue_believes_another_number() {
    let scanned = Scanned::new(EGGE_42.to_owned(), "", Scope::Listed).unwrap();
    let before = Count::of(&scanned, &shop());
    assert_eq!(Count::of(&scanned, &shop()).digest, before.digest);
    let mut skus = shop().skus().iter().cloned().collect::<Vec<_>>();
    skus[0].quantity = Some(Quantity::Pairs(2));
    let after = snapshot(shop().styles().to_vec(), skus);
    assert_ne!(Count::of(&scanned, &after).digest, before.digest);
}

#[test]
fn an_empty_shelf_can_be_counted_an_empty_shop_cannot() {
    let new = |text: &str, place: &str, scope| Scanned::new(text.to_owned(), place, scope).map(|_| ());
    assert_eq!(new("", "A1", Scope::Shelf), Ok(()));
    assert_eq!(new(" \n", "A1", Scope::Shop), Err(Refused::Nothing));
    assert_eq!(new("", "A1", Scope::Listed), Err(Refused::Nothing));
    assert_eq!(new(EGGE_42, " ", Scope::Shelf), Err(Refused::NoPlace));
    assert_eq!(new(EGGE_42, &"x".repeat(LONGEST_PLACE + 1), Scope::Listed), Err(Refused::Place));
    assert_eq!(new(&"1\n".repeat(MOST_BYTES), "", Scope::Listed), Err(Refused::TooLong));
}
