//! What the owner says by hand, where every number came from, and what an undo says before and after.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use catalogue::key::StyleKey;

use crate::owner_bench::{Answer, Owner};

const SHOE: &str = "/shoes/feldrast.fr-1";
const EDIT: &str = "/shoes/feldrast.fr-1/edit";

fn range(heel: &str, mass: &str) -> Vec<u8> {
    let rows = "Feldrast,FR-2,Firn,22,\n";
    format!("Maker,Style number,Model,Heel stack mm,Mass g\nFeldrast,FR-1,Egge,{heel},{mass}\n{rows}").into()
}

async fn sheet(owner: &Owner, heel: &str, mass: &str) {
    let (sheet, _) = owner.preview("range.csv", &range(heel, mass)).await;
    let applied = owner.apply(&sheet).await;
    assert_eq!(applied.status, StatusCode::SEE_OTHER, "{}", applied.text());
}

/// A catalogue of two shoes.
async fn filled() -> Owner {
    let owner = Owner::new();
    sheet(&owner, "30", "280").await;
    owner
}

async fn at(owner: &Owner) -> String {
    owner.get(EDIT).await.hidden(EDIT, "at")
}

async fn say(owner: &Owner, at: &str, fields: &[(&str, &str)]) -> Answer {
    let mut all = vec![("at", at), ("reason", "measured")];
    all.extend_from_slice(fields);
    owner.post(EDIT, &all).await
}

/// Whether one row of a table holds all these words.
fn has_row(page: &Answer, cells: &[&str]) -> bool {
    page.all("<tr>", "</tr>").iter().any(|row| cells.iter().all(|cell| row.contains(cell)))
}

fn heel_and_mass(owner: &Owner) -> (Option<i32>, Option<i32>) {
    let snapshot = owner.state.snapshot();
    let card = snapshot.style(&StyleKey::parse("feldrast.fr-1").unwrap()).unwrap();
    let spec = &card.style.specification;
    (spec.heel_stack.map(|mm| mm.in_tenths()), spec.mass.map(|mass| mass.in_tenths()))
}

#[tokio::test]
async fn values_typed_with_units_and_commas_are_one_change_and_stand_with_their_word() {
    let owner = filled().await;
    let form = owner.get(EDIT).await;
    assert!(form.says("“30” in range.csv, row 2, column D, from Feldrast"), "{}", form.text());
    let at = form.hidden(EDIT, "at");
    let fields = [
        ("heel_stack", "32,5"),
        ("mass", "9.4 oz"),
        ("replaces", "FR-2"),
        ("shop_note.tick", "runs short"),
        ("shop_note.tick", "narrow heel"),
        ("shop_note", "stiff tongue"),
        ("reason_words", "second pair"),
    ];
    for _ in 0..2 {
        let kept = say(&owner, &at, &fields).await;
        assert_eq!((kept.status, kept.to.as_str()), (StatusCode::SEE_OTHER, "/shoes/feldrast.fr-1?done=2"));
    }
    assert_eq!((owner.changes(), heel_and_mass(&owner)), (2, (Some(325), Some(2_665))));
    let shoe = owner.get(&format!("{SHOE}?done=2")).await;
    for said in [
        "Kept. Change 2, which can be undone",
        "32.5 mm measured in the shop: second pair",
        "runs short, narrow heel, stiff tongue",
        "Follows Feldrast Firn",
    ] {
        assert!(shoe.says(said), "{said}: {}", shoe.text());
    }
    let change = owner.get("/changes/2").await;
    assert!(has_row(&change, &["heel stack", "30 mm", "32.5 mm", "measured in the shop: second pair"]));
}

