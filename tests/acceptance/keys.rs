//! The visit by keys alone, with the ring of the focus in sight at every stop, and where the focus goes.

use serde_json::json;
use tests::browser::{Browser, Served};
use thirtyfour::Key;

use crate::{TABLET, sample_shop};

/// Stops after which something is taken for out of reach.
const FAR: usize = 260;

/// Whether the element that has the focus is the one looked for, and whether anybody can see that it has it: an outline
/// on it or on the choice around it, in a colour that is not that of the page.
const STOP: &str = "const e = document.activeElement;
    const ringed = [e, e.closest('.choice')].filter(Boolean).some(o => {
        const s = getComputedStyle(o);
        return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2;
    });
    const box = e.getBoundingClientRect();
    const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    const own = e.closest('label, .choice') || e;
    const covered = at && box.height > 2 && box.height < innerHeight && !own.contains(at) && !at.contains(e);
    return { here: e.matches(arguments[0]), ringed, covered: Boolean(covered), what: e.tagName + ' ' + (e.name || e.textContent || '').trim().slice(0, 40) };";

/// A browser that is only pressed by keys.
struct Keys {
    browser: Browser,
}

impl Keys {
    async fn key(&self, key: Key) {
        self.browser.driver.action_chain().send_keys(key + "").perform().await.unwrap();
    }

    async fn text(&self, text: &str) {
        self.browser.driver.action_chain().send_keys(text).perform().await.unwrap();
    }

    /// Goes on with the Tab key until the focus is on what a selector finds.
    async fn to(&self, selector: &str) {
        let mut passed = Vec::new();
        for _ in 0..FAR {
            let stop = self.browser.driver.execute(STOP, vec![json!(selector)]).await.unwrap();
            let stop = stop.json().clone();
            let on_the_page = stop["what"].as_str().is_some_and(|what| what.starts_with("BODY"));
            if !on_the_page && !passed.is_empty() {
                assert_eq!(stop["ringed"], json!(true), "no ring on {}", stop["what"]);
                // WCAG 2.2, 2.4.11: whatever has the focus is not hidden by something else.
                assert_eq!(stop["covered"], json!(false), "something covers {}", stop["what"]);
            }
            if stop["here"] == json!(true) {
                return;
            }
            passed.push(stop["what"].to_string());
            self.key(Key::Tab).await;
        }
        panic!("{selector} is not reached by {} stops: {passed:?}", passed.len());
    }

    /// Chooses a radio button of a group: to the group by Tab, within it by the arrows.
    async fn choose(&self, name: &str, value: &str) {
        self.to(&format!("input[name='{name}']")).await;
        let chosen = format!("input[name='{name}'][value='{value}']:checked");
        for _ in 0..12 {
            let stop = self.browser.driver.execute(STOP, vec![json!(chosen)]).await.unwrap();
            if stop.json()["here"] == json!(true) {
                return;
            }
            self.key(Key::Down).await;
        }
        panic!("{name} never says {value}");
    }

    /// Presses Enter on what a selector finds, and waits for a page with these words.
    async fn enter(&self, selector: &str, then: &str) {
        self.to(selector).await;
        self.key(Key::Enter).await;
        self.browser.reads(&[then]).await;
    }
}

async fn begun() -> (Served, Keys) {
    let (served, browser) = sample_shop(TABLET).await;
    let keys = Keys { browser };
    keys.enter("form[action='/fittings'] button", "Put the stock in order").await;
    (served, keys)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_visit_is_made_by_keys_alone_and_every_stop_shows_where_it_is() {
    let (served, keys) = begun().await;
    keys.choose("run.audience", "men").await;
    keys.to("[name='size.worn_label']").await;
    keys.text("42.5").await;
    keys.to("[name='size.system']").await;
    keys.text("EU").await;
    keys.choose("run.purpose", "daily").await;
    keys.choose("stage.heading", "same").await;
    keys.choose("flags.pain", "no").await;
    keys.enter("main form button[type='submit']", "Bring out first").await;
    for brought in ["Stock in order ✓ 1", "Stock in order ✓ 2"] {
        keys.enter(".row .do button:not(.quiet)", brought).await;
    }
    keys.enter(".way a[href$='/on-foot']", "In this order").await;
    keys.choose_first_rank().await;
    keys.enter("button[value^='choose:']", "Plan").await;
    keys.enter(".way a[href$='/card']", "Your shoes").await;
    keys.browser.driver.back().await.unwrap();
    keys.enter(".way a[href$='/close']", "Close the fitting").await;
    keys.browser.at("/close").await;
    keys.to("main form button[type='submit']").await;
    // A space presses when it is let go: no sign of it is left for the box that waits for a scan on the next page.
    keys.key(Key::Space).await;
    keys.browser.reads(&["Start a fitting"]).await;
    drop(served);
    keys.browser.close().await;
}

impl Keys {
    /// A tick of the first rank of the first shoe.
    async fn choose_first_rank(&self) {
        self.to("input[name^='rank.']").await;
        self.key(Key::Space).await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_refused_form_puts_the_focus_on_what_is_wrong_and_from_there_on_the_field() {
    let (served, keys) = begun().await;
    keys.to("[name='size.worn_label']").await;
    keys.text("forty").await;
    keys.key(Key::Enter).await;
    keys.browser.reads(&["needs another look"]).await;
    let stop = keys.browser.driver.execute(STOP, vec![json!(".problems")]).await.unwrap();
    assert_eq!(stop.json()["here"], json!(true), "the focus is on {}", stop.json()["what"]);
    keys.enter(".problems a", "needs another look").await;
    let stop = keys.browser.driver.execute(STOP, vec![json!("[name='size.worn_label']")]).await.unwrap();
    assert_eq!(stop.json()["here"], json!(true), "the focus is on {}", stop.json()["what"]);
    drop(served);
    keys.browser.close().await;
}
