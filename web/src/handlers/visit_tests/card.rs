//! The card that goes home: with a sale and without, on the foot, and what it tells of body and pain.

use axum::http::StatusCode;
use catalogue::injury::Region;

use super::bench::{Bench, RUNNER, with};

/// What stands on the card beside the plan, which tells everybody the same of calves and pain.
fn beside_the_plan(text: &str) -> String {
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with("Lastbench sorts")).collect();
    let text = lines.join("\n");
    let before = text.split("\nThe change, week by week").next().unwrap_or_default();
    let after = text.split_once("\nNot asked").map_or("", |(_, rest)| rest);
    format!("{before}\n{after}").to_lowercase()
}

#[tokio::test]
async fn no_region_that_hurt_is_named_on_a_card_unless_it_is_ticked() {
    for region in Region::ALL {
        let bench = Bench::new();
        let told = format!("injury.{}.recent", region.word());
        let mut answers = RUNNER.to_vec();
        answers.push((&told, "yes"));
        answers.push(("run.body_mass_band", "78.2-85.7"));
        let fitting = bench.answered(&answers).await;
        bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.marl")]).await;
        let quiet = beside_the_plan(&bench.get(&format!("{fitting}/card.txt")).await.html);
        let mut words = quiet.split(|c: char| !c.is_ascii_alphanumeric() && c != '-');
        assert!(words.all(|word| word != region.word()), "{}: {quiet}", region.word());
        for word in ["pain", "injur", "body", "mass", "78.2", "hurt"] {
            assert!(!quiet.contains(word), "{}: {word}: {quiet}", region.word());
        }
        let ticked = bench.post(&format!("{fitting}/card"), &[("hurt", "yes")]).await;
        assert_eq!((ticked.status, ticked.location), (StatusCode::SEE_OTHER, format!("{fitting}/card")));
        let told = bench.get(&format!("{fitting}/card.txt")).await.html;
        assert!(
            told.contains("Injuries: ") || bench.get(&fitting).await.html.contains("Whom to see"),
            "{told}"
        );
        bench.post(&format!("{fitting}/card"), &[("hurt", "no")]).await;
        assert!(!bench.get(&format!("{fitting}/card")).await.html.contains("<h2>What hurt"));
    }
}

#[tokio::test]
async fn without_a_sale_the_shoes_stand_in_the_customers_order_with_size_place_and_price() {
    let bench = Bench::new();
    let fitting = bench.answered(&with(&[])).await;
    for shoe in ["fennick.marl", "fennick.tern", "fennick.sound"] {
        bench.post(&format!("{fitting}/shortlist"), &[("style", shoe)]).await;
    }
    let ranks = [("rank.fennick.tern", "1"), ("rank.fennick.sound", "2"), ("do", "keep")];
    bench.post(&format!("{fitting}/on-foot"), &ranks).await;
    let text = bench.get(&format!("{fitting}/card.txt")).await.html;
    let at = |name: &str| text.find(name).unwrap_or_else(|| panic!("{name}: {text}"));
    assert!(text.contains("Shoes to think about"), "{text}");
    assert!(at("Fennick Tern: ") < at("Fennick Sound: ") && at("Fennick Sound: ") < at("Fennick Marl: "));
    assert!(text.contains("in stock: 42.5 · € 139 · bay C4"), "{text}");
    let order = "/compare?shoe=fennick.tern&shoe=fennick.sound&shoe=fennick.marl";
    assert!(text.contains(order) && !text.contains(&fitting), "{text}");
    bench.post(&format!("{fitting}/choose"), &[("style", "fennick.marl")]).await;
    let sold = bench.get(&format!("{fitting}/card.txt")).await.html;
    assert!(sold.contains("Your shoes\nFennick Marl: ") && sold.contains("Also tried"), "{sold}");
}

#[tokio::test]
async fn the_sizes_on_the_two_feet_go_home_on_the_card() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.marl")]).await;
    let sku = "fennick.marl/grey/eu-42.5/";
    let tried = [("left.fennick.marl", sku), ("right.fennick.marl", sku), ("rank.fennick.marl", "1")];
    bench.post(&format!("{fitting}/on-foot"), &tried).await;
    let card = bench.get(&format!("{fitting}/card")).await.html;
    assert!(card.contains("EU 42.5 on both feet, your rank 1"), "{card}");
}

#[tokio::test]
async fn the_small_sheet_says_what_is_on_the_large_one() {
    let bench = Bench::new();
    let fitting = bench.answered(&with(&[("run.strength_work", "yes"), ("injury", "none")])).await;
    bench.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fen")]).await;
    let small = bench.get(&format!("{fitting}/card?paper=a6")).await.html;
    assert!(small.contains("card a6") && small.contains("On the A4 card: "), "{small}");
    assert!(small.contains("Stop running and see a clinician") && small.contains("<table class=\"weeks\">"));
    assert!(!bench.get(&format!("{fitting}/card")).await.html.contains("On the A4 card: "));
}
