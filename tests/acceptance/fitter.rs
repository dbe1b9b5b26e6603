//! The fitter: from hello to the card.

use crate::{COUNTER, TABLET, sample_shop};
use tests::browser::Browser;

/// Opens a fitting and answers the first form for a man in EU 42.5 who wants the same again.
async fn answer_the_first_form(browser: &Browser, heading: &str) {
    browser.press("Start a fitting").await;
    browser.choose("run.audience", "men").await;
    browser.choose("size.system", "EU").await;
    browser.fill("size.worn_label", "42.5").await;
    browser.choose("run.purpose", "daily").await;
    browser.choose("stage.heading", heading).await;
    browser.choose("flags.pain", "no").await;
}

async fn to_the_stock(browser: &Browser) {
    browser.press_at("main form button[type='submit']").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_fitter_has_an_order_after_five_answers_and_sends_the_runner_home_with_a_card() {
    let (served, browser) = sample_shop(TABLET).await;
    answer_the_first_form(&browser, "same").await;
    browser.fill("now.words", "Fennick Loam").await;
    to_the_stock(&browser).await;
    if browser.reads(&["Which of these", "Bring out first"]).await.contains("Which of these") {
        browser.press_at("input[name='now.style']").await;
        to_the_stock(&browser).await;
    }
    let words = browser.reads(&["Bring out first"]).await;
    assert!(words.contains("70 of 100 points are our house's view"));
    browser.picture("fitter-stock-820").await;
    nothing_of_the_runner_stands_in(&browser).await;

    browser.press_exactly("Bring out").await;
    browser.reads(&["Brought out"]).await;
    browser.press_exactly("Bring out").await;
    browser.press_exactly("Compare").await;
    browser.reads(&["worn now", "Worn now"]).await;
    browser.picture("fitter-compare-820").await;
    browser.press_exactly("Card").await;
    browser.at("/card").await;
    browser.picture("fitter-card-820").await;
    drop(served);
    browser.close().await;
}

async fn nothing_of_the_runner_stands_in(browser: &Browser) {
    let url = browser.driver.current_url().await.unwrap().to_string();
    for word in ["42", "men", "daily", "same", "pain"] {
        let after_the_id = url.rsplit('/').next().unwrap_or_default();
        let said = after_the_id.contains(&format!("={word}"));
        assert!(!said, "{url} says {word}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_closed_fitting_does_not_come_back_with_the_back_button() {
    let (served, browser) = sample_shop(COUNTER).await;
    answer_the_first_form(&browser, "less").await;
    to_the_stock(&browser).await;
    browser.reads(&["Bring out first"]).await;
    let name = browser.texts("header").await.join(" ");
    browser.press("Close").await;
    browser.at("/close").await;
    browser.press_at("main form button").await;
    browser.reads(&["None is open."]).await;
    browser.driver.back().await.unwrap();
    browser.driver.back().await.unwrap();
    let words = browser.reads(&["Fitting closed", "None is open."]).await;
    assert!(!words.contains("Bring out first"), "{name} came back: {words}");
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_red_flag_shows_no_order_and_whom_to_see() {
    let (served, browser) = sample_shop(TABLET).await;
    browser.press("Start a fitting").await;
    browser.choose("flags.pain", "yes").await;
    browser.press_at("input[name='flags.calf_swelling'][value='yes']").await;
    to_the_stock(&browser).await;
    let words = browser.reads(&["A doctor today"]).await;
    assert!(!words.contains("Bring out first"), "{words}");
    browser.picture("fitter-stopped-820").await;
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_fitter_narrows_the_shoes_by_size_and_surface_in_two_presses_and_back_works() {
    let (served, browser) = sample_shop(COUNTER).await;
    browser.go(&format!("{}/shoes", served.url)).await;
    let all = found(&browser).await;
    browser.press("trail").await;
    browser.at("/shoes?surface=trail#f-surface-trail").await;
    let trail = found(&browser).await;
    assert!(trail < all, "{trail} of {all}");
    browser.picture("fitter-shoes-1280").await;
    browser.driver.back().await.unwrap();
    browser.at("/shoes").await;
    assert_eq!(found(&browser).await, all);
    drop(served);
    browser.close().await;
}

/// The number in the line that says how many shoes were found.
async fn found(browser: &Browser) -> u32 {
    let line = browser.texts(".found").await.join(" ");
    let number = line.split_whitespace().next().unwrap_or_default();
    number.parse().unwrap_or_else(|_| panic!("no number: {line}"))
}
