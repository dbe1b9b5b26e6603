//! Who reads the numbers of the server without an account: a program on its computer, where that was said at the start.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::body::Body;
use axum::http::{Method, StatusCode};
use axum::response::Response;
use web::access::Access;
use web::routes::routes;
use web::serve::peer::Peer;

use crate::access_matrix::{FITTER, OWNER, Shop, filled, is_about_the_session, is_turned_away, scraped};

/// Asked on a connection from `address`, without an account.
async fn asked(shop: &Shop, method: &Method, uri: &str, address: &str, header: (&str, &str)) -> Response {
    let request = Shop::request(method, uri, None).header(header.0, header.1);
    let mut request = request.body(Body::empty()).unwrap();
    request.extensions_mut().insert(Peer(address.parse().unwrap()));
    shop.send(request).await
}

const NOTHING: (&str, &str) = ("accept", "*/*");

#[tokio::test]
async fn the_numbers_are_read_without_an_account_from_this_computer_alone_and_where_that_was_said() {
    let (said, not_said) = (scraped(true).await, scraped(false).await);
    for address in ["127.0.0.1", "127.8.8.8", "::1", "::ffff:127.0.0.1"] {
        let response = asked(&said, &Method::GET, "/metrics", address, NOTHING).await;
        assert_eq!(response.status(), StatusCode::OK, "{address}");
        assert!(
            is_turned_away(&asked(&not_said, &Method::GET, "/metrics", address, NOTHING).await),
            "{address}"
        );
    }
    for address in ["192.168.1.20", "::ffff:192.168.1.20", "fe80::1", "0.0.0.0"] {
        for header in [NOTHING, ("x-forwarded-for", "127.0.0.1"), ("forwarded", "for=127.0.0.1")] {
            let response = asked(&said, &Method::GET, "/metrics", address, header).await;
            assert!(is_turned_away(&response), "{address} {header:?}");
        }
    }
    // A test without a connection comes from nowhere.
    assert!(is_turned_away(&said.ask(&Method::GET, "/metrics", None, "").await));
}

#[tokio::test]
async fn what_a_proxy_on_this_computer_sends_on_is_no_scraper() {
    let shop = scraped(true).await;
    for name in ["forwarded", "via", "x-real-ip", "x-forwarded-for", "x-forwarded-host", "X-Forwarded-Proto"]
    {
        let response = asked(&shop, &Method::GET, "/metrics", "127.0.0.1", (name, "127.0.0.1")).await;
        assert!(is_turned_away(&response), "{name}");
    }
}

#[tokio::test]
async fn a_scraper_reads_the_numbers_and_nothing_else() {
    let shop = scraped(true).await;
    let routes = routes();
    for declared in routes.declared().iter().filter(|declared| !is_about_the_session(declared)) {
        let uri = filled(declared.path);
        let response = asked(&shop, &declared.method, &uri, "127.0.0.1", NOTHING).await;
        let is_for_others = declared.access > Access::Anybody && declared.path != "/metrics";
        let place = format!("{} {uri}: {}", declared.method, response.status());
        assert_eq!(is_turned_away(&response), is_for_others, "{place}");
    }
    let numbers = routes.declared().iter().filter(|declared| declared.access == Access::Scraper);
    assert_eq!(numbers.map(|declared| declared.path).collect::<Vec<_>>(), ["/metrics"]);
}

#[tokio::test]
async fn with_an_account_the_numbers_are_the_owners() {
    let shop = scraped(true).await;
    let (owner, fitter) = (shop.signed_in(OWNER).await, shop.signed_in(FITTER).await);
    assert_eq!(shop.ask(&Method::GET, "/metrics", Some(&owner), "").await.status(), StatusCode::OK);
    assert!(is_turned_away(&shop.ask(&Method::GET, "/metrics", Some(&fitter), "").await));
}
