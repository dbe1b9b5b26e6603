//! The house policy as the owner changes it: looked at first, kept with a reason, taken back, given out as a file.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use catalogue::policy::HousePolicy;

use crate::owner_bench::{Answer, Owner, reader};

const POLICY: &str = "/policy";

/// A runner three weeks into a step to less shoe.
const RUNNER: &str = r#"{"size": {"system": "EU", "worn_label": "42.5"}, "run": {"audience": "men", "purpose": "daily"},
    "now": {"style": "fennick.fm-410"}, "stage": {"heading": "less", "weeks_done": 5}, "flags": {"pain": false}}"#;

fn owner() -> Owner {
    Owner::over(web::sample::sample_shop(reader(), 1_000).unwrap())
}

fn weeks(owner: &Owner) -> u16 {
    owner.state.snapshot().policy().weeks_per_step
}

/// Looks at a change of the weeks in a step.
async fn look(owner: &Owner, weeks: &str, why: &str) -> Answer {
    let at = owner.get(POLICY).await.hidden(POLICY, "at");
    owner.post(POLICY, &[("at", &at), ("weeks_per_step", weeks), ("why", why)]).await
}

/// Presses Apply on a page that was looked at: the fields of its first form that applies.
async fn apply(owner: &Owner, page: &Answer) -> Answer {
    let form =
        page.body.split("<form").find(|form| form.contains("name=\"apply\"")).expect("a form that applies");
    let form = form.split("</form>").next().unwrap();
    let field = |part: &str, name: &str| {
        Some(part.split(&format!("{name}=\"")).nth(1)?.split('"').next()?.to_owned())
    };
    let fields: Vec<(String, String)> = form
        .split("<input")
        .skip(1)
        .filter_map(|input| Some((field(input, "name")?, field(input, "value")?.replace(' ', "+"))))
        .collect();
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    owner.post(POLICY, &fields).await
}

#[tokio::test]
async fn a_number_is_looked_at_kept_with_its_reason_ranks_at_once_and_is_taken_back() {
    let owner = owner();
    assert!(owner.rank(RUNNER).await.says("\"row\":\"same\""), "five of six weeks are done");
    let seen = look(&owner, "4", "our+runners+are+quick").await;
    assert_eq!(seen.status, StatusCode::OK);
    assert!(seen.says("steps, weeks in a step: 6 → 4 weeks"), "{}", seen.text());
    assert!(
        seen.says("closed-gate") && seen.says("stopped by a red flag"),
        "each sample runner has its line"
    );
    assert_eq!((weeks(&owner), owner.changes()), (6, 3), "nothing is stored by looking");

    let kept = apply(&owner, &seen).await;
    assert_eq!((kept.status, kept.to.as_str()), (StatusCode::SEE_OTHER, "/changes/4"));
    assert!(owner.rank(RUNNER).await.says("\"row\":\"less\""), "the next request ranks by it");
    let change = owner.get("/changes/4").await;
    for words in ["House policy", "our runners are quick", "Weeks in a step", "6 (the default)"] {
        assert!(change.says(words), "{words}: {}", change.text());
    }
    assert!(owner.get("/changes").await.says("our runners are quick"));

    assert_eq!(apply(&owner, &seen).await.to, "/changes/4", "a second press is the same change");
    let at = owner.get("/changes/4/undo").await.hidden("/changes/4/undo", "at");
    owner.post("/changes/4/undo", &[("at", &at)]).await;
    assert_eq!(*owner.state.snapshot().policy(), HousePolicy::standard());
}

