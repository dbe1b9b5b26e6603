//! The plan inside a fitting: its page, its place on the card, and the stop that no plan gets around.

use axum::http::StatusCode;
use catalogue::flags::Flags;

use super::bench::{Bench, RUNNER, with};

/// The rows of the table of weeks: the cells of each, joined by blanks.
fn weeks(html: &str) -> Vec<String> {
    let Some((_, table)) = html.split_once("<table class=\"weeks\">") else { return Vec::new() };
    let body = table.split_once("<tbody>").unwrap().1.split_once("</tbody>").unwrap().0;
    let words = |row: &str| {
        let texts = row.split('<').skip(1).filter_map(|cell| cell.split_once('>')).map(|(_, text)| text);
        texts.filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
    };
    body.split("<tr").skip(1).map(|row| words(&format!("<tr{row}"))).collect()
}

#[tokio::test]
async fn a_step_to_a_minimal_shoe_is_planned_over_26_weeks_and_goes_home_on_the_card() {
    let bench = Bench::new();
    let fitting = bench.answered(&with(&[("run.strength_work", "yes"), ("injury", "none")])).await;
    bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fen")]).await;
    let page = bench.get(&format!("{fitting}/plan")).await.html;
    assert!(page.contains("26 weeks, to a minimal-type shoe."), "{page}");
    let rows = weeks(&page);
    assert_eq!(rows.len(), 26);
    // 21 September 2026 is the day of this bench's clock; 10 % of 32 km are 3.2.
    assert_eq!(rows[0], "1 21 September 2026 10 % 3 29");
    assert_eq!(rows[5], "6 26 October 2026 35 % 11 21 Look again together");
    assert_eq!(rows[25], "26 15 March 2027 100 % 32 0 Look again together");
    assert!(page.contains("nothing bridges"), "no shoe of this shop lies between 30 and 9 mm");

    let card = bench.get(&format!("{fitting}/card")).await.html;
    assert_eq!(weeks(&card)[5], "6 35 % 11 21 2 Nov 2026");
    assert!(card.contains("Stop running and see a clinician"));
}

#[tokio::test]
async fn the_body_mass_slows_a_plan_and_is_named_on_no_page() {
    let bench = Bench::new();
    let heavy = [("run.body_mass_band", "78.2-85.7"), ("injury.calf.recent", "yes")];
    let fitting = bench.answered(&with(&heavy)).await;
    bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fen")]).await;
    let page = bench.get(&format!("{fitting}/plan")).await.html;
    assert!(page.contains("Slowly, over twice the weeks: a recent injury and an answer for the fitter only"));
    assert_eq!(weeks(&page).len(), 52);
    let card = bench.get(&format!("{fitting}/card")).await.html;
    assert!(card.contains("Slowly: over twice the usual weeks."));
    for html in [&page, &card] {
        assert!(!html.contains("body mass") && !html.contains("71.4") && !html.contains("78.2"));
    }
}

#[tokio::test]
async fn a_card_tells_nobody_which_answer_slows_the_plan() {
    let bench = Bench::new();
    let mut plans = Vec::new();
    for slow in
        [("injury.calf.recent", "yes"), ("run.body_mass_band", "above 85.7"), ("run.strength_work", "no")]
    {
        let fitting = bench.answered(&with(&[slow])).await;
        bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fen")]).await;
        let card = bench.get(&format!("{fitting}/card")).await.html;
        let plan = card.split_once("The change, week by week").unwrap().1;
        plans.push(plan.split_once("<b>Not asked: </b>").unwrap().0.to_owned());
    }
    assert!(plans[0] == plans[1] && plans[1] == plans[2], "{plans:?}");
}

#[tokio::test]
async fn a_small_change_needs_no_plan_and_says_so() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    let page = bench.get(&format!("{fitting}/plan?to=fennick.marl")).await.html;
    assert!(page.contains("A small change; no plan is needed.") && weeks(&page).is_empty());
    assert!(page.contains("No stepping shoe is needed"));
}

#[tokio::test]
async fn what_is_not_known_of_both_shoes_leaves_the_plan_open() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    let page = bench.get(&format!("{fitting}/plan?to=fennick.weir")).await.html;
    assert!(page.contains("Not known of both shoes: heel stack, landing stack and drop."), "{page}");
    assert!(weeks(&page).is_empty() && page.contains("No step can be measured"));
}

#[tokio::test]
async fn a_plan_without_a_shoe_says_what_to_do_first() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    assert!(bench.get(&format!("{fitting}/plan")).await.html.contains("bring one out"));
}

#[tokio::test]
async fn no_page_gets_around_a_stop() {
    let asked = Flags::questions().iter().map(|flag| format!("flags.{}", flag.word()));
    let of_bone = ["injury.navicular", "injury.shin-bone.painful", "flags.diabetes"].map(str::to_owned);
    for flag in asked.chain(of_bone) {
        let pain = if flag.starts_with("flags.") && flag != "flags.diabetes" { "yes" } else { "" };
        let fields = [("now.words", "Fennick Keel"), ("flags.pain", pain), (flag.as_str(), "yes")];
        let bench = Bench::new();
        let fitting = bench.answered(&fields).await;
        bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fen")]).await;
        let order = bench.get(&fitting).await.html;
        assert!(order.contains("Whom to see") && !order.contains("Bring out"), "{flag}");
        for part in ["/plan", "/plan?to=fennick.fen", "/why/fennick.fen"] {
            let around = bench.get(&format!("{fitting}{part}")).await;
            assert_eq!((around.status, around.location.as_str()), (StatusCode::SEE_OTHER, fitting.as_str()));
        }
        let card = bench.get(&format!("{fitting}/card")).await.html;
        assert!(weeks(&card).is_empty() && !card.contains("week by week"), "{flag}");
    }
}
