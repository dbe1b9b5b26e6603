//! A scan, inside a fitting and outside: the code in any dress, the shoe and where it stands, or what hides it.

use axum::http::StatusCode;
use catalogue::stock::{Quantity, Sku};

use super::section;
use crate::visit_bench::{Desk, between, rows, with};

fn encoded(code: &str) -> String {
    form_urlencoded::byte_serialize(code.as_bytes()).collect()
}

impl Desk {
    /// A size in stock with a number on its box, of a shoe that the list of this fitting shows or does not.
    async fn boxed(&self, fitting: &str, listed: bool) -> Sku {
        let rows = self.rows(fitting).await;
        let snapshot = self.state.snapshot();
        let stocked = |sku: &&Sku| sku.gtin.is_some() && sku.quantity.is_some_and(Quantity::in_stock);
        let mut skus = snapshot.skus().iter().filter(stocked);
        skus.find(|sku| rows.contains(&sku.style.to_string()) == listed).unwrap().clone()
    }
}

/// SC3: the dresses a scanner or a spreadsheet puts a number in, and the words that tell of it.
fn dresses(gtin: u64) -> Vec<(String, &'static str)> {
    vec![
        (format!("{gtin:013}"), ""),
        (format!("{gtin:014}"), ""),
        (format!("000{gtin:014}"), "More zeros stood in front"),
        (format!("{gtin:013}\r\n"), ""),
        (format!("\u{2}{gtin:013}\u{3}"), "Control characters were left out."),
        (format!("*{gtin:013}*"), "The signs * around it were left out."),
        (format!("]E0{gtin:013}"), "mark ]E0 was left out."),
        (format!("]C101{gtin:014}"), "The number behind the sign (01) was read."),
        (format!("]C1\u{1d}01{gtin:014}10LOT\u{1d}"), "The number behind the sign (01) was read."),
        (format!("(01){gtin:014}"), "The number behind the sign (01) was read."),
    ]
}

#[tokio::test]
async fn a_code_in_any_dress_leads_to_the_size_on_the_page_of_its_shoe_and_what_was_mended_is_said() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let sku = snapshot.skus().iter().find(|sku| sku.gtin.is_some()).unwrap();
    for (code, said) in dresses(sku.gtin.unwrap().value()) {
        let found = desk.get(&format!("/scan?code={}", encoded(&code))).await;
        assert_eq!(found.status, StatusCode::SEE_OTHER, "{code:?}");
        assert!(found.to.starts_with(&format!("/shoes/{}?scanned=", sku.style)), "{code:?}: {}", found.to);
        let html = desk.page(&found.to).await;
        assert!(html.contains(said) && html.contains(&format!("On the box: {}", sku.label)), "{code:?}");
    }
    let plain = desk.page(&format!("/shoes/{}?scanned=6291041500213", sku.style)).await;
    assert!(!plain.contains("On the box"), "the number of another box says nothing here");
}

#[tokio::test]
async fn a_code_that_nothing_carries_says_so_with_three_steps_and_what_is_wrong_with_it() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    for (code, said) in [
        ("6291041500213", "No box in this catalogue carries this number."),
        ("6291041500214", "it should be 3"),
        ("]E06291041500214", "mark ]E0 was left out."),
        ("629104150021", "Its last digit does not check"),
        ("6291041500213629104", "8, 12, 13 or 14 digits"),
        ("6.29104E+12", "A spreadsheet has written it short"),
        ("00000000", "It is all zeros"),
    ] {
        for (uri, again) in [("/scan".to_owned(), "action=\"/scan\""), (format!("{fitting}/scan"), "/scan\"")]
        {
            let html = desk.page(&format!("{uri}?code={}", encoded(code))).await;
            assert!(html.contains("Not known here") && html.contains(said), "{uri} {code}: {html}");
            assert!(html.contains("What to do next") && html.contains(again), "{uri} {code}");
            let steps = html.split("<ol class=\"steps\">").nth(1).unwrap().split("</ol>").next().unwrap();
            assert_eq!(steps.matches("<li>").count(), 3, "{uri} {code}");
        }
    }
}

