//! The gaps on their pages: counts, the shoes behind them, and what to ask a supplier.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use indexer::gaps::{Shoe, holes};

use crate::owner_bench::{Owner, reader};
use web::sample::sample_shop;

const RANGE: &[u8] = b"Maker,Style number,Model,Heel stack mm,Forefoot stack mm,Drop mm,Weight g
Feldrast,FR-1,Egge,30,24,8,250
Feldrast,FR-2,Eggen,,,,
Feldrast,FR-3,egge,30,22,,
";

async fn filled() -> Owner {
    let owner = Owner::new();
    let (sheet, _) = owner.preview("range.csv", RANGE).await;
    owner.apply(&sheet).await;
    owner
}

#[tokio::test]
async fn holes_are_counted_with_their_denominators_and_lead_to_the_shoes() {
    let owner = filled().await;
    let page = owner.get("/gaps").await;
    assert_eq!(page.status, StatusCode::OK);
    let rows = page.all("<tr>", "</tr>");
    for row in ["Drop1 of 3", "Weight2 of 3", "Size weighed at1 of 1", "Bending3 of 3"] {
        assert!(rows.iter().any(|shown| shown.starts_with(row)), "{row}: {rows:?}");
    }
    assert!(page.body.contains("href=\"/gaps?measure=drop\""));
    let list = owner.get("/gaps?measure=drop").await;
    assert!(list.says("1 of 3 styles.") && list.says("Feldrast Eggen") && !list.says("FR-3"));
    assert!(list.body.contains("href=\"/shoes/feldrast.fr-2/edit\""), "a link to mend it");
}

#[tokio::test]
async fn contradictions_and_names_told_twice_are_named() {
    let page = filled().await.get("/gaps").await;
    assert!(page.says("Drop stated as 8 mm, but the stacks 30 mm and 24 mm make 6 mm"), "{}", page.text());
    assert!(page.says("2 styles are called Feldrast Egge"), "{}", page.text());
    assert!(page.says("House view:"), "what counts as far is ours, and said so");
}

#[tokio::test]
async fn every_state_has_one_address() {
    let owner = filled().await;
    let moved = owner.get("/gaps?supplier=Feldrast&measure=drop&page=1").await;
    assert_eq!(moved.status, StatusCode::PERMANENT_REDIRECT);
    assert_eq!(moved.to, "/gaps?measure=drop&supplier=Feldrast");
    assert_eq!(owner.get(&moved.to).await.status, StatusCode::OK);
    assert_eq!(owner.get("/gaps?measure=wings").await.to, "/gaps");
}

#[tokio::test]
async fn a_supplier_is_asked_in_plain_text_for_what_is_missing() {
    let owner = filled().await;
    let page = owner.get("/gaps?supplier=Feldrast").await;
    assert!(page.says("What we are asking you for") && page.says("FR-2 Feldrast Eggen"), "{}", page.text());
    let letter = owner.get("/gaps/ask?supplier=Feldrast").await;
    assert_eq!(letter.status, StatusCode::OK);
    assert!(
        letter.body.starts_with("What we are asking you for\n\nTo the supplier: Feldrast\n"),
        "{}",
        letter.body
    );
    assert!(letter.body.contains("please check: Drop stated as 8 mm"), "{}", letter.body);
    assert!(!letter.body.contains('<'));
    let german = owner.look_in_german("/gaps/ask?supplier=Feldrast").await.body;
    assert!(
        german.starts_with("Worum wir Sie bitten\n\nAn den Lieferanten: Feldrast\n\nAuf den Listen"),
        "{german}"
    );
    assert!(german.contains("bitte prüfen: Sprengung") && german.ends_with("\nVielen Dank.\n"), "{german}");
    for english in ["please", "drop", "Drop", "stack", "weight", "styles"] {
        assert!(!german.contains(english), "{english}: {german}");
    }
    let nobody = owner.get("/gaps/ask?supplier=Nobody").await;
    assert_eq!(nobody.status, StatusCode::NOT_FOUND);
    assert!(nobody.says("Nothing to ask"));
    assert!(owner.get("/gaps?supplier=Nobody").await.says("No shoe that is still supplied"));
}

#[tokio::test]
async fn an_empty_catalogue_says_what_that_means() {
    let page = Owner::new().get("/gaps").await;
    assert!(page.says("The catalogue is empty, so nothing is missing yet"), "{}", page.text());
}

#[tokio::test]
async fn the_lists_behind_the_counts_of_the_sample_hold_as_many_shoes_as_counted() {
    let owner = Owner::over(sample_shop(reader(), 1_000).unwrap());
    let suppliers = owner.state.shop.ask(|store| store.suppliers()).unwrap();
    let snapshot = owner.state.snapshot();
    let counted = holes(&Shoe::all(&snapshot, &suppliers));
    for hole in counted.iter().filter(|hole| hole.missing > 0) {
        let mut listed = 0;
        for page in 1..=hole.missing.div_ceil(50) {
            let page = if page > 1 { format!("&page={page}") } else { String::new() };
            let list = owner.get(&format!("/gaps?measure={}{page}", hole.wanted.key)).await;
            listed += list.body.matches("/edit\"").count();
        }
        assert_eq!(listed, hole.missing, "{}", hole.wanted.key);
    }
}

#[tokio::test]
async fn the_pages_have_one_heading_no_script_and_no_id_twice() {
    let owner = filled().await;
    let counted =
        owner.post("/count", &[("text", "1%0A7300011000017"), ("place", "A1"), ("scope", "shelf")]).await;
    let mut pages = vec![("a count", counted.body)];
    for page in ["/gaps", "/gaps?measure=drop", "/gaps?supplier=Feldrast", "/count"] {
        pages.push((page, owner.get(page).await.body));
    }
    for (page, html) in pages {
        assert_eq!(html.matches("<h1").count(), 1, "{page}");
        assert!(html.matches("<script").count() == 1 && !html.contains("style=\""), "{page}");
        let mut ids: Vec<_> =
            html.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{page}");
    }
}
