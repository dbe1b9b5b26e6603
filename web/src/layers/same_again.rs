//! A program that asks for the same list again is told that nothing of it has changed, and spared its bytes.
//!
//! Source: RFC 9110, sections 8.8.3 (`ETag`) and 13.1.2 (`If-None-Match`).

use std::hash::{BuildHasher, Hasher};

use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use foldhash::quality::FixedState;

use super::headers::FITTINGS;
use crate::refusal::Refusal;

/// Gives each answer in JSON a tag made of its bytes, and 304 without a body to whoever names that tag. What belongs to
/// a fitting has none. `no-store` stays: a program may keep what it asked for, a browser in the shop may not.
pub(super) async fn told(request: Request, next: Next) -> Response {
    let path = request.uri().path();
    // An answer to HEAD has no bytes any more, and a tag of none would be another one.
    let has_tag = request.method() == Method::GET
        && path.rsplit_once('.').is_some_and(|(_, ending)| ending == "json")
        && !path.starts_with(FITTINGS);
    if !has_tag {
        return next.run(request).await;
    }
    let known = request.headers().get(header::IF_NONE_MATCH).cloned();
    let response = next.run(request).await;
    if response.status() == StatusCode::OK { tagged(response, known.as_ref()).await } else { response }
}

async fn tagged(response: Response, known: Option<&HeaderValue>) -> Response {
    let (mut parts, body) = response.into_parts();
    let Ok(bytes) = to_bytes(body, usize::MAX).await else {
        return Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR).into_response();
    };
    let tag = tag(&bytes);
    parts.headers.insert(header::ETAG, tag.clone());
    if known.is_some_and(|known| names(known, &tag)) {
        parts.status = StatusCode::NOT_MODIFIED;
        without_body(&mut parts.headers);
        return Response::from_parts(parts, Body::empty());
    }
    Response::from_parts(parts, Body::from(bytes))
}

/// Weak: the same words may travel packed or plain.
fn tag(bytes: &[u8]) -> HeaderValue {
    let mut hasher = FixedState::default().build_hasher();
    hasher.write(bytes);
    let tag = format!("W/\"{:016x}-{:x}\"", hasher.finish(), bytes.len());
    HeaderValue::from_str(&tag).unwrap_or_else(|_| HeaderValue::from_static("W/\"\""))
}

/// Whether a list of tags, or the star, names this one; weak or not makes no difference here.
fn names(known: &HeaderValue, tag: &HeaderValue) -> bool {
    let plain = |tag: &str| tag.trim().trim_start_matches("W/").to_owned();
    let Some((known, tag)) = known.to_str().ok().zip(tag.to_str().ok()) else { return false };
    known.trim() == "*" || known.split(',').any(|known| plain(known) == plain(tag))
}

fn without_body(headers: &mut HeaderMap) {
    for name in [header::CONTENT_TYPE, header::CONTENT_LENGTH] {
        headers.remove(name);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_is_of_the_bytes_and_found_in_a_list() {
        let one = tag(b"{\"total\":1}");
        assert_eq!(one, tag(b"{\"total\":1}"));
        assert_ne!(one, tag(b"{\"total\":2}"));
        let strong = one.to_str().unwrap().trim_start_matches("W/").to_owned();
        for known in ["*", one.to_str().unwrap(), &strong, &format!("\"other\", {strong}")] {
            assert!(names(&HeaderValue::from_str(known).unwrap(), &one), "{known}");
        }
        assert!(!names(&HeaderValue::from_static("\"other\", W/\"\""), &one));
    }
}
