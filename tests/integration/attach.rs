//! A number that nothing carries: from the scan to its size, and found the next time.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;

use crate::visit_bench::Desk;

/// A number with a right check digit that no box of the sample carries.
const UNKNOWN: &str = "06291041500213";

/// The first address on a page that begins so, as a browser would follow it.
fn link(html: &str, begins: &str) -> String {
    let href = format!("href=\"{begins}");
    let at = html.find(&href).unwrap_or_else(|| panic!("no link to {begins}"));
    html[at + 6..].split('"').next().unwrap().replace("&amp;", "&")
}

#[tokio::test]
async fn an_unknown_number_is_attached_to_the_size_whose_box_it_is_on_and_found_the_next_time() {
    let desk = Desk::new();
    let attach = link(&desk.get(&format!("/scan?code={UNKNOWN}")).await.text, "/scan/attach");
    let empty = desk.get(&attach).await.text;
    assert!(empty.contains(UNKNOWN) && empty.contains("Find its shoe"));
    let found = desk.get(&format!("{attach}&q=fennick+marl")).await.text;
    let form = link(&found, "/shoes/fennick");
    let size =
        found.split("href=\"/shoes/").find(|part| part.contains("gtin=") && part.contains("no number"));
    let size =
        size.map_or(form, |part| format!("/shoes/{}", part.split('"').next().unwrap().replace("&amp;", "&")));
    let page = desk.get(&size).await.text;
    assert!(page.contains(&format!("value=\"{UNKNOWN}\"")), "the form holds the number");
    let at = page.split("name=\"at\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let typed = |name: &str| {
        let field = page.split(&format!("name=\"{name}\"")).nth(1).unwrap();
        field.split("value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned()
    };
    let (quantity, price, place) = (typed("quantity"), typed("price"), typed("place"));
    let kept = desk
        .post(
            &size,
            &[
                ("at", at.as_str()),
                ("quantity", &quantity),
                ("price", &price),
                ("place", &place),
                ("gtin", UNKNOWN),
                ("reason", "corrected"),
            ],
        )
        .await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let again = desk.get(&format!("/scan?code={UNKNOWN}")).await;
    assert!(again.to.starts_with("/shoes/fennick"), "{}", again.to);
    assert_eq!(
        desk.get(&attach).await.to,
        format!("/scan?code={UNKNOWN}"),
        "a known number leads to its shoe"
    );
}

#[tokio::test]
async fn what_is_no_number_of_a_box_is_not_attached() {
    let desk = Desk::new();
    let page = desk.get("/scan/attach?code=06291041500214").await;
    assert!(
        page.status.is_success() && page.text.contains("no number of a box") && !page.text.contains("gtin=")
    );
    let unknown = desk.get("/scan?code=06291041500214").await.text;
    assert!(!unknown.contains("/scan/attach"), "a wrong check digit is no number to keep");
}
