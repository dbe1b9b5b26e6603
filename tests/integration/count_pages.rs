//! Counting on its page: looked at, applied once, overtaken, taken back.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;

use crate::owner_bench::{Answer, Owner, reader};
use indexer::shop::Shop;

/// Codes: worked examples of GS1, `tests/tables/gtin_examples.csv`.
const STOCK: &[u8] = b"Maker,Style number,Model,Colour,Size system,Size,EAN,Qty,Place
Feldrast,FR-1,Egge,grey,EU,42,7300011000017,3,A1
Feldrast,FR-1,Egge,grey,EU,43,6291041500213,1,A1
Feldrast,FR-1,Egge,grey,EU,44,036000241457,2,B2
";
const EU_42: &str = "feldrast.fr-1/grey/eu-42/";

async fn stocked() -> Owner {
    let owner = Owner::new();
    let (sheet, _) = owner.preview("stock.csv", STOCK).await;
    assert_eq!(owner.apply(&sheet).await.status, StatusCode::SEE_OTHER);
    owner
}

/// Looks at what was scanned.
async fn look(owner: &Owner, text: &str, place: &str, scope: &str) -> Answer {
    owner.post("/count", &[("text", text), ("place", place), ("scope", scope)]).await
}

/// Presses Apply on a page that was looked at.
async fn apply(owner: &Owner, page: &Answer) -> Answer {
    let hidden = |name: &str| page.hidden("/count", name).replace('\n', "%0A");
    let names = ["text", "place", "scope", "base", "seen"];
    let values = names.map(|name| (name, hidden(name)));
    let fields: Vec<_> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
    owner.post("/count", &fields).await
}

fn pairs(owner: &Owner, key: &str) -> String {
    let snapshot = owner.state.snapshot();
    let sku = snapshot.sku(key).unwrap();
    sku.quantity.unwrap().to_string()
}

fn export(shop: &Shop) -> String {
    shop.ask(|store| store.export_ndjson()).unwrap()
}

#[tokio::test]
async fn a_count_is_stored_only_when_applied_and_taken_back_byte_for_byte() {
    let owner = stocked().await;
    let before = export(&owner.state.shop);
    let page = look(&owner, "7300011000017%0A7300011000017%0A", "a1", "shelf").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.says("Feldrast Egge, grey, EU 4232-1"), "believed, counted, difference: {}", page.text());
    assert!(page.says("1 size believed on A1 without a scan"), "{}", page.text());
    assert_eq!((owner.changes(), pairs(&owner, EU_42).as_str()), (1, "3"));
    let applied = apply(&owner, &page).await;
    assert_eq!((applied.status, applied.to.as_str()), (StatusCode::SEE_OTHER, "/count?done=2"));
    let receipt = owner.get(&applied.to).await;
    assert!(receipt.says("Counted as change 2: 2 pairs of 2 sizes, 2 of them another number."));
    for page in ["/changes", "/changes/2"] {
        let told = owner.get(page).await;
        assert!(told.says("2 sizes, 2 changed, 2 pairs"), "{page}: {}", told.text());
    }
    assert_eq!(pairs(&owner, EU_42), "2");
    assert_eq!(pairs(&owner, "feldrast.fr-1/grey/eu-43/"), "0");
    assert_eq!(pairs(&owner, "feldrast.fr-1/grey/eu-44/"), "2", "on another shelf");
    let at = owner.get("/changes/2/undo").await.hidden("/changes/2/undo", "at");
    assert_eq!(owner.post("/changes/2/undo", &[("at", &at)]).await.to, "/changes?done=3");
    assert_eq!(export(&owner.state.shop), before);
}

#[tokio::test]
async fn a_second_press_is_the_same_receipt_and_counts_once() {
    let owner = stocked().await;
    let page = look(&owner, "7300011000017 x5", "", "listed").await;
    for _ in 0..3 {
        assert_eq!(apply(&owner, &page).await.to, "/count?done=2");
    }
    assert_eq!((owner.changes(), pairs(&owner, EU_42).as_str()), (2, "5"));
}

