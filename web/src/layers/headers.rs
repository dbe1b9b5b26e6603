//! The headers that stand on every answer, refusals included.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; \
                      frame-ancestors 'none'";

const HARDENED: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    // `no-referrer` would turn the Origin of our own forms into `null`.
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("permissions-policy"), "camera=(), microphone=(), geolocation=()"),
];

/// Assets carry a hash of their content in their names: another content is another name.
const ASSETS: &str = "/assets/";
const FITTINGS: &str = "/fittings/";
const FOR_EVER: HeaderValue = HeaderValue::from_static("public, max-age=31536000, immutable");
const NEVER: HeaderValue = HeaderValue::from_static("no-store");

/// Sets the headers on the way out. What a handler says of caching stands, except on a fitting's pages.
pub(super) async fn hardened(request: Request, next: Next) -> Response {
    let path = request.uri().path();
    let (is_asset, is_fitting) = (path.starts_with(ASSETS), path.starts_with(FITTINGS));
    let mut response = next.run(request).await;
    let caching = if is_asset && response.status().is_success() { FOR_EVER } else { NEVER };
    let headers = response.headers_mut();
    for (name, value) in HARDENED {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if is_fitting || !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, caching);
    }
    response
}

#[cfg(test)]
mod tests {
    use super::super::tests::{answer, ask};
    use super::*;
    use axum::body::Body;

    async fn headers(uri: &str) -> axum::http::HeaderMap {
        answer(ask("GET", uri).body(Body::empty()).unwrap()).await.headers().clone()
    }

    #[tokio::test]
    async fn every_answer_is_hardened_refusals_included() {
        for uri in ["/", "/fittings/1", "/nowhere", "/assets/a.css"] {
            let headers = headers(uri).await;
            for (name, value) in HARDENED {
                assert_eq!(headers[&name], value, "{uri} {name}");
            }
        }
    }

    #[test]
    fn the_policy_allows_no_inline_script_or_style_and_no_other_server() {
        assert!(!POLICY.contains("unsafe") && !POLICY.contains("http") && !POLICY.contains('*'));
        assert!(POLICY.contains("frame-ancestors 'none'") && POLICY.starts_with("default-src 'none'"));
    }

    #[tokio::test]
    async fn assets_are_kept_for_ever_and_fittings_and_faults_never() {
        assert_eq!(headers("/assets/a.css").await[header::CACHE_CONTROL], FOR_EVER);
        assert_eq!(headers("/assets/a/b").await[header::CACHE_CONTROL], NEVER, "not found");
        assert_eq!(headers("/fittings/1").await[header::CACHE_CONTROL], NEVER);
        assert_eq!(
            headers("/fittings/1/cached").await[header::CACHE_CONTROL],
            NEVER,
            "whatever its handler says"
        );
        assert_eq!(headers("/").await[header::CACHE_CONTROL], NEVER);
    }
}
