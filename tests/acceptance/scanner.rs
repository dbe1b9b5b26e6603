//! A handheld scanner is a quick keyboard: whatever has the focus, a scan leads to the scan's page and does nothing else.

use std::time::Duration;

use crate::{TABLET, sample_shop};
use tests::browser::{Browser, Served};
use thirtyfour::Key;

/// A GTIN of nobody's, its check digit true (GS1 General Specifications, section 7.9).
const CODE: &str = "4099999000015";

/// What a scanner sends: the signs one after the other without a pause, then Enter.
async fn scan(browser: &Browser, code: &str) {
    // Whatever was typed before is no part of it.
    tokio::time::sleep(Duration::from_millis(120)).await;
    let keys = format!("{code}{}", char::from(Key::Enter));
    browser.driver.action_chain().send_keys(keys).perform().await.unwrap();
}

/// A scan is looked up after a third of a second; a page needs some more on a busy machine.
const LOOKED_UP: Duration = Duration::from_millis(1_500);

/// Whether it comes true in a few tries: the driver of a browser on a busy machine may be slower than any scanner, and is
/// then rightly taken for a hand.
async fn within_tries(mut holds: impl AsyncFnMut() -> bool) -> bool {
    for _ in 0..6 {
        if holds().await {
            return true;
        }
    }
    false
}

async fn focus(browser: &Browser, selector: &str) {
    let script = format!("document.querySelector({selector:?}).focus()");
    browser.driver.execute(script, Vec::new()).await.unwrap();
}

async fn value(browser: &Browser, selector: &str) -> String {
    let script = format!("return String(document.querySelector({selector:?}).value)");
    let told = browser.driver.execute(script, Vec::new()).await.unwrap();
    told.json().as_str().unwrap_or_default().to_owned()
}

async fn start() -> (Served, Browser, String) {
    let (served, browser) = sample_shop(TABLET).await;
    browser.press("Start a fitting").await;
    browser.reads(&["Put the stock in order"]).await;
    let form = browser.driver.current_url().await.unwrap().to_string();
    (served, browser, form)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_scan_from_any_focus_leads_to_its_page_and_presses_nothing() {
    let (served, browser, form) = start().await;
    let fitting = form.rsplit_once('/').unwrap().0;
    let places = [
        "body",
        "main form button",
        "summary",
        "select",
        "input[type=checkbox]",
        "input[name='size.worn_label']",
        "input[name=code]",
        "a[href='/']",
        "nav a",
    ];
    for place in places {
        let leads_there = async || {
            browser.go(&form).await;
            browser.reads(&["Put the stock in order"]).await;
            if place != "body" {
                focus(&browser, place).await;
            }
            scan(&browser, CODE).await;
            tokio::time::sleep(LOOKED_UP).await;
            let at = browser.driver.current_url().await.unwrap();
            at.as_str().ends_with(&format!("{fitting}/scan?code={CODE}"))
        };
        assert!(within_tries(leads_there).await, "from {place}");
    }
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_scan_into_a_form_half_filled_loses_nothing_and_says_what_can_be_done() {
    let (served, browser, form) = start().await;
    let system = value(&browser, "select[name='size.system']").await;
    let told = async || {
        browser.go(&form).await;
        browser.fill("size.worn_label", "42").await;
        focus(&browser, "select[name='size.system']").await;
        scan(&browser, CODE).await;
        tokio::time::sleep(LOOKED_UP).await;
        let words = browser.words().await;
        words.contains("is not sent yet") && words.contains(&format!("Scanned: {CODE}."))
    };
    assert!(within_tries(told).await);
    assert_eq!(value(&browser, "select[name='size.system']").await, system);
    let kept = async || {
        browser.go(&form).await;
        browser.fill("size.worn_label", "42").await;
        browser.choose("run.audience", "men").await;
        focus(&browser, "input[name='size.worn_label']").await;
        scan(&browser, CODE).await;
        tokio::time::sleep(LOOKED_UP).await;
        let said = browser.words().await.contains(&format!("Scanned: {CODE}."));
        said && value(&browser, "input[name='size.worn_label']").await == "42"
    };
    assert!(within_tries(kept).await);
    browser.press("Look it up all the same").await;
    browser.at(&format!("/scan?code={CODE}")).await;
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_hand_that_types_is_left_alone() {
    let (served, browser, form) = start().await;
    focus(&browser, "input[name='size.worn_label']").await;
    for sign in "42.5000".chars() {
        browser.driver.action_chain().send_keys(sign).perform().await.unwrap();
        tokio::time::sleep(Duration::from_millis(90)).await;
    }
    assert_eq!(value(&browser, "input[name='size.worn_label']").await, "42.5000");
    browser.go(&form).await;
    focus(&browser, "summary").await;
    scan(&browser, "").await;
    let open = browser
        .driver
        .execute("return String(document.querySelector('summary').parentElement.open)", Vec::new());
    assert_eq!(open.await.unwrap().json().as_str(), Some("true"), "a single Enter still acts");
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn two_scans_one_after_the_other_are_both_looked_up_in_their_order() {
    let (served, browser, form) = start().await;
    let both = async || {
        browser.go(&form).await;
        browser.reads(&["Put the stock in order"]).await;
        scan(&browser, CODE).await;
        scan(&browser, "4099999000022").await;
        tokio::time::sleep(LOOKED_UP).await;
        browser.words().await.contains("Scanned next: 4099999000022")
    };
    assert!(within_tries(both).await);
    browser.at(&format!("/scan?code={CODE}")).await;
    browser.press("Look it up").await;
    browser.at("/scan?code=4099999000022").await;
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_page_of_the_scanner_shows_what_it_sends_and_the_guard_can_be_switched_off_there() {
    let (served, browser, form) = start().await;
    browser.go(&format!("{}/scanner", served.url.trim_end_matches('/'))).await;
    let shown = async || {
        scan(&browser, CODE).await;
        tokio::time::sleep(LOOKED_UP).await;
        let words = browser.words().await;
        words.contains(&format!("Sent: {CODE}[Enter]"))
            && words.contains("13 signs")
            && words.contains("ended by Enter")
    };
    assert!(within_tries(shown).await);
    browser.press("Leave scans to whatever has the focus").await;
    browser.go(&form).await;
    focus(&browser, "summary").await;
    scan(&browser, CODE).await;
    tokio::time::sleep(Duration::from_millis(600)).await;
    assert_eq!(browser.driver.current_url().await.unwrap().as_str(), form);
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_fitting_that_nobody_touches_is_put_out_of_sight_after_a_warning_and_loses_nothing() {
    let (served, browser, _) = start().await;
    browser.fill("size.worn_label", "42").await;
    let rests = |after: &str| format!("document.body.dataset.restsAfter = '{after}'");
    browser.driver.execute(rests("20"), Vec::new()).await.unwrap();
    browser.reads(&["Is somebody there?"]).await;
    browser.driver.execute(rests("0"), Vec::new()).await.unwrap();
    browser.reads(&["rests, out of sight"]).await;
    browser.driver.execute(rests("600"), Vec::new()).await.unwrap();
    browser.press("Go on").await;
    assert_eq!(value(&browser, "input[name='size.worn_label']").await, "42");
    assert!(browser.texts("dialog").await.is_empty());
    drop(served);
    browser.close().await;
}
