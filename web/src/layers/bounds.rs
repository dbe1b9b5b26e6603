//! How much a request may hold and how long its answer may take.

use std::future::poll_fn;
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;

use axum::RequestExt;
use axum::body::{Body, Bytes, HttpBody};
use axum::extract::{DefaultBodyLimit, MatchedPath, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::pace::{Progress, too_slow};
use crate::config::{Config, RequestLimits};
use crate::refusal::Refusal;

/// Routes that take a sheet.
const TAKE_SHEETS: [&str; 2] = ["/sheets", "/count"];
/// Routes that work on a sheet taken before.
const WORK_ON_SHEETS: [&str; 1] = ["/sheets/{number}/apply"];

/// After so many seconds a request that took too long may come again.
const COME_AGAIN: HeaderValue = HeaderValue::from_static("5");

/// Refuses a target too long with 414, a body too large with 413 and a compressed one with 415.
///
/// What a target may hold beside path and query is a host, and that is one of the allow-list. A body that does not
/// tell its length is cut off at the limit while the handler reads it.
pub(super) async fn within_size(State(config): State<Arc<Config>>, request: Request, next: Next) -> Response {
    let target = request.uri().path_and_query().map_or(0, |target| target.as_str().len());
    if target > config.requests.target {
        return target_too_long(config.requests.target).into_response();
    }
    if is_packed(&request) {
        return packed().into_response();
    }
    let limit = body_limit(&request, &config.requests);
    match told_length(&request) {
        Some(length) if length > limit as u64 => {
            if is_worth_discarding(&request, length, limit) {
                discard(request.into_body(), limit).await;
            }
            Refusal::too_large(limit, Some(length)).into_response()
        }
        _ => next.run(limited(request, limit)).await,
    }
}

/// Answers 503 for a handler that is still at work when its time is over, and 408 for one that still waits for a body.
pub(super) async fn within_time(State(config): State<Arc<Config>>, request: Request, next: Next) -> Response {
    let limit = time_limit(&request, &config.requests);
    let body = request.extensions().get::<Progress>().cloned();
    match tokio::time::timeout(limit, next.run(request)).await {
        Ok(response) => response,
        Err(_) if body.is_some_and(|body| body.is_coming()) => too_slow(),
        Err(_) => ([(header::RETRY_AFTER, COME_AGAIN)], took_too_long(limit)).into_response(),
    }
}

fn body_limit(request: &Request, limits: &RequestLimits) -> usize {
    if TAKE_SHEETS.contains(&route(request)) { limits.sheet } else { limits.form }
}

fn time_limit(request: &Request, limits: &RequestLimits) -> Duration {
    let route = route(request);
    let with_sheets = TAKE_SHEETS.contains(&route) || WORK_ON_SHEETS.contains(&route);
    if with_sheets { limits.sheet_answer } else { limits.answer }
}

fn route(request: &Request) -> &str {
    request.extensions().get::<MatchedPath>().map_or("", MatchedPath::as_str)
}

fn told_length(request: &Request) -> Option<u64> {
    request.headers().get(header::CONTENT_LENGTH)?.to_str().ok()?.parse().ok()
}

fn limited(mut request: Request, limit: usize) -> Request {
    DefaultBodyLimit::max(limit).apply(&mut request);
    request.with_limited_body()
}

/// Not where the sender waits to be told to send, nor where reading off would end before the body does.
fn is_worth_discarding(request: &Request, length: u64, limit: usize) -> bool {
    !request.headers().contains_key(header::EXPECT) && length <= 2 * limit as u64
}

/// Reads on past the limit and throws away: a browser shows the refusal only once it has sent its file. Twice the
/// limit is patience enough.
async fn discard(mut body: Body, limit: usize) {
    let mut left = 2 * limit;
    while let Some(Ok(frame)) = poll_fn(|cx| Pin::new(&mut body).poll_frame(cx)).await {
        let read = frame.data_ref().map_or(0, Bytes::len);
        if read > left {
            return;
        }
        left -= read;
    }
}

fn target_too_long(limit: usize) -> Refusal {
    let say = format!(
        "An address here holds at most {limit} characters. Take some of the choices off, or fewer words."
    );
    Refusal::new(StatusCode::URI_TOO_LONG, "Address too long", say).back_to("To all shoes", "/shoes")
}

/// Nothing here unpacks what is sent: a small body could become a large one past every limit.
fn is_packed(request: &Request) -> bool {
    let mut packed = request.headers().get_all(header::CONTENT_ENCODING).iter();
    packed.any(|how| !how.as_bytes().eq_ignore_ascii_case(b"identity"))
}

fn packed() -> Refusal {
    let say = say!("What is sent here must not be compressed. Send it again as it is.");
    Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, say!("Sent compressed"), say)
}

