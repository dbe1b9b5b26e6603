//! What looks like a contradiction and is taken, for unknown is a value and a runner may be odd.

use axum::http::StatusCode;
use tests::program::argument;

use super::table::with;
use crate::sample::stocked;
use crate::visit_bench::{Desk, as_toml};

/// What looks like a contradiction and is taken, each with the reason.
const TAKEN: &[(&str, &[(&str, &str)])] = &[
    (
        "a range asked for replaces the heading's own and says so",
        &[("asked_for.landing_stack_mm", "40"), ("asked_for.landing_stack_mm", "50")],
    ),
    (
        "an injury may be cleared by a clinician and still hurt",
        &[("flags.pain", ""), ("injury.calf.painful", "yes"), ("injury.calf.cleared", "yes")],
    ),
    (
        "cleared is about running, current about which of two",
        &[("injury.calf.cleared", "yes"), ("injury.calf.current", "yes")],
    ),
    (
        "an old injury may hurt again",
        &[("flags.pain", ""), ("injury.calf.recent", "no"), ("injury.calf.painful", "yes")],
    ),
    (
        "a pain of the history says what hurts without a sign",
        &[("flags.pain", "yes"), ("injury.calf.painful", "yes")],
    ),
    (
        "two readings of a strike may disagree: the surer counts, and both are shown",
        &[("run.strike_angle_deg", "-12")],
    ),
    ("how it was seen says nothing without what was seen", &[("run.strike", "")]),
    ("a feel gives way to measures", &[("now.feel", "flatter")]),
    ("a box and a calliper differ by a few mm: the stacks count", &[("now.drop_mm", "5.5")]),
    (
        "whether a pair runs most can be told of one that nobody knows",
        &[("now.heel_stack_mm", ""), ("now.forefoot_stack_mm", ""), ("now.mass_g", ""), ("now.main", "no")],
    ),
    (
        "feet that feel are true of a runner without diabetes too",
        &[("flags.diabetes", "no"), ("flags.diabetes_feeling_normal_and_cleared", "yes")],
    ),
    ("whoever ran weekly may rest now", &[("run.weekly_km", "0")]),
    ("going back to more has no weeks to be done", &[("stage.heading", "more")]),
    ("feet decide over a label", &[("size.worn_label", "38")]),
    (
        "a child's size and a giant's",
        &[("foot.left_length_mm", "118"), ("foot.right_length_mm", "120"), ("size.worn_label", "20")],
    ),
];

#[tokio::test]
async fn what_only_looks_like_a_contradiction_is_taken_at_both_doors() {
    let desk = Desk::new();
    let lastbench = stocked();
    let folder = tests::lastbench!();
    for (why, said) in TAKEN {
        let said = with(said);
        let fitting = desk.answered(&said).await;
        let page = desk.get(&fitting).await;
        assert!(page.status == StatusCode::OK && !page.text.contains("A clinician first"), "{why}");
        let file = folder.write("runner.toml", &as_toml(&said));
        let ran = lastbench.run(&["rank", "--runner", argument(&file)]);
        assert!(ran.code == Some(0) && !ran.stdout.contains("clinician first"), "{why}: {ran:?}");
    }
}

#[tokio::test]
async fn a_pain_of_the_history_is_neither_unasked_nor_named_on_the_card() {
    let desk = Desk::new();
    let said = with(&[("flags.pain", "yes"), ("injury.calf.painful", "yes")]);
    let fitting = desk.answered(&said).await;
    assert!(desk.get(&fitting).await.text.contains(web::labels::HURTS_NOW));
    let card = desk.get(&format!("{fitting}/card")).await.text;
    assert!(card.contains("the signs of a red flag") && !card.to_lowercase().contains("calf"), "{card}");
}
