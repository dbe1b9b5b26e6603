//! What every request passes before it reaches a handler, and every answer on its way out.

use std::sync::Arc;

use axum::Router;
use axum::middleware::{from_fn, from_fn_with_state};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

use crate::config::Config;

pub(crate) mod access;
mod admission;
mod bounds;
mod drawn;
mod headers;
mod host;
mod language;
pub(crate) mod log;
mod origin;
mod pace;
mod same_again;

/// `router` behind every guard.
///
/// Read from the bottom up: the last layer is the first that a request meets. The log sees everything; the headers
/// stand on refusals too; a refusal of any inner layer, and a panic, is drawn, in the language of whoever asks; the cheap checks come before the body.
pub fn guarded(router: Router, config: &Config) -> Router {
    let config = Arc::new(config.clone());
    let door = Arc::new(admission::Admission::of(&config.requests));
    router
        .layer(from_fn_with_state(door, admission::admitted))
        .layer(from_fn_with_state(Arc::clone(&config), bounds::within_time))
        .layer(from_fn_with_state(Arc::clone(&config), bounds::within_size))
        .layer(from_fn_with_state(Arc::clone(&config), pace::paced))
        .layer(from_fn(origin::same_origin))
        .layer(from_fn_with_state(Arc::clone(&config), host::allowed))
        .layer(CatchPanicLayer::custom(drawn::panicked))
        .layer(from_fn(drawn::drawn))
        .layer(from_fn(language::spoken))
        .layer(from_fn(same_again::told))
        .layer(CompressionLayer::new().gzip(true))
        .layer(from_fn_with_state(config, headers::hardened))
        .layer(from_fn(log::logged))
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::{Body, to_bytes};
    use axum::http::{Request, StatusCode, header};
    use axum::response::Response;
    use axum::routing::{get, post};
    use tower::ServiceExt;

    pub(super) const HOST: &str = "localhost:7340";

    pub(super) fn shop() -> Router {
        let page = || async { axum::response::Html("page ".repeat(40)) };
        let router = Router::new()
            .route("/", get(page).post(|body: String| async move { body.len().to_string() }))
            .route("/fittings/{id}", get(page))
            .route("/assets/{name}", get(page))
            .route("/sheets", post(|body: String| async move { body.len().to_string() }))
            .route("/rank.json", post(|body: String| async move { body.len().to_string() }))
            .route("/logged/{id}", get(page))
            .route("/raw", post(raw))
            .route(
                "/fittings/{id}/cached",
                get(|| async { ([(header::CACHE_CONTROL, "max-age=60")], "page") }),
            )
            .route("/panic", get(panics));
        logged(router, &Config::for_testing())
    }

    /// The guarded router, its logger in place.
    pub(super) fn logged(router: Router, config: &Config) -> Router {
        std::sync::LazyLock::force(&log::tests::PAPER);
        guarded(router, config)
    }

    /// A handler that takes its body past the extractors.
    async fn raw(body: Body) -> String {
        to_bytes(body, usize::MAX).await.map_or("cut off".to_owned(), |bytes| bytes.len().to_string())
    }

    async fn panics() -> String {
        assert_eq!(1, 2, "the left achilles of the runner");
        String::new()
    }

    pub(super) fn ask(method: &str, uri: &str) -> axum::http::request::Builder {
        Request::builder().method(method).uri(uri).header(header::HOST, HOST)
    }

    pub(super) async fn answer(request: Request<Body>) -> Response {
        shop().oneshot(request).await.unwrap()
    }

    pub(super) async fn text(response: Response) -> String {
        let bytes = to_bytes(response.into_body(), 1 << 20).await.unwrap();
        String::from_utf8(bytes.to_vec()).unwrap()
    }

    #[tokio::test]
    async fn a_panic_is_answered_and_drawn_and_tells_nothing_of_what_it_held() {
        let response = answer(ask("GET", "/panic").body(Body::empty()).unwrap()).await;
        assert_eq!(response.status(), StatusCode::INTERNAL_SERVER_ERROR);
        assert!(response.headers().contains_key(header::CONTENT_SECURITY_POLICY));
        let id = response.headers()["x-request-id"].to_str().unwrap().to_owned();
        let body = text(response).await;
        assert!(body.contains("fault is on this side") && !body.contains("achilles"), "{body}");
        assert!(body.contains(&id), "the log is found by {id}");
    }

    #[tokio::test]
    async fn a_panic_in_one_answer_disturbs_no_other() {
        let router = shop();
        let get = |uri| router.clone().oneshot(ask("GET", uri).body(Body::empty()).unwrap());
        let (panicked, fine) = tokio::join!(get("/panic"), get("/"));
        assert_eq!(panicked.unwrap().status(), StatusCode::INTERNAL_SERVER_ERROR);
        assert_eq!(
            (fine.unwrap().status(), get("/").await.unwrap().status()),
            (StatusCode::OK, StatusCode::OK)
        );
    }

    #[tokio::test]
    async fn a_page_is_compressed_for_whoever_takes_gzip() {
        let request = ask("GET", "/").header(header::ACCEPT_ENCODING, "gzip").body(Body::empty()).unwrap();
        assert_eq!(answer(request).await.headers()[header::CONTENT_ENCODING], "gzip");
        let plain = answer(ask("GET", "/").body(Body::empty()).unwrap()).await;
        assert!(!plain.headers().contains_key(header::CONTENT_ENCODING));
    }
}
