//! Every page of the three users, for whoever sees, hears, or touches it in another way: axe (Deque's axe-core) in the
//! light on a tablet and in the dark on a telephone, the Nu Html Checker over what is sent, and what neither measures.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::{Value, json};
use tests::browser::{Browser, Served};
use tests::http::get;
use tests::pages::{OF_A_FITTING, OF_THE_SHOP};

use crate::{TABLET, sample_shop};

/// What axe holds a page against: the tags in full, since one of a version brings in no earlier one.
const RUN: &str = "const done = arguments[arguments.length - 1];
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    axe.run(document, { runOnly: { type: 'tag', values: tags }, rules: { 'td-has-header': { enabled: true } } })
        .then(found => done({
            faults: found.violations.map(v => v.id + ': ' + v.nodes.map(n => n.html.slice(0, 120)).join(' | ')),
            ran: ['violations', 'passes', 'incomplete', 'inapplicable'].flatMap(k => found[k].map(r => r.id)),
        }), fault => done({ faults: [String(fault)], ran: [] }));";

/// The text of a page set as widely as WCAG 2.2 says that it must bear (1.4.12).
const SPACED: &str = "const wide = new CSSStyleSheet();
    wide.replaceSync('* { line-height: 1.5 !important; letter-spacing: .12em !important; '
        + 'word-spacing: .16em !important } p { margin-bottom: 2em !important }');
    document.adoptedStyleSheets = [wide];";

/// The longest name that a fitting can have in German, where this one's stands: a name is drawn by lot.
const LONGEST_NAME: &str = "for (const name of document.querySelectorAll('.fitting span:last-child')) {
        name.textContent = 'Wühlmaus Bernstein';
    }";

/// A package that `tests/run` fetched.
fn package(file: &str) -> PathBuf {
    let fetched = std::env::var("LASTBENCH_NPM").expect("tests/run says where axe-core and vnu-jar are");
    Path::new(&fetched).join("node_modules").join(file)
}

/// A fitting with answers and two shoes brought out; its address.
async fn fitting(browser: &Browser) -> String {
    browser.press("Start a fitting").await;
    browser.choose("run.audience", "men").await;
    browser.choose("size.system", "EU").await;
    browser.fill("size.worn_label", "42.5").await;
    browser.choose("run.purpose", "daily").await;
    browser.choose("stage.heading", "less").await;
    browser.choose("flags.pain", "no").await;
    browser.press_at("main form button[type='submit']").await;
    for _ in 0..2 {
        browser.press_exactly("Bring out").await;
        browser.reads(&["Brought out"]).await;
    }
    let address = browser.driver.current_url().await.unwrap();
    address.path().to_owned()
}

fn pages(fitting: &str) -> Vec<String> {
    let of_it = OF_A_FITTING.iter().map(|part| format!("{fitting}{part}"));
    // Two scans that lead on to the list, as a browser follows them.
    let led_on = ["/scan?code=x1", "/scan?code=fennick"];
    OF_THE_SHOP.iter().chain(&led_on).map(|page| (*page).to_owned()).chain(of_it).collect()
}

/// A window of so many pixels, light or dark.
async fn seen_on(browser: &Browser, (width, height): (u32, u32), scheme: &str) {
    let tools = browser.driver.cdp();
    let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
    tools.send_raw("Emulation.setDeviceMetricsOverride", size).await.unwrap();
    let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
    tools.send_raw("Emulation.setEmulatedMedia", media).await.unwrap();
}

/// From now on every page is asked for in German.
async fn in_german(browser: &Browser) {
    let headers = json!({ "headers": { "Accept-Language": "de" } });
    browser.driver.cdp().send_raw("Network.enable", json!({})).await.unwrap();
    browser.driver.cdp().send_raw("Network.setExtraHTTPHeaders", headers).await.unwrap();
}

/// Colours of the reader's own instead of ours, and no motion.
async fn in_forced_colours(browser: &Browser) {
    let features = json!([
        { "name": "forced-colors", "value": "active" },
        { "name": "prefers-reduced-motion", "value": "reduce" },
    ]);
    browser
        .driver
        .cdp()
        .send_raw("Emulation.setEmulatedMedia", json!({ "features": features }))
        .await
        .unwrap();
}

/// What is wrong with the page before the browser.
async fn faults(browser: &Browser, axe: &str, run: &str) -> Vec<String> {
    browser.driver.execute(axe, Vec::new()).await.unwrap();
    let found: Value = browser.driver.execute_async(run, Vec::new()).await.unwrap().json().clone();
    let words = |key: &str| -> Vec<String> {
        let list = found[key].as_array().into_iter().flatten();
        list.filter_map(|word| word.as_str().map(str::to_owned)).collect()
    };
    assert!(words("ran").iter().any(|rule| rule == "target-size"), "axe left target-size out");
    words("faults").into_iter().chain(looked_at(browser).await).collect()
}

/// What axe does not measure.
async fn looked_at(browser: &Browser) -> Vec<String> {
    let measured = browser.driver.execute(include_str!("look.js"), Vec::new()).await.unwrap();
    let measured = measured.json().as_array().cloned().unwrap_or_default();
    measured.iter().map(ToString::to_string).collect()
}

