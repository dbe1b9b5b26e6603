//! Filters added to a list: they narrow by the number they promise, and no place moves.

use axum::http::StatusCode;
use catalogue::style::Style;

use super::number_before;
use crate::visit_bench::{Desk, between, rows, with};

/// A value that can be added: its group, itself, the number at it, and whether it is in force.
type Value = (String, String, usize, bool);

fn values(html: &str) -> Vec<Value> {
    let forms = html.split("name=\"toggle\" value=\"").skip(1);
    let value = |form: &str| {
        let group = form.split('"').next().unwrap().to_owned();
        let value = between(form, "name=\"value\" value=\"", "\"").swap_remove(0);
        let count = between(form, "<span class=\"count\">", "<").swap_remove(0).parse().unwrap();
        (group, value, count, form.split("</form>").next().unwrap().contains("✓"))
    };
    forms.map(value).collect()
}

/// Whether a style has what was asked for.
type Has = fn(&Style) -> bool;

/// What is left stands in the order in which it stood.
fn is_narrowed(left: &[String], all: &[String]) -> bool {
    let mut rest = all.iter();
    left.iter().all(|key| rest.any(|other| other == key))
}

#[tokio::test]
async fn every_number_at_a_value_is_the_number_of_shoes_that_it_leaves_in_their_old_order() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let all = desk.rows(&fitting).await;
    let offered = values(&desk.page(&fitting).await);
    assert!(offered.len() > 30, "{offered:?}");
    for (group, value, count, _) in offered {
        let added = [("toggle", &group), ("value", &value)];
        let answer = desk.post(&format!("{fitting}/narrow"), &added).await;
        assert_eq!(answer.to, format!("{fitting}?narrow=yes#narrow"));
        let left = desk.rows(&fitting).await;
        assert_eq!(left.len(), count, "{group}: {value}");
        assert!(is_narrowed(&left, &all), "{group}: {value}");
        let html = desk.page(&fitting).await;
        let hidden = all.len() - left.len();
        if hidden > 0 {
            let said = format!("{} of {} shoes; the filters added here hide {hidden}", left.len(), all.len());
            assert!(html.contains(&said), "{group}: {value}");
        }
        assert!(values(&html).contains(&(group.clone(), value.clone(), count, true)), "{group}: {value}");
        desk.post(&format!("{fitting}/chips"), &[("clear", &group)]).await;
    }
    assert_eq!(desk.rows(&fitting).await, all, "all taken off again");
}

#[tokio::test]
async fn what_is_left_has_what_was_asked_for_by_the_sheets_own_words() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let all = desk.rows(&fitting).await;
    let snapshot = desk.state.snapshot();
    let style = |key: &String| snapshot.styles().iter().find(|style| style.key.as_str() == key).unwrap();
    let asked: [(&str, &str, Has); 4] = [
        ("plate", "no", |style| style.specification.plate == Some(false)),
        ("rocker", "yes", |style| style.specification.rocker == Some(true)),
        ("maker", "fennick", |style| style.key.maker().as_str() == "fennick"),
        ("shop_note", "narrow heel", |style| {
            style.shop_note.as_deref().is_some_and(|n| n.contains("narrow heel"))
        }),
    ];
    for (group, value, has) in asked {
        desk.post(&format!("{fitting}/narrow"), &[("toggle", group), ("value", value)]).await;
        let expected: Vec<String> = all.iter().filter(|key| has(style(key))).cloned().collect();
        let mut left = desk.rows(&fitting).await;
        let mut expected_sorted = expected.clone();
        left.sort();
        expected_sorted.sort();
        assert_eq!(left, expected_sorted, "{group}: {value}");
        assert!(!expected.is_empty() && expected.len() < all.len(), "{group}: {value} tells shoes apart");
        desk.post(&format!("{fitting}/chips"), &[("clear", group)]).await;
    }
}

