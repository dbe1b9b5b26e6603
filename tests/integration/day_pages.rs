//! The owner's day: the last sheet, what changed, what was looked for in vain, wanted, said on the foot, and what runs out.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use catalogue::trying::Remark;
use indexer::store::Counted;

use crate::owner_bench::Owner;

const SKU: &str = "feldrast.fr-1//eu-42/";

/// One shoe in three sizes; the middle one runs out.
async fn with_stock() -> Owner {
    let owner = Owner::new();
    let stock = "Maker,Style number,Model,Size system,Size,Qty,Place\nFeldrast,FR-1,Egge,EU,41,4,C4\n\
                 Feldrast,FR-1,Egge,EU,42,1,C4\nFeldrast,FR-1,Egge,EU,43,5,C4\n";
    let (sheet, page) = owner.preview("stock.csv", stock.as_bytes()).await;
    assert!(page.body.contains("/apply\""), "{}", page.text());
    owner.apply(&sheet).await;
    owner
}

fn counted(owner: &Owner, lines: &[(Counted, &str)]) {
    let lines: Vec<_> = lines.iter().map(|(counted, key)| (*counted, (*key).to_owned())).collect();
    owner.state.shop.tally(&lines, 0).unwrap();
}

#[tokio::test]
async fn the_day_says_what_came_in_and_which_sizes_run_out() {
    let owner = with_stock().await;
    let day = owner.get("/day").await;
    assert!(day.says("Import of stock.csv") && day.says("3 rows: 3 new"), "{}", day.text());
    assert!(day.says("Feldrast Egge: EU 42 (1)") && !day.says("EU 41 ("), "{}", day.text());
    assert!(day.says("sizes with 1 pair or fewer"));
    assert!(Owner::new().get("/day").await.says("No sheet has been imported yet"));
}

#[tokio::test]
async fn a_box_looked_for_in_vain_is_to_be_counted_until_it_is() {
    let owner = with_stock().await;
    counted(&owner, &[(Counted::NotOnShelf, SKU), (Counted::NotOnShelf, "gone.a//eu-42/")]);
    let day = owner.get("/day").await;
    assert!(day.says("Feldrast Egge EU 42, C4: 1 by the sheets") && day.says("once, on 1 January 1970"));
    assert_eq!(day.body.matches("Dealt with: ").count(), 1, "a box the catalogue has lost is passed over");
    let settled = owner.post("/day/settle", &[("counted", "not-on-shelf"), ("key", SKU)]).await;
    assert_eq!((settled.status, settled.to.as_str()), (StatusCode::SEE_OTHER, "/day"));
    assert!(owner.get("/day").await.says("Nothing was looked for in vain."));
}

#[tokio::test]
async fn what_is_wanted_or_said_on_the_foot_leads_to_the_shoe_and_can_be_dealt_with() {
    let owner = with_stock().await;
    let slips = Counted::OnFoot(Remark::HeelSlips);
    counted(
        &owner,
        &[(slips, "feldrast.fr-1"), (slips, "feldrast.fr-1"), (Counted::Wanted, "feldrast.fr-1 EU 44")],
    );
    let day = owner.get("/day").await;
    assert!(day.says("Feldrast Egge: heel slips") && day.says("2 times, last on 1 January 1970"));
    assert!(day.says("Feldrast Egge in EU 44") && day.body.contains("/shoes/feldrast.fr-1/edit#shop_note"));
    assert!(owner.get("/shoes/feldrast.fr-1/edit").await.body.contains("id=\"shop_note\""));
    for (word, key) in [("heel-slips", "feldrast.fr-1"), ("wanted", "feldrast.fr-1 EU 44")] {
        owner.post("/day/settle", &[("counted", word), ("key", key)]).await;
    }
    assert!(!owner.get("/day").await.body.contains("Dealt with: "));
    let unknown = owner.post("/day/settle", &[("counted", "weather"), ("key", "x")]).await;
    assert_eq!(unknown.status, StatusCode::BAD_REQUEST);
}
