//! Twins in JSON asked for again: a tag tells what has not changed, and a change of the stock makes another one.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::request::Builder;
use axum::http::{HeaderMap, Request, StatusCode, header};
use indexer::store::Signed;
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::sample::sample_shop;

use crate::owner_bench::reader;

const TWINS: [&str; 4] =
    ["/shoes.json", "/shoes.json?q=marl&surface=road", "/shoes/fennick.fm-310/similar.json", "/openapi.json"];

async fn asked(app: &Router, uri: &str, known: Option<&str>) -> (StatusCode, HeaderMap, Vec<u8>) {
    sent(app, Request::get(uri), known).await
}

async fn sent(app: &Router, request: Builder, known: Option<&str>) -> (StatusCode, HeaderMap, Vec<u8>) {
    let mut request = request.header(header::HOST, "localhost:7340");
    if let Some(known) = known {
        request = request.header(header::IF_NONE_MATCH, known);
    }
    let (head, body) = app.clone().oneshot(request.body(Body::empty()).unwrap()).await.unwrap().into_parts();
    (head.status, head.headers, to_bytes(body, 10_000_000).await.unwrap().into())
}

fn tag(headers: &HeaderMap) -> &str {
    headers[header::ETAG].to_str().unwrap()
}

#[tokio::test]
async fn a_list_that_has_not_changed_is_not_sent_again_and_one_that_has_is() {
    let shop = sample_shop(reader(), 1_000).unwrap();
    let state = AppState::without_staff(shop, Config::for_testing(), Clock::fixed(0)).unwrap();
    let app = app(&state);
    let mut tags = Vec::new();
    for uri in TWINS {
        let (status, headers, body) = asked(&app, uri, None).await;
        assert_eq!(status, StatusCode::OK, "{uri}");
        assert!(!body.is_empty() && headers[header::CACHE_CONTROL] == "no-store", "{uri}");
        let own = tag(&headers).to_owned();
        let (status, headers, body) = asked(&app, uri, Some(&own)).await;
        assert_eq!((status, body.len(), tag(&headers)), (StatusCode::NOT_MODIFIED, 0, own.as_str()), "{uri}");
        assert!(!headers.contains_key(header::CONTENT_TYPE), "{headers:?}");
        assert_eq!(asked(&app, uri, Some("W/\"another\"")).await.0, StatusCode::OK, "{uri}");
        tags.push(own);
    }
    let sheet =
        b"Maker,Style number,Name,Weight in g\nFennick,FM-310,Marl 3,199\nFennick,FM-999,Marl 9,200\n"
            .to_vec();
    let understood = state.shop.understand("range.csv", sheet, &indexer::shop::Told::default()).unwrap();
    let by = Signed { actor: "owner".to_owned(), at: 0, key: "same again".to_owned() };
    state.shop.apply(&understood, &by).unwrap();
    for (uri, known) in TWINS.iter().zip(&tags).take(2) {
        let (status, headers, _) = asked(&app, uri, Some(known)).await;
        assert_eq!(status, StatusCode::OK, "{uri}: {}", tag(&headers));
    }
    assert_eq!(asked(&app, TWINS[3], Some(&tags[3])).await.0, StatusCode::NOT_MODIFIED);
}

#[tokio::test]
async fn pages_refusals_and_what_belongs_to_a_fitting_have_no_tag() {
    let shop = sample_shop(reader(), 1_000).unwrap();
    let state = AppState::without_staff(shop, Config::for_testing(), Clock::fixed(0)).unwrap();
    let app = app(&state);
    for uri in
        ["/shoes", "/shoes/nobody.1/similar.json", "/nowhere.json", "/fittings/0/why/fennick.fm-310.json"]
    {
        let (status, headers, _) = asked(&app, uri, Some("*")).await;
        assert!(status != StatusCode::NOT_MODIFIED && !headers.contains_key(header::ETAG), "{uri}: {status}");
    }
    let (status, headers, _) = sent(&app, Request::head("/shoes.json"), None).await;
    assert_eq!((status, headers.contains_key(header::ETAG)), (StatusCode::OK, false), "a tag of no bytes");
}