#[tokio::test]
async fn a_value_beside_another_of_its_group_widens_by_what_stands_at_it_and_a_chip_hides_what_it_says() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let narrow = format!("{fitting}/narrow");
    desk.post(&narrow, &[("toggle", "maker"), ("value", "fennick")]).await;
    desk.post(&narrow, &[("toggle", "rocker"), ("value", "no")]).await;
    let html = desk.page(&fitting).await;
    let one = desk.rows(&fitting).await.len();
    let other =
        values(&html).into_iter().find(|(group, _, n, on)| group == "maker" && *n > 0 && !on).unwrap();
    desk.post(&narrow, &[("toggle", "maker"), ("value", &other.1)]).await;
    let both = desk.rows(&fitting).await.len();
    assert_eq!(both, one + other.2, "a maker's count ignores the makers that were chosen");
    let html = desk.page(&fitting).await;
    for chip in html.split("<div class=\"chip\">").skip(1).filter(|chip| chip.contains("name=\"clear\"")) {
        let key = between(chip, "name=\"clear\" value=\"", "\"").swap_remove(0);
        let hides = number_before(chip, "</span><form");
        let before = desk.fitting(&fitting).added;
        desk.post(&format!("{fitting}/chips"), &[("clear", &key)]).await;
        assert_eq!(desk.rows(&fitting).await.len(), both + hides, "{key}");
        for value in before.chosen(indexer::snapshot::Group::from_key(&key).unwrap()) {
            desk.post(&narrow, &[("toggle", key.as_str()), ("value", value)]).await;
        }
        assert_eq!(desk.fitting(&fitting).added, before);
    }
}

#[tokio::test]
async fn words_and_ends_of_a_range_narrow_too_and_what_is_no_number_is_said() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let all = desk.rows(&fitting).await;
    let narrow = format!("{fitting}/narrow");
    let snapshot = desk.state.snapshot();
    let drop = |key: &String| {
        let style = snapshot.styles().iter().find(|style| style.key.as_str() == key).unwrap();
        snapshot.style(&style.key).unwrap().measures.drop().map(|drop| drop.in_tenths())
    };
    desk.post(&narrow, &[("drop_from", "4"), ("drop_to", "6,5")]).await;
    let left = desk.rows(&fitting).await;
    let inside = all.iter().filter(|key| drop(key).is_some_and(|drop| (40..=65).contains(&drop))).count();
    assert!(left.len() == inside && inside > 0 && is_narrowed(&left, &all));
    desk.post(&narrow, &[("q", "fennick")]).await;
    let both = desk.rows(&fitting).await;
    assert!(both.iter().all(|key| key.starts_with("fennick.")) && is_narrowed(&both, &left));
    let html = desk.page(&fitting).await;
    let chip = html.split("<div class=\"chip\">").find(|chip| chip.contains("words “fennick”")).unwrap();
    assert_eq!(number_before(chip, "</span><form"), left.len() - both.len());
    let wrong = desk.post(&narrow, &[("mass_from", "light")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains("“light” is no number") && wrong.text.contains("Nothing was changed"));
    let never = desk.post(&narrow, &[("toggle", "maker"), ("value", "nobody")]).await;
    assert_eq!(never.status, StatusCode::UNPROCESSABLE_ENTITY);
    desk.post(&narrow, &[("toggle", "size"), ("value", "EU 40")]).await;
    assert_eq!(desk.rows(&fitting).await, both, "a size is an answer, no filter of the list");
    desk.post(&format!("{fitting}/chips"), &[("clear", "all")]).await;
    assert_eq!(desk.rows(&fitting).await, all);
}

#[tokio::test]
async fn a_filter_of_the_list_stands_in_no_address_and_a_place_is_what_it_was() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let all = desk.rows(&fitting).await;
    let last = all[all.len() / 2].clone();
    let place = |html: &str| between(html, "</a> · ", " in this order").swap_remove(0);
    let before = place(&desk.page(&format!("{fitting}/why/{last}")).await);
    let maker = last.split('.').next().unwrap();
    desk.post(&format!("{fitting}/narrow"), &[("toggle", "maker"), ("value", maker)]).await;
    let html = desk.page(&fitting).await;
    assert!(rows(&html).len() < all.len());
    for address in between(&html, "href=\"", "\"").iter().chain(&between(&html, "action=\"", "\"")) {
        assert!(!address.contains("maker="), "{address}");
    }
    assert_eq!(place(&desk.page(&format!("{fitting}/why/{last}")).await), before);
}
