//! Whoever is signed in sees on which browsers, and ends those; the owner also those of others (OWASP ASVS 5.0, 7.5.2).

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::time::Duration;

use axum::http::{Method, StatusCode, header};
use axum::response::Response;

use crate::access_matrix::{FITTER, OWNER, Shop, is_turned_away, staffed, text};

/// The numbers that a page offers to end.
fn offered(page: &str) -> Vec<String> {
    let ticks = page.split("name=\"session\" value=\"").skip(1);
    ticks.map(|rest| rest.split('"').next().unwrap().to_owned()).collect()
}

async fn sessions(shop: &Shop, cookie: &str) -> String {
    text(shop.ask(&Method::GET, "/sessions", Some(cookie), "").await).await
}

async fn end(shop: &Shop, cookie: &str, ids: &[String], password: &str) -> Response {
    let fields = ids.iter().map(|id| ("session", id.as_str())).chain([("password", password)]);
    let form = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
    shop.ask(&Method::POST, "/sessions", Some(cookie), &form).await
}

/// The cookie that an answer gives.
fn given(response: &Response) -> String {
    let cookie = response.headers()[header::SET_COOKIE].to_str().unwrap();
    cookie.split(';').next().unwrap().to_owned()
}

async fn is_signed_in(shop: &Shop, cookie: &str) -> bool {
    !is_turned_away(&shop.ask(&Method::GET, "/shoes", Some(cookie), "").await)
}

#[tokio::test]
async fn somebody_sees_their_own_sessions_and_ends_one_by_the_password_alone() {
    let shop = staffed().await;
    let owner = shop.signed_in(OWNER).await;
    let forgotten = shop.signed_in(FITTER).await;
    shop.clock.advance(Duration::from_mins(7));
    let here = shop.signed_in(FITTER).await;
    let page = sessions(&shop, &here).await;
    assert!(
        page.contains("this browser") && page.contains("signed in 7 min ago, last used 7 min ago"),
        "{page}"
    );
    assert!(!page.contains("<b>Mara"), "not those of others: {page}");
    let ids = offered(&page);
    assert_eq!(ids.len(), 1, "the browser itself signs out by its button");
    for password in ["", "a guess"] {
        let refused = end(&shop, &here, &ids, password).await;
        assert_eq!(refused.status(), StatusCode::UNAUTHORIZED);
        assert!(text(refused).await.contains("checked"), "what was ticked stays so");
        assert!(is_signed_in(&shop, &forgotten).await);
    }
    assert_eq!(end(&shop, &here, &[], FITTER.1).await.status(), StatusCode::UNPROCESSABLE_ENTITY);
    let done = end(&shop, &here, &ids, FITTER.1).await;
    assert_eq!(done.status(), StatusCode::OK);
    let here = given(&done);
    assert!(text(done).await.contains("One browser is signed out."));
    assert!(!is_signed_in(&shop, &forgotten).await && is_signed_in(&shop, &here).await);
    assert!(is_signed_in(&shop, &owner).await);
}

#[tokio::test]
async fn a_fitter_ends_no_session_of_another_and_the_owner_does() {
    let shop = staffed().await;
    let (owner, fitter) = (shop.signed_in(OWNER).await, shop.signed_in(FITTER).await);
    let of_owner = shop.state.staff.sessions(Some(OWNER.0), shop.clock.now().instant);
    let ids: Vec<_> = of_owner.iter().map(|(id, _)| id.to_string()).collect();
    let done = end(&shop, &fitter, &ids, FITTER.1).await;
    let fitter = given(&done);
    assert!(text(done).await.contains("0 browsers are signed out.") && is_signed_in(&shop, &owner).await);
    let page = sessions(&shop, &owner).await;
    assert!(page.contains("<b>Jonte</b>") && page.contains("<b>Mara</b>"), "{page}");
    let done = end(&shop, &owner, &offered(&page), OWNER.1).await;
    let owner = given(&done);
    assert!(!is_signed_in(&shop, &fitter).await && is_signed_in(&shop, &owner).await);
}

#[tokio::test]
async fn the_number_of_a_session_opens_nothing() {
    let shop = staffed().await;
    let fitter = shop.signed_in(FITTER).await;
    shop.signed_in(FITTER).await;
    let [id] = &offered(&sessions(&shop, &fitter).await)[..] else { panic!("one other") };
    assert!(!fitter.contains(id.as_str()));
    for guess in [id.clone(), id.repeat(4)] {
        assert!(!is_signed_in(&shop, &format!("staff={guess}")).await);
    }
}