async fn faults_of(served: &Served, browser: &Browser, pages: &[String], where_: &str) -> Vec<String> {
    let axe = std::fs::read_to_string(package("axe-core/axe.min.js")).unwrap();
    let mut all = Vec::new();
    for page in pages {
        browser.go(&format!("{}{page}", served.url)).await;
        all.extend(
            faults(browser, &axe, RUN).await.into_iter().map(|fault| format!("{where_} {page}: {fault}")),
        );
    }
    all
}

#[tokio::test(flavor = "multi_thread")]
async fn no_page_has_a_fault_that_axe_or_a_finger_finds() {
    let (served, browser) = sample_shop(TABLET).await;
    let pages = pages(&fitting(&browser).await);
    seen_on(&browser, TABLET, "light").await;
    let mut all = faults_of(&served, &browser, &pages, "820 light").await;
    seen_on(&browser, (375, 800), "dark").await;
    // German words are longer: what holds them on a telephone holds the English ones.
    in_german(&browser).await;
    all.extend(faults_of(&served, &browser, &pages, "375 dark, German").await);
    seen_on(&browser, (320, 640), "light").await;
    for page in &pages {
        browser.go(&format!("{}{page}", served.url)).await;
        browser.driver.execute(LONGEST_NAME, Vec::new()).await.unwrap();
        let looked = looked_at(&browser).await.into_iter();
        all.extend(looked.map(|fault| format!("320 light, German {page}: {fault}")));
        browser.driver.execute(SPACED, Vec::new()).await.unwrap();
        let looked = looked_at(&browser).await.into_iter();
        all.extend(looked.map(|fault| format!("320, spaced, German {page}: {fault}")));
    }
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
    drop(served);
    browser.close().await;
}

/// What keeps moving although less motion is asked for, and what a step, a choice or a drawing loses when all colours but
/// the reader's own are gone.
const FORCED: &str = "const faults = [];
    for (const media of ['(forced-colors: active)', '(prefers-reduced-motion: reduce)']) {
        if (!matchMedia(media).matches) faults.push('not in force: ' + media);
    }
    for (const e of document.querySelectorAll('body *')) {
        const s = getComputedStyle(e);
        const moves = [s.transitionDuration, s.animationDuration].some(d => d.split(', ').some(t => parseFloat(t) > 0));
        if (moves) faults.push('moves: ' + e.tagName + '.' + e.className);
    }
    const present = document.querySelector('.way a[aria-current]');
    const other = document.querySelector('.way a:not([aria-current])');
    const edge = e => getComputedStyle(e).borderBottomColor;
    if (present && other && edge(present) === edge(other)) faults.push('the present step looks like any other');
    for (const e of document.querySelectorAll('.looked-for, path.shoe')) {
        if (getComputedStyle(e).stroke === 'none') faults.push('without an edge: ' + e.getAttribute('class'));
    }
    return faults;";

#[tokio::test(flavor = "multi_thread")]
async fn less_motion_and_colours_of_the_readers_own_lose_nothing() {
    let (served, browser) = sample_shop(TABLET).await;
    let pages = pages(&fitting(&browser).await);
    in_forced_colours(&browser).await;
    // The colours are the reader's own: that they can be told apart is not ours to hold.
    let run = RUN.replace("rules: {", "rules: { 'color-contrast': { enabled: false },");
    let axe = std::fs::read_to_string(package("axe-core/axe.min.js")).unwrap();
    let mut all = Vec::new();
    for page in &pages {
        browser.go(&format!("{}{page}", served.url)).await;
        let forced = browser.driver.execute(FORCED, Vec::new()).await.unwrap().json().clone();
        let forced =
            forced.as_array().cloned().unwrap_or_default().into_iter().map(|fault| fault.to_string());
        let found = faults(&browser, &axe, &run).await.into_iter().chain(forced);
        all.extend(found.map(|fault| format!("{page}: {fault}")));
    }
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_refused_form_has_no_fault_either() {
    let (served, browser) = sample_shop(TABLET).await;
    browser.press("Start a fitting").await;
    browser.fill("size.worn_label", "forty").await;
    browser.press_at("main form button[type='submit']").await;
    browser.reads(&["needs another look"]).await;
    let axe = std::fs::read_to_string(package("axe-core/axe.min.js")).unwrap();
    assert_eq!(faults(&browser, &axe, RUN).await, [""; 0]);
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_is_html_without_an_error() {
    let (served, browser) = sample_shop(TABLET).await;
    let folder = tempfile::tempdir().unwrap();
    let address = served.url.trim_start_matches("http://").trim_end_matches('/').to_owned();
    for (number, page) in pages(&fitting(&browser).await).iter().enumerate() {
        let answer = get(&address, page).unwrap();
        if answer.status == 303 {
            continue;
        }
        let html = answer.body;
        assert!(html.starts_with("<!DOCTYPE html>"), "{page}");
        let name = page.replace(|sign: char| !sign.is_ascii_alphanumeric(), "-");
        std::fs::write(folder.path().join(format!("{number:02}{name}.html")), html).unwrap();
    }
    let mut checker = Command::new("java");
    checker.arg("-jar").arg(package("vnu-jar/build/dist/vnu.jar")).args(["--errors-only", "--format", "gnu"]);
    let told = checker.arg(folder.path()).output().expect("java starts; tests/run installs it");
    let said = String::from_utf8_lossy(&told.stderr);
    assert!(told.status.success() && said.trim().is_empty(), "{said}");
    drop(served);
    browser.close().await;
}
