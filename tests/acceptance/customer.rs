//! The customer: a shortlist side by side, on a page that knows nothing of them.

use crate::{TABLET, sample_shop};

#[tokio::test(flavor = "multi_thread")]
async fn the_customer_sets_three_shoes_side_by_side_by_a_link_alone() {
    let (served, browser) = sample_shop(TABLET).await;
    let shoes = ["fennick.fm-310", "orrelby.or-4110-m", "quillmark.q-504-m"];
    browser.go(&format!("{}/compare?shoe={}", served.url, shoes.join("&shoe="))).await;
    let words = browser.reads(&["Marl 3"]).await;
    for name in ["Marl 3", "Sound", "Tern Low"] {
        assert!(words.contains(name), "{name} is missing: {words}");
    }
    assert!(words.contains("Drop") && words.contains("not given"), "unknown is said: {words}");
    assert_eq!(browser.texts("svg.sole").await.len(), 3, "three soles to one scale");
    browser.picture("customer-compare-820").await;
    drop(served);
    browser.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_shoe_says_what_it_measures_and_what_no_sheet_gave() {
    let (served, browser) = sample_shop(TABLET).await;
    browser.go(&format!("{}/shoes/fennick.fm-310", served.url)).await;
    let words = browser.reads(&["Marl 3"]).await;
    assert!(words.contains("Fennick") && words.contains("Marl 3") && words.contains("36"), "{words}");
    assert!(words.contains("not given"), "its bending is blank: {words}");
    browser.picture("customer-shoe-820").await;
    drop(served);
    browser.close().await;
}
