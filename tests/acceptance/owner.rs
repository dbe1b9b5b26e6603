//! The owner: a supplier's sheet, looked at, applied, and taken back.

use std::path::Path;

use crate::{COUNTER, TABLET, sample_shop};

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

/// An unknown supplier's sheet, by someone who has read nothing: a title above, groups and units in rows of their own,
/// a heading that nobody knows.
#[tokio::test(flavor = "multi_thread")]
async fn an_unknown_suppliers_sheet_is_decided_applied_and_taken_back_without_any_script() {
    let (served, browser) = sample_shop(TABLET).await;
    let off = serde_json::json!({ "value": true });
    browser.driver.cdp().send_raw("Emulation.setScriptExecutionDisabled", off).await.unwrap();
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("talvik.csv");
    let text = "Spring range;;;;;;\n\nMarke;Artikelnr.;Bezeichnung;Sohle;;Gewicht;Colorwai\n;;;Ferse;Vorfuß;;\n;;;mm;mm;oz;\n\
                Talvik;TV-101;Kesa;32,5;24,5;9,4;rot\nTalvik;TV-102;Suvi;28,0;22,0;8,9;blau\n";
    std::fs::write(&sheet, text).unwrap();
    browser.go(&format!("{}/sheets", served.url)).await;
    browser.fill("file", &sheet.display().to_string()).await;
    browser.fill("supplier", "Talvik").await;
    browser.press_at("main form button").await;
    browser.reads(&["To decide first"]).await;
    browser.picture("owner-undecided-820").await;
    browser.choose("column-0-G", "colourway").await;
    browser.press_at("form.mapping > p.buttons button").await;
    browser.reads(&["2 new shoes", "New shoes"]).await;
    browser.press_exactly("Apply").await;
    browser.reads(&["Import of talvik.csv"]).await;
    browser.go(&format!("{}/shoes?q=kesa", served.url)).await;
    browser.reads(&["Kesa"]).await;
    browser.go(&format!("{}/changes", served.url)).await;
    browser.press_exactly("Undo").await;
    browser.reads(&["Take back change 4?"]).await;
    browser.press_exactly("Take it back").await;
    browser.reads(&["Undo of change 4"]).await;
    drop(served);
    browser.close().await;
}
