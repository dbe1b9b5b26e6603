//! Filters added one by one, and Back through all of them: each state as it was left, and the hand where it was.

use serde_json::{Value, json};
use tests::browser::Browser;

use crate::{COUNTER, TABLET, sample_shop};

/// The address, how far down the page is, what was found, which element has the focus, and whether that is in sight.
const STATE: &str = "const e = document.activeElement;
    const box = e.getBoundingClientRect();
    return {
        at: location.pathname + location.search,
        down: Math.round(scrollY),
        found: document.querySelector('.found').innerText.split(' ')[0],
        focus: e.id,
        seen: box.top >= 0 && box.bottom <= innerHeight,
    };";

/// What is pressed one after the other, and what each adds to the address.
const PRESSED: [(&str, &str); 5] = [
    ("f-surface-road", "surface=road"),
    ("f-audience-men", "audience=men"),
    ("f-drop", "drop_from=4"),
    ("f-purpose-daily", "purpose=daily"),
    ("f-surface-road", "!surface=road"),
];

async fn state(browser: &Browser) -> Value {
    browser.driver.execute(STATE, Vec::new()).await.unwrap().json().clone()
}

/// Waits until the address says so, or no longer says what stands behind the `!`, and the page is whole.
async fn arrived(browser: &Browser, says: &str) {
    const HERE: &str = "return document.readyState === 'complete' && (arguments[0].startsWith('!')
        ? !location.search.includes(arguments[0].slice(1)) : location.search.includes(arguments[0]));";
    for _ in 0..200 {
        let here = browser.driver.execute(HERE, vec![json!(says)]).await;
        if here.is_ok_and(|here| here.json() == &json!(true)) {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!("the address never says {says}: {}", state(browser).await);
}

/// Unfolds the group of a control, brings the control into the middle of the window, and fills the field before it.
const REACH: &str = "const e = document.getElementById(arguments[0]);
    e.closest('details').open = true;
    const field = e.closest('form.bounds')?.querySelector('input[type=text]');
    if (field) field.value = '4';
    e.scrollIntoView({ block: 'center', behavior: 'instant' });";

async fn five_filters_and_back(window: (u32, u32)) {
    let (served, browser) = sample_shop(window).await;
    browser.go(&format!("{}/shoes", served.url)).await;
    let mut left = Vec::new();
    for (id, says) in PRESSED {
        browser.driver.execute(REACH, vec![json!(id)]).await.unwrap();
        left.push(state(&browser).await);
        browser.press_at(&format!("#{id}")).await;
        arrived(&browser, says).await;
        let now = state(&browser).await;
        assert_eq!((&now["focus"], &now["seen"]), (&json!(id), &json!(true)), "{window:?}: {now}");
    }
    browser.picture(&format!("back-{}", window.0)).await;
    for (before, (id, _)) in left.iter().zip(PRESSED).rev() {
        browser.driver.back().await.unwrap();
        let (mut now, mut tries) = (state(&browser).await, 0);
        // The page is put back where it was once it is drawn.
        while (now["at"] != before["at"] || now["down"] != before["down"]) && tries < 60 {
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
            (now, tries) = (state(&browser).await, tries + 1);
        }
        for same in ["at", "found", "down"] {
            assert_eq!(now[same], before[same], "{window:?}, {same}: {now} instead of {before}");
        }
        let pressed_here = (&json!(id), &json!(true));
        assert_eq!((&now["focus"], &now["seen"]), pressed_here, "{window:?}: {now}");
    }
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn back_leads_through_five_filters_to_where_each_was_left() {
    // At the counter the filters stand beside the list, on a tablet below it.
    for window in [COUNTER, TABLET] {
        five_filters_and_back(window).await;
    }
}