#[tokio::test]
async fn a_shoe_of_the_order_is_shown_with_its_place_its_reasons_and_its_pairs_and_can_be_added() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let sku = desk.boxed(&fitting, true).await;
    for (code, said) in dresses(sku.gtin.unwrap().value()) {
        let html = desk.page(&format!("{fitting}/scan?code={}", encoded(&code))).await;
        assert_eq!(rows(&html), [sku.style.to_string()], "{code:?}");
        assert!(html.contains(said) && html.contains("1 shoe found"), "{code:?}");
    }
    let html = desk.page(&format!("{fitting}/scan?code={}", sku.gtin.unwrap())).await;
    let list = desk.page(&format!("{fitting}?all=yes")).await;
    let row = |html: &str| {
        let row =
            html.split("<li class=\"row\">").find(|row| row.contains(&format!("/shoes/{}\"", sku.style)));
        let row = row.unwrap().to_owned();
        (between(&row, "<ul class=\"reasons\">", "</ul>"), between(&row, "<ul class=\"pairs\"", "</ul>"))
    };
    assert_eq!(row(&html), row(&list), "the same reasons and pairs as in the list");
    let why = desk.page(&format!("{fitting}/why/{}", sku.style)).await;
    let place = between(&why, "</a> · place ", " in this order").swap_remove(0);
    assert!(html.contains(&format!("Place {place} in this order")), "{place}");
    assert!(html.contains("On the box:") && html.contains("Add to this fitting"));
    desk.post(&format!("{fitting}/shortlist"), &[("style", sku.style.as_str())]).await;
    assert_eq!(desk.fitting(&fitting).shortlist, std::slice::from_ref(&sku.style));
    assert!(desk.page(&format!("{fitting}/scan?code={}", sku.gtin.unwrap())).await.contains("Put back"));
}

#[tokio::test]
async fn a_shoe_that_is_filtered_out_says_which_filters_hide_it_and_taking_them_off_shows_it() {
    let desk = Desk::new();
    let answers = with(&[("run.surface", "road"), ("run.budget", "150")]);
    let snapshot = desk.state.snapshot();
    let mut hidden_by = std::collections::BTreeSet::new();
    for style in snapshot.styles().iter().filter(|style| !style.retired) {
        let fitting = desk.answered(&answers).await;
        desk.post(&format!("{fitting}/narrow"), &[("toggle", "rocker"), ("value", "no")]).await;
        if desk.rows(&fitting).await.contains(&style.key.to_string()) {
            continue;
        }
        let Some(gtin) = snapshot.style(&style.key).unwrap().skus.iter().find_map(|sku| sku.gtin) else {
            continue;
        };
        let html = desk.page(&format!("{fitting}/scan?code={gtin}")).await;
        let form = html.split("<div class=\"announcement\">").nth(1).unwrap();
        let form = form.split("</form>").next().unwrap();
        assert!(form.contains("idden by") || form.contains("o one pair passes all of"), "{form}");
        let names = between(form, "type=\"hidden\" name=\"", "\"");
        let fields: Vec<_> = names.into_iter().zip(between(form, "\" value=\"", "\"")).collect();
        assert!(!fields.is_empty(), "{form}");
        desk.post(&format!("{fitting}/chips"), &fields).await;
        assert!(desk.rows(&fitting).await.contains(&style.key.to_string()), "{}: {fields:?}", style.key);
        hidden_by.extend(fields.into_iter().map(|(_, key)| key));
    }
    for key in ["audience", "surface", "price", "rocker"] {
        assert!(hidden_by.contains(key), "{key}: {hidden_by:?}");
    }
}

#[tokio::test]
async fn words_find_shoes_in_the_order_in_which_they_stand() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let html = desk.page(&format!("{fitting}/scan?code=fennick")).await;
    let found = rows(&html);
    assert!(found.len() == 8 && html.contains("The first 8 are shown"), "{found:?}");
    assert!(found.iter().all(|key| key.starts_with("fennick.")));
    assert!(section(&html, "main").is_empty() || html.contains("Looked for: “fennick”."));
    assert_eq!(
        desk.get(&format!("{fitting}/scan?code={}", "a".repeat(1_500))).await.status,
        StatusCode::BAD_REQUEST
    );
    let nothing = desk.page(&format!("{fitting}/scan?code=")).await;
    assert!(nothing.contains("Nothing was put in</h1>") && !nothing.contains("What to do next"));
}

#[tokio::test]
async fn a_stopped_fitting_scans_without_an_order() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[("flags.pain", "yes"), ("flags.calf_swelling", "yes")])).await;
    let snapshot = desk.state.snapshot();
    let sku = snapshot.skus().iter().find(|sku| sku.gtin.is_some()).unwrap();
    let html = desk.page(&format!("{fitting}/scan?code={}", sku.gtin.unwrap())).await;
    assert!(
        html.contains("No order: a red flag has stopped it") && html.contains(&desk.name(sku.style.as_str()))
    );
    assert!(!html.contains("Add to this fitting") && !html.contains("Bring out") && rows(&html).is_empty());
}
