//! The owner: a supplier's sheet, looked at, applied, and taken back.

use std::path::Path;

use crate::{COUNTER, sample_shop};

#[tokio::test(flavor = "multi_thread")]
async fn the_owner_imports_a_sheet_sees_what_was_held_and_takes_it_back() {
    let (served, browser) = sample_shop(COUNTER).await;
    browser.go(&format!("{}/sheets", served.url)).await;
    let sheet = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-catalogue/second-supplier.csv");
    browser.fill("file", &sheet.canonicalize().unwrap().display().to_string()).await;
    browser.fill("supplier", "Feldrast").await;
    browser.press_at("main form button").await;
    let words = browser.reads(&["last digit should be 0"]).await;
    for said in ["last digit should be 0", "there cannot be fewer than none", "a. A."] {
        assert!(words.contains(said), "“{said}” is not said: {words}");
    }
    browser.picture("owner-preview-1280").await;
    browser.press_exactly("Apply").await;
    browser.reads(&["Import of second-supplier.csv"]).await;
    browser.picture("owner-changes-1280").await;
    browser.go(&format!("{}/shoes?q=krume", served.url)).await;
    browser.reads(&["Krume"]).await;
    browser.go(&format!("{}/changes", served.url)).await;
    browser.press_exactly("Undo").await;
    browser.reads(&["Take back change 4?"]).await;
    browser.picture("owner-undo-1280").await;
    browser.press_exactly("Take it back").await;
    browser.reads(&["Undo of change 4"]).await;
    browser.go(&format!("{}/shoes?q=krume", served.url)).await;
    assert!(!browser.texts("main a").await.iter().any(|text| text.contains("Krume")));
    drop(served);
    browser.close().await;
}
