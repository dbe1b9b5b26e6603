//! A list that was drawn is shown again until something of it is another.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use crate::visit_bench::{Desk, RUNNER};

#[tokio::test]
async fn a_list_read_again_is_the_same_and_shows_whatever_has_changed() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    let list = async || desk.get(&fitting).await.text;
    // The first reading makes the order, the second draws it to be kept.
    list().await;
    let drawn = list().await;
    assert_eq!(list().await, drawn);
    let whole = desk.get(&format!("{fitting}?all=yes")).await.text;
    assert!(whole.len() > drawn.len() && list().await == drawn, "what of it is shown");
    assert!(desk.get_in("de", &fitting).await.text.contains("Zuerst herausholen"), "in which language");
    assert_eq!(list().await, drawn);
    desk.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fm-310")]).await;
    assert!(list().await.contains("Brought out: "), "what the fitter does");
}

#[tokio::test]
async fn a_list_that_was_drawn_says_which_box_has_been_held_since() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    let list = async || desk.get(&fitting).await.text;
    list().await;
    let drawn = list().await;
    let shown = drawn.split("href=\"/shoes/").nth(1).unwrap().split(['"', '#']).next().unwrap().to_owned();
    let snapshot = desk.state.snapshot();
    let key = catalogue::key::StyleKey::parse(&shown).unwrap();
    let (hour, now) = (std::time::Duration::from_hours(1), desk.state.clock.now());
    for sku in snapshot.style(&key).unwrap().skus {
        assert!(desk.state.held.hold(sku.key(), hour, now));
    }
    assert!(!drawn.contains("held until") && list().await.contains("held until"));
}