#[tokio::test]
async fn a_number_beyond_its_limits_is_refused_at_its_field_and_nothing_typed_is_lost() {
    let owner = owner();
    let at = owner.get(POLICY).await.hidden(POLICY, "at");
    let fields = [
        ("at", at.as_str()),
        ("weeks_per_step", "99"),
        ("less.drop_mm", "-1"),
        ("less.drop_mm", "-4"),
        ("why", "too+much"),
    ];
    let refused = owner.post(POLICY, &fields).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("write a number from 1 to 52 weeks") && refused.says("write the lower end first"));
    assert!(refused.body.contains("href=\"#weeks_per_step\"") && refused.body.contains("value=\"99\""));
    assert!(refused.body.contains("value=\"too much\""));
    assert_eq!(owner.changes(), 3);
}

#[tokio::test]
async fn the_file_that_is_given_out_is_the_policy_in_force_and_a_pasted_one_is_looked_at() {
    let owner = owner();
    let file = owner.get("/policy.toml").await;
    assert!(file.body.contains("weeks_per_step = 6  # 1 to 52 weeks, default 6."));
    let same = owner.post(POLICY, &[("at", "3"), ("file", &encoded(&file.body))]).await;
    assert!(same.says("Nothing: this is the policy in force."), "{}", same.text());
    let other = file.body.replace("weeks_per_step = 6", "weeks_per_step = 8");
    let seen = owner.post(POLICY, &[("at", "3"), ("file", &encoded(&other))]).await;
    assert!(seen.says("weeks in a step: 6 → 8 weeks"));
    let bad = owner.post(POLICY, &[("at", "3"), ("file", &encoded("[rules]\nweight = 9\n"))]).await;
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(bad.says("Line 2: “rules.weight” is no item of the policy"), "evidence is not edited here");
}

fn encoded(text: &str) -> String {
    form_urlencoded::byte_serialize(text.as_bytes()).collect()
}

#[tokio::test]
async fn one_button_leads_back_to_the_defaults_after_a_look() {
    let owner = owner();
    let seen = look(&owner, "8", "").await;
    apply(&owner, &seen).await;
    assert!(owner.get(POLICY).await.says("changed by the shop"));
    let seen = owner.post(POLICY, &[("at", "4"), ("defaults", "yes"), ("why", "back")]).await;
    assert!(seen.says("8 → 6 weeks"), "{}", seen.text());
    apply(&owner, &seen).await;
    assert_eq!(*owner.state.snapshot().policy(), HousePolicy::standard());
}

#[tokio::test]
async fn a_policy_that_was_changed_meanwhile_is_looked_at_again_before_it_is_applied() {
    let owner = owner();
    let (first, second) = (look(&owner, "8", "first").await, look(&owner, "9", "second").await);
    apply(&owner, &first).await;
    let late = apply(&owner, &second).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.says("changed since you looked") && late.says("8 → 9 weeks"), "{}", late.text());
    assert_eq!(weeks(&owner), 8);
}

#[tokio::test]
async fn prices_are_read_and_given_out_in_the_currency_of_the_policy() {
    let owner = Owner::new();
    let refused = owner.post(POLICY, &[("at", "0"), ("currency", "JPY")]).await;
    assert!(refused.says("no currency code of two decimals"), "{}", refused.text());
    let seen = owner.post(POLICY, &[("at", "0"), ("currency", "GBP")]).await;
    apply(&owner, &seen).await;
    let sheet = "Maker,Style number,Style name,Size EU,Qty,Price GBP\nFeldrast,FR-1,Egge,42,3,139\n";
    let (sheet, _) = owner.preview("stock.csv", sheet.as_bytes()).await;
    owner.apply(&sheet).await;
    let price = owner.state.snapshot().skus()[0].price.map(|price| price.0);
    assert_eq!(price, Some(13_900));
    let csv = owner.state.shop.ask(|store| store.export_csv()).unwrap();
    assert!(csv.contains(",Price GBP,") && csv.contains(",139.00,"), "{csv}");
}

#[tokio::test]
async fn over_an_empty_catalogue_no_order_can_move_and_the_page_says_so() {
    let owner = Owner::new();
    let seen = look(&owner, "8", "").await;
    assert!(seen.says("There is no stock yet"), "{}", seen.text());
}
