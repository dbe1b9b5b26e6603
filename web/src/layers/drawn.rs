//! Refusals on their way out: as `application/problem+json` (RFC 9457) for programs, else as a page.

use std::any::Any;

use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde_json::json;

use super::access::Shut;
use super::log::RequestId;
use crate::handlers::frame::bare_frame;
use crate::pages::refusal::RefusalPage;
use crate::parts::Link;
use crate::parts::layout::Frame;
use crate::refusal::{AsItStands, Refusal};
use crate::staff::visitor::{Visitor, within};

/// Draws a refusal for whoever asked, and gives every bare error of the framework its sentence.
pub(super) async fn drawn(request: Request, next: Next) -> Response {
    let for_program = reads_json(&request);
    let id = request.extensions().get::<RequestId>().map_or_else(String::new, ToString::to_string);
    let response = next.run(request).await;
    let Some(refusal) = refusal_of(&response) else { return response };
    // Whoever was refused before it was asked who they are is shown what anybody may see.
    let visitor = response.extensions().get::<Visitor>().cloned().unwrap_or(Visitor::SignedOut);
    let read_only = response.extensions().get::<Shut>().is_some();
    let drawn =
        if for_program { problem(&refusal, &id) } else { within(visitor, || page(&refusal, id, read_only)) };
    with_headers_of(response, drawn)
}

/// The refusal as a page, with its ways back; outside any fitting, whatever was asked for.
fn page(refusal: &Refusal, request: String, read_only: bool) -> Response {
    let page = RefusalPage {
        title: refusal.title.to_owned(),
        say: refusal.say.clone(),
        details: refusal.errors.iter().map(|error| format!("{}: {}", error.place, error.say)).collect(),
        ways: refusal.back.iter().map(|(label, href)| Link::new(*label, href)).collect(),
        search: refusal.status == StatusCode::NOT_FOUND,
        request,
    };
    (refusal.status, page.view(&Frame { read_only, ..bare_frame() })).into_response()
}

/// What the handler set beside its refusal stays, a cookie or the methods allowed; what told of its body goes.
fn with_headers_of(given: Response, mut drawn: Response) -> Response {
    let mut kept = given.into_parts().0.headers;
    for of_body in [header::CONTENT_TYPE, header::CONTENT_LENGTH, header::CONTENT_ENCODING] {
        kept.remove(of_body);
    }
    drawn.headers_mut().extend(kept);
    drawn
}

/// The answer to a panic. What it held stays out of the answer and out of this log line.
// The signature is tower-http's.
#[allow(clippy::needless_pass_by_value)]
pub(super) fn panicked(_held: Box<dyn Any + Send + 'static>) -> Response {
    tracing::error!("a handler panicked");
    Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR).into_response()
}

/// The refusal a handler gave; else, for an error that is no page and no JSON, what its status means.
fn refusal_of(response: &Response) -> Option<Refusal> {
    let given = response.extensions().get::<Refusal>().cloned();
    let status = response.status();
    let is_made = is_made(response.headers()) || response.extensions().get::<AsItStands>().is_some();
    let is_bare = (status.is_client_error() || status.is_server_error()) && !is_made;
    given.or_else(|| is_bare.then(|| Refusal::of_status(status)))
}

fn is_made(headers: &HeaderMap) -> bool {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    kind.is_some_and(|kind| kind.starts_with("text/html") || kind.contains("json"))
}

pub(super) fn reads_json(request: &Request) -> bool {
    let accept = request.headers().get(header::ACCEPT).and_then(|accept| accept.to_str().ok()).unwrap_or("");
    let twin = request.uri().path().rsplit_once('.').is_some_and(|(_, kind)| kind == "json");
    twin || (accept.contains("json") && !accept.contains("text/html"))
}

fn problem(refusal: &Refusal, request: &str) -> Response {
    let errors: Vec<_> =
        refusal.errors.iter().map(|error| json!({ "place": error.place, "detail": error.say })).collect();
    let body = json!({
        "type": "about:blank",
        "title": refusal.title,
        "status": refusal.status.as_u16(),
        "detail": refusal.say,
        "errors": errors,
        "request_id": request,
    });
    let kind = HeaderValue::from_static("application/problem+json");
    (refusal.status, [(header::CONTENT_TYPE, kind)], body.to_string()).into_response()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{answer, ask, text};
    use super::*;
    use axum::body::Body;

    #[tokio::test]
    async fn a_program_reads_its_refusal_as_a_problem() {
        let response = answer(ask("GET", "/rank.json").body(Body::empty()).unwrap()).await;
        assert_eq!(response.status(), StatusCode::METHOD_NOT_ALLOWED);
        assert_eq!(response.headers()[header::CONTENT_TYPE], "application/problem+json");
        assert_eq!(response.headers()[header::ALLOW], "POST");
        let body: serde_json::Value = serde_json::from_str(&text(response).await).unwrap();
        assert_eq!((&body["status"], &body["errors"]), (&json!(405), &json!([])));
    }

    #[tokio::test]
    async fn a_refusal_drawn_anew_says_what_kind_of_body_it_has_now() {
        let request = ask("POST", "/rank.json").body(Body::from(vec![b'x'; 70_000])).unwrap();
        let response = answer(request).await;
        assert_eq!(response.status(), StatusCode::PAYLOAD_TOO_LARGE);
        assert_eq!(response.headers()[header::CONTENT_TYPE], "application/problem+json");
    }

    #[tokio::test]
    async fn a_bare_error_of_the_framework_gets_a_sentence() {
        let response = answer(ask("GET", "/nowhere").body(Body::empty()).unwrap()).await;
        assert_eq!(response.status(), StatusCode::NOT_FOUND);
        assert!(text(response).await.contains("nothing at this address"));
    }
}