#[tokio::test]
async fn every_fault_stands_at_its_field_with_what_was_typed_and_nothing_is_kept() {
    let owner = filled().await;
    let at = at(&owner).await;
    let fields =
        [("heel_stack", "thirty"), ("mass", "270"), ("replaces", "FR-77"), ("name", ""), ("reason", "none")];
    let refused = owner.post(EDIT, &[&[("at", at.as_str())][..], &fields].concat()).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    let errors = refused.all("<p class=\"error\"", "</p>");
    assert_eq!(errors.len(), 4, "{errors:?}");
    for said in ["no other shoe of Feldrast", "A shoe needs a name", "Say where the values come from"] {
        assert!(errors.iter().any(|error| error.contains(said)), "{said}: {errors:?}");
    }
    assert!(refused.body.contains("value=\"thirty\"") && refused.body.contains("value=\"270\""));
    assert!(refused.body.contains("<title>Error: "));
    assert_eq!((owner.changes(), heel_and_mass(&owner)), (1, (Some(300), Some(2_800))));
}

#[tokio::test]
async fn a_form_that_changes_nothing_says_so_and_makes_no_change() {
    let owner = filled().await;
    let at = at(&owner).await;
    let refused = say(&owner, &at, &[("heel_stack", "30"), ("mass", "280.0 g")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("Nothing differs from what stands here"));
    assert_eq!(owner.changes(), 1);
}

#[tokio::test]
async fn a_form_that_another_change_has_overtaken_comes_back_with_the_new_values() {
    let owner = filled().await;
    let at = at(&owner).await;
    sheet(&owner, "34", "280").await;
    let late = say(&owner, &at, &[("heel_stack", "31"), ("mass", "280")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.says("changed while you filled in the form, by change 2"));
    assert!(late.body.contains("name=\"heel_stack\" type=\"text\" value=\"34\""));
    assert!(late.says("You had typed: 31"));
    assert_eq!((owner.changes(), heel_and_mass(&owner).0), (2, Some(340)));
    let again = say(&owner, &late.hidden(EDIT, "at"), &[("heel_stack", "31")]).await;
    assert_eq!((again.status, heel_and_mass(&owner).0), (StatusCode::SEE_OTHER, Some(310)));
}

#[tokio::test]
async fn a_change_of_another_shoe_overtakes_no_form() {
    let owner = filled().await;
    let at = at(&owner).await;
    let other = b"Maker,Style number,Model,Heel stack mm\nFeldrast,FR-2,Firn,24\n";
    let (sheet, _) = owner.preview("other.csv", other).await;
    owner.apply(&sheet).await;
    assert_eq!(say(&owner, &at, &[("heel_stack", "31")]).await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_hand_wins_over_the_next_sheet_and_one_press_takes_the_sheets_value() {
    let owner = filled().await;
    let drawn_at = at(&owner).await;
    say(&owner, &drawn_at, &[("heel_stack", "32,5")]).await;
    let (waiting, preview) = owner.preview("range.csv", &range("33", "281")).await;
    assert!(preview.says("hand-wins"));
    owner.apply(&waiting).await;
    assert_eq!(heel_and_mass(&owner), (Some(325), Some(2_810)));
    let shoe = owner.get(SHOE).await;
    assert!(shoe.says("range.csv of 1 January 1970 says 33 mm."), "{}", shoe.text());
    let action = format!("{SHOE}/take");
    let fields = [("at", shoe.hidden(&action, "at")), ("column", shoe.hidden(&action, "column"))];
    let fields: Vec<_> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
    for _ in 0..2 {
        assert_eq!(owner.post(&action, &fields).await.to, format!("{SHOE}?done=4"));
    }
    assert_eq!(heel_and_mass(&owner).0, Some(330));
    assert!(!owner.get(SHOE).await.says("says 33 mm."));
    sheet(&owner, "35", "281").await;
    assert_eq!(heel_and_mass(&owner).0, Some(350), "sheets say it again");
}

#[tokio::test]
async fn a_cell_that_no_hand_has_set_cannot_be_given_back_and_no_column_is_no_answer() {
    let owner = filled().await;
    let refused = owner.post(&format!("{SHOE}/take"), &[("at", "1"), ("column", "heel_stack")]).await;
    assert_eq!(refused.status, StatusCode::CONFLICT);
    assert!(refused.says("not set by hand"));
    let refused = owner.post(&format!("{SHOE}/take"), &[("at", "1"), ("column", "'); DROP")]).await;
    assert_eq!(refused.status, StatusCode::BAD_REQUEST);
    let part_of_key = owner.post(&format!("{SHOE}/take"), &[("at", "1"), ("column", "maker")]).await;
    assert_eq!(part_of_key.status, StatusCode::CONFLICT);
    assert_eq!(owner.get("/shoes/feldrast.fr-9/edit").await.status, StatusCode::NOT_FOUND);
    assert_eq!(owner.changes(), 1);
}

#[tokio::test]
async fn what_is_part_of_the_key_says_why_it_stays() {
    let owner = filled().await;
    let form = owner.get(EDIT).await;
    assert!(!form.body.contains("name=\"maker\"") && !form.body.contains("name=\"style_number\""));
    let stays = form.all("<dd>", "</dd>");
    assert!(stays[0].contains("Feldrast") && stays[0].contains("Part of the key"), "{stays:?}");
}

#[tokio::test]
async fn every_number_of_a_shoe_names_sheet_row_column_text_supplier_day_and_change() {
    let owner = filled().await;
    let stock = b"Maker,Style number,Size system,Size,Qty,Price EUR\nFeldrast,FR-1,EU,42,3,139\n";
    let (waiting, _) = owner.preview("stock.csv", stock).await;
    owner.apply(&waiting).await;
    sheet(&owner, "34", "280").await;
    let shoe = owner.get(SHOE).await;
    for said in [
        "“34” in range.csv, row 2, column D, from Feldrast, 1 January 1970: Change 3",
        "“3” in stock.csv, row 2, column E, from Feldrast, 1 January 1970: Change 2",
        "“139” in stock.csv, row 2, column F",
        "30 mm import, 1 January 1970: Change 1",
    ] {
        assert!(shoe.says(said), "{said}: {}", shoe.text());
    }
}

#[tokio::test]
async fn an_undo_says_before_and_after_what_goes_back_and_what_a_later_change_keeps() {
    let owner = filled().await;
    sheet(&owner, "32", "290").await;
    sheet(&owner, "34", "290").await;
    let asked = owner.get("/changes/2/undo").await;
    assert!(asked.says("1 cell goes back, 1 stays: a later change owns it."), "{}", asked.text());
    assert!(has_row(&asked, &["feldrast.fr-1", "heel stack", "later value from change 3"]));
    assert!(has_row(&asked, &["feldrast.fr-1", "mass", "290 g", "280 g"]));
    assert_eq!(owner.changes(), 3, "asking changes nothing");
    let at = asked.hidden("/changes/2/undo", "at");
    let undone = owner.post("/changes/2/undo", &[("at", &at)]).await;
    assert_eq!(undone.to, "/changes/4");
    let undo = owner.get(&undone.to).await;
    assert!(undo.says("It took back Change 2.") && undo.says("later value from change 3"), "{}", undo.text());
    assert!(owner.get("/changes/2").await.says("It is taken back by Change 4."));
    assert_eq!(heel_and_mass(&owner), (Some(340), Some(2_800)));
    assert_eq!(owner.get("/changes/2/undo").await.status, StatusCode::CONFLICT);
    assert_eq!(owner.get("/changes/99").await.status, StatusCode::NOT_FOUND);
    assert_eq!(owner.get("/changes/99/undo").await.status, StatusCode::CONFLICT);
}

#[tokio::test]
async fn a_change_of_many_cells_is_paged_and_a_page_beyond_the_last_is_the_last() {
    let owner = Owner::new();
    let rows: Vec<_> = (1..=60).map(|at| format!("Feldrast,FR-{at},Egge {at},30")).collect();
    let bytes = format!("Maker,Style number,Model,Heel stack mm\n{}\n", rows.join("\n"));
    let (waiting, _) = owner.preview("range.csv", bytes.as_bytes()).await;
    owner.apply(&waiting).await;
    let first = owner.get("/changes/1").await;
    assert!(first.says("Page 1 of 3"), "{}", first.text());
    assert!(owner.get("/changes/1?page=99").await.says("Page 3 of 3"));
}

#[tokio::test]
async fn the_same_file_again_is_a_note_and_its_stock_is_fresh_once_it_is_applied() {
    let owner = filled().await;
    let stock = b"Maker,Style number,Size system,Size,Qty\nFeldrast,FR-1,EU,42,3\n";
    let (waiting, _) = owner.preview("stock.csv", stock).await;
    owner.apply(&waiting).await;
    let (waiting, page) = owner.preview("stock.csv", stock).await;
    assert!(page.says("Code sheet-seen") && page.says("Already imported on 1970-01-01 as change 2; 0 cells"));
    assert_eq!(owner.apply(&waiting).await.to, "/changes?done=3");
}

const SIZE: &str = "/shoes/feldrast.fr-1/size?sku=feldrast.fr-1%2F%2Feu-42%2F";

/// A catalogue of one shoe in one size, 3 pairs.
async fn with_a_size() -> Owner {
    let owner = filled().await;
    let stock = b"Maker,Style number,Size system,Size,Qty,Price EUR\nFeldrast,FR-1,EU,42,3,139\n";
    let (sheet, _) = owner.preview("stock.csv", stock).await;
    owner.apply(&sheet).await;
    owner
}

/// The address of the form of the one size, as the page of the shoe gives it.
async fn size_address(owner: &Owner) -> String {
    let page = owner.get(SHOE).await;
    let link = page.body.split("href=\"/shoes/feldrast.fr-1/size?sku=").nth(1).expect("a link to the form");
    format!("/shoes/feldrast.fr-1/size?sku={}", link.split('"').next().unwrap())
}

#[tokio::test]
async fn a_size_is_corrected_by_hand_stands_against_the_next_sheet_and_is_taken_back() {
    let owner = with_a_size().await;
    let address = size_address(&owner).await;
    let form = owner.get(&address).await;
    assert!(form.says("Now: 3") && form.body.contains("value=\"139.00\""), "{}", form.text());
    let at = form.hidden(&address, "at");
    let typed = [
        ("at", at.as_str()),
        ("quantity", "5"),
        ("price", "129,50"),
        ("place", "C4"),
        ("gtin", ""),
        ("reason", "corrected"),
    ];
    let kept = owner.post(&address, &typed).await;
    assert_eq!((kept.status, kept.to.as_str()), (StatusCode::SEE_OTHER, SHOE), "{}", kept.text());
    let sku = || owner.state.snapshot().skus()[0].clone();
    assert_eq!(
        (sku().quantity.map(|q| q.to_string()), sku().price.map(|p| p.0), sku().place),
        (Some("5".into()), Some(12_950), Some("C4".into()))
    );
    assert_eq!(
        owner.post(&address, &typed).await.status,
        StatusCode::SEE_OTHER,
        "a second press is the same change"
    );

    let stock = b"Maker,Style number,Size system,Size,Qty,Price EUR\nFeldrast,FR-1,EU,42,9,149\n";
    let (sheet, _) = owner.preview("stock.csv", stock).await;
    owner.apply(&sheet).await;
    assert_eq!(sku().price.map(|p| p.0), Some(12_950), "a price said by hand stands");
    assert_eq!(sku().quantity.map(|q| q.to_string()), Some("9".into()), "pairs are a fact of their day");
    let at = owner.get("/changes/3/undo").await.hidden("/changes/3/undo", "at");
    owner.post("/changes/3/undo", &[("at", &at)]).await;
    assert_eq!(sku().place, None, "{:?}", sku());
}

#[tokio::test]
async fn a_size_that_cannot_be_is_refused_at_its_field_with_everything_typed() {
    let owner = with_a_size().await;
    let address = size_address(&owner).await;
    let at = owner.get(&address).await.hidden(&address, "at");
    let typed = [
        ("at", at.as_str()),
        ("quantity", "many"),
        ("gtin", "4006381333932"),
        ("place", "C4"),
        ("reason", ""),
    ];
    let refused = owner.post(&address, &typed).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    for field in ["quantity", "gtin", "reason"] {
        assert!(refused.body.contains(&format!("href=\"#{field}\"")), "{field}: {}", refused.text());
    }
    assert!(refused.body.contains("value=\"many\"") && refused.body.contains("value=\"C4\""));
    assert_eq!(owner.changes(), 2);
    assert_eq!(owner.get(SIZE.replace("42", "99").as_str()).await.status, StatusCode::NOT_FOUND);
}
