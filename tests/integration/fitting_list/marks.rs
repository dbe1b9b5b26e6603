//! The fitter's hand: kept on top or set aside, said, taken back, and never a point.

use axum::http::StatusCode;

use super::section;
use crate::visit_bench::{Desk, between, rows, with};

#[tokio::test]
async fn a_marked_shoe_moves_on_the_page_with_its_reason_and_its_computed_place() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let all = desk.rows(&fitting).await;
    let html = desk.page(&fitting).await;
    let (first, also) = (rows(section(&html, "first")), rows(section(&html, "also")));
    let (skipped, pinned) = (first[0].as_str(), also[1].as_str());
    let place = |html: &str| between(html, "</a> · place ", " of").swap_remove(0);
    let place = place(&desk.page(&format!("{fitting}/why/{pinned}")).await);
    let mark = format!("{fitting}/mark");
    let kept = desk.post(&mark, &[("style", pinned), ("kind", "pin"), ("reason", "comfort")]).await;
    assert_eq!(kept.to, fitting);
    desk.post(&mark, &[("style", skipped), ("kind", "skip"), ("reason", "looks")]).await;

    let html = desk.page(&format!("{fitting}?all=yes")).await;
    assert_eq!(rows(section(&html, "kept")), [pinned]);
    assert_eq!(rows(section(&html, "set-aside")), [skipped]);
    assert_eq!(rows(section(&html, "first")), first[1..]);
    let (shown_first, shown_last) = (rows(&html)[0].clone(), rows(&html).pop().unwrap());
    assert_eq!((shown_first.as_str(), shown_last.as_str()), (pinned, skipped));
    assert!(section(&html, "kept").contains(&format!("by the fitter: comfort; computed place {place}.")));
    assert!(section(&html, "set-aside").contains("Set aside by the fitter: looks; computed place 1."));
    assert!(section(&html, "first").contains("Not here: 1 set aside."));
    let why = desk.page(&format!("{fitting}/why/{pinned}")).await;
    assert!(why.contains(&format!("Kept on top by the fitter: comfort; computed place {place}.")));

    for key in [pinned, skipped] {
        desk.post(&mark, &[("free", key)]).await;
    }
    assert_eq!(desk.rows(&fitting).await, all);
}

#[tokio::test]
async fn a_mark_changes_no_suitability_and_no_place() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let all = desk.rows(&fitting).await;
    let twin = |key: &str| format!("{fitting}/why/{key}.json");
    for (at, kind) in [(0, "skip"), (all.len() / 2, "pin"), (3, "pin")] {
        let mut before = Vec::new();
        for key in &all {
            before.push(desk.page(&twin(key)).await);
        }
        let fields = [("style", all[at].as_str()), ("kind", kind), ("reason", "fitter")];
        desk.post(&format!("{fitting}/mark"), &fields).await;
        for (key, before) in all.iter().zip(&before) {
            assert_eq!(&desk.page(&twin(key)).await, before, "{key}");
        }
    }
}

#[tokio::test]
async fn a_mark_without_a_shoe_or_with_another_reason_changes_nothing() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let key = desk.rows(&fitting).await[0].clone();
    let mark = format!("{fitting}/mark");
    for fields in [
        vec![("style", "nobody.1"), ("kind", "pin")],
        vec![("style", &*key), ("kind", "burn")],
        vec![("style", &*key), ("kind", "pin"), ("reason", "he said his knee")],
        vec![],
    ] {
        assert_eq!(desk.post(&mark, &fields).await.status, StatusCode::BAD_REQUEST);
    }
    assert!(desk.fitting(&fitting).marks.is_empty());
}

#[tokio::test]
async fn a_stopped_fitting_stays_stopped_whatever_is_marked_or_added() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[("flags.pain", "yes"), ("flags.calf_swelling", "yes")])).await;
    desk.post(&format!("{fitting}/mark"), &[("style", "fennick.fm-210"), ("kind", "pin")]).await;
    desk.post(&format!("{fitting}/narrow"), &[("toggle", "maker"), ("value", "fennick")]).await;
    let html = desk.page(&fitting).await;
    assert!(rows(&html).is_empty() && html.contains("Whom to see") && !html.contains("Kept on top"));
}