#[tokio::test]
async fn a_count_that_another_change_has_overtaken_is_shown_anew_and_can_then_be_applied() {
    let owner = stocked().await;
    let first = look(&owner, "7300011000017", "", "listed").await;
    let other = look(&owner, "7300011000017;2", "", "listed").await;
    apply(&owner, &other).await;
    let stale = apply(&owner, &first).await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
    assert!(stale.says("nothing was applied") && stale.says("EU 4221-1"), "{}", stale.text());
    assert_eq!((owner.changes(), pairs(&owner, EU_42).as_str()), (2, "2"));
    assert_eq!(apply(&owner, &stale).await.to, "/count?done=3");
    assert_eq!(pairs(&owner, EU_42), "1");
}

#[tokio::test]
async fn counts_of_two_shelves_do_not_stand_in_each_others_way() {
    let owner = stocked().await;
    let first = look(&owner, "7300011000017", "A1", "shelf").await;
    let second = look(&owner, "036000241457;7", "B2", "shelf").await;
    assert_eq!(apply(&owner, &second).await.to, "/count?done=2");
    assert_eq!(apply(&owner, &first).await.to, "/count?done=3");
}

#[tokio::test]
async fn a_damaged_and_an_unknown_code_are_named_with_their_lines_and_empty_no_shelf() {
    let owner = stocked().await;
    let text = "7300011000017%0A%0A7300011000018%0A20123451";
    let page = look(&owner, text, "A1", "shelf").await;
    let rows = page.all("<tr>", "</tr>");
    assert!(rows.iter().any(|row| row.starts_with("37300011000018A digit is wrong")), "{rows:?}");
    assert!(rows.iter().any(|row| row.starts_with("420123451No size in the catalogue")), "{rows:?}");
    assert!(page.says("nothing becomes of that, for one may be the very shoe"), "{}", page.text());
    assert_eq!(apply(&owner, &page).await.to, "/count?done=2");
    assert_eq!(pairs(&owner, "feldrast.fr-1/grey/eu-43/"), "1");
}

#[tokio::test]
async fn a_form_that_cannot_be_counted_comes_back_with_what_was_typed() {
    let owner = stocked().await;
    let nothing = look(&owner, "", "", "listed").await;
    assert_eq!(nothing.status, StatusCode::BAD_REQUEST);
    assert!(nothing.says("No code was scanned.") && nothing.body.contains("href=\"#text\""));
    let no_shelf = look(&owner, "7300011000017", "", "shelf").await;
    assert!(no_shelf.says("Everything on which shelf?") && no_shelf.says("7300011000017"));
    assert_eq!(owner.get("/count?done=99").await.status, StatusCode::OK);
    assert_eq!(owner.changes(), 1);
}

#[tokio::test]
async fn every_list_shows_the_age_of_the_stock_and_a_count_renews_it() {
    let owner = stocked().await;
    owner.state.clock.advance(std::time::Duration::from_hours(5));
    let fitting = owner.post("/fittings", &[]).await.to;
    let stock = fitting.trim_end_matches("/runner").to_owned();
    let pages = ["/", "/shoes", "/shoes/feldrast.fr-1", "/gaps", "/count", &stock];
    for page in pages {
        assert!(owner.get(page).await.says("Stock figures 5 h old"), "{page}");
    }
    let looked = look(&owner, "7300011000017", "", "listed").await;
    apply(&owner, &looked).await;
    for page in pages {
        assert!(owner.get(page).await.says("Stock figures of just now"), "{page}");
    }
}

#[tokio::test]
async fn an_empty_catalogue_knows_no_code_and_offers_nothing_to_apply() {
    let owner = Owner::over(Shop::in_memory(reader()).unwrap());
    let page = look(&owner, "7300011000017", "", "listed").await;
    assert!(page.says("No size in the catalogue has this code") && page.says("Nothing would be written."));
    assert!(!page.body.contains("name=\"seen\""));
}