fn took_too_long(limit: Duration) -> Refusal {
    let say = format!("No answer came within {} seconds. Try again in a moment.", limit.as_secs());
    Refusal::new(StatusCode::SERVICE_UNAVAILABLE, "Took too long", say)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{answer, ask, logged, shop, text};
    use super::*;
    use axum::Router;
    use axum::routing::get;
    use tower::ServiceExt;

    async fn post(uri: &str, bytes: usize, tell: bool) -> Response {
        let request = ask("POST", uri).header("sec-fetch-site", "same-origin");
        let request = if tell { request.header(header::CONTENT_LENGTH, bytes) } else { request };
        answer(request.body(Body::from(vec![b'x'; bytes])).unwrap()).await
    }

    #[tokio::test]
    async fn a_form_holds_64_kb_and_no_byte_more_whether_or_not_it_tells_its_length() {
        for tell in [true, false] {
            assert_eq!(text(post("/", 65_536, tell).await).await, "65536");
            assert_eq!(post("/", 65_537, tell).await.status(), StatusCode::PAYLOAD_TOO_LARGE, "told: {tell}");
        }
        assert_eq!(post("/rank.json", 65_537, true).await.status(), StatusCode::PAYLOAD_TOO_LARGE);
    }

    #[tokio::test]
    async fn a_handler_that_reads_past_the_extractors_is_held_to_the_limit_too() {
        assert_eq!(text(post("/raw", 65_536, false).await).await, "65536");
        assert_eq!(text(post("/raw", 65_537, false).await).await, "cut off");
    }

    #[tokio::test]
    async fn a_sheet_may_be_larger_than_a_form_and_one_too_large_hears_both_sizes() {
        assert_eq!(text(post("/sheets", 131_072, true).await).await, "131072");
        let refused = post("/sheets", 200_000, true).await;
        assert_eq!(refused.status(), StatusCode::PAYLOAD_TOO_LARGE);
        let say = text(refused).await;
        assert!(say.contains("At most 128 kB") && say.contains("This one has 196 kB"), "{say}");
    }

    #[tokio::test]
    async fn an_address_of_more_than_2_kb_is_refused() {
        let status = |length: usize| async move {
            let uri = format!("/?{}", "a".repeat(length - 2));
            answer(ask("GET", &uri).body(Body::empty()).unwrap()).await.status()
        };
        assert_eq!(status(2_048).await, StatusCode::OK);
        assert_eq!(status(2_049).await, StatusCode::URI_TOO_LONG);
    }

    #[tokio::test]
    async fn a_handler_that_never_answers_is_answered_for() {
        let mut config = Config::for_testing();
        config.requests.answer = Duration::from_millis(20);
        let router = Router::new().route("/never", get(std::future::pending::<()>));
        let guarded = logged(router, &config);
        let response = guarded.oneshot(ask("GET", "/never").body(Body::empty()).unwrap()).await.unwrap();
        assert_eq!(response.status(), StatusCode::SERVICE_UNAVAILABLE);
        assert_eq!(response.headers()[header::RETRY_AFTER], COME_AGAIN);
    }

    #[tokio::test]
    async fn what_is_read_off_after_a_refusal_ends_too() {
        discard(Body::from(vec![0; 1_000]), 10).await;
        let sheet = ask("POST", "/sheets").header("sec-fetch-site", "same-origin");
        let request = sheet.header(header::CONTENT_LENGTH, u64::MAX).body(Body::from("short")).unwrap();
        assert_eq!(shop().oneshot(request).await.unwrap().status(), StatusCode::PAYLOAD_TOO_LARGE);
    }
}
