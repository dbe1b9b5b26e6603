//! The headers that stand on every answer, refusals included.

use std::net::Ipv4Addr;
use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

use super::host::own_host;
use crate::config::Config;
use crate::cookie::BOUND;

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
pub(super) const FITTINGS: &str = "/fittings/";
const FOR_EVER: HeaderValue = HeaderValue::from_static("public, max-age=31536000, immutable");
const A_YEAR: HeaderValue = HeaderValue::from_static("max-age=31536000");
const NEVER: HeaderValue = HeaderValue::from_static("no-store");

/// Sets the headers on the way out. What a handler says of caching stands, except on a fitting's pages. Where what passes
/// is encrypted, a cookie never travels otherwise and is bound to this server, and a browser is told to come that way for a
/// year.
pub(super) async fn hardened(
    State(config): State<Arc<Config>>,
    mut request: Request,
    next: Next,
) -> Response {
    if config.listening.tls {
        bound_cookies(request.headers_mut());
    }
    let path = request.uri().path();
    let by_name = own_host(&request).is_some_and(is_a_name);
    let in_chunks = request.headers().contains_key(header::TRANSFER_ENCODING);
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
    if in_chunks {
        // It may have told a length too, which hyper takes away: what follows might be meant for somebody else.
        headers.insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    if config.listening.tls {
        secure_cookies(headers);
        if by_name {
            headers.insert(header::STRICT_TRANSPORT_SECURITY, A_YEAR);
        }
    }
    response
}

/// A number may be another computer's tomorrow, and `localhost` is another program's too.
fn is_a_name(host: &str) -> bool {
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    let is_number = name.starts_with('[') || name.parse::<Ipv4Addr>().is_ok();
    !is_number && !name.eq_ignore_ascii_case("localhost")
}

fn secure_cookies(headers: &mut HeaderMap) {
    let given: Vec<_> = headers.get_all(header::SET_COOKIE).iter().map(secured).collect();
    headers.remove(header::SET_COOKIE);
    for cookie in given {
        headers.append(header::SET_COOKIE, cookie);
    }
}

/// As it was set, `Secure`, and with the prefix in its name. All of ours are for the whole server, as the prefix asks.
fn secured(cookie: &HeaderValue) -> HeaderValue {
    let text = cookie.to_str().unwrap_or_default();
    let is_secure = text.split(';').any(|part| part.trim().eq_ignore_ascii_case("secure"));
    let end: &[u8] = if is_secure { b"" } else { b"; Secure" };
    HeaderValue::from_bytes(&[BOUND.as_bytes(), cookie.as_bytes(), end].concat())
        .unwrap_or_else(|_| cookie.clone())
}

/// Of the cookies that came those with the prefix, without it. Any other was set by somebody else: over plain HTTP, or by
/// a server that shares a part of the name.
fn bound_cookies(headers: &mut HeaderMap) {
    let came: Vec<_> = headers.get_all(header::COOKIE).iter().filter_map(|came| came.to_str().ok()).collect();
    let bound =
        came.iter().flat_map(|came| came.split(';')).filter_map(|pair| pair.trim().strip_prefix(BOUND));
    let bound = bound.collect::<Vec<_>>().join("; ");
    headers.remove(header::COOKIE);
    if let Ok(bound) = HeaderValue::try_from(bound) {
        headers.insert(header::COOKIE, bound);
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{answer, ask, logged};
    use super::*;
    use crate::config::AllowedHosts;
    use axum::Router;
    use axum::body::Body;
    use axum::response::AppendHeaders;
    use axum::routing::get;
    use tower::ServiceExt;

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

    async fn answered(tls: bool, host: &'static str) -> HeaderMap {
        let mut config = Config::for_testing();
        config.listening.tls = tls;
        config.hosts = AllowedHosts::of(([0, 0, 0, 0], 7340).into(), &["desk.shop:7340".to_owned()]);
        let cookies = [(header::SET_COOKIE, "a=1; Path=/"), (header::SET_COOKIE, "b=2; Path=/; Secure")];
        let router = Router::new().route("/", get(move || async move { (AppendHeaders(cookies), "page") }));
        let request = Request::builder().uri("/").header(header::HOST, host).body(Body::empty()).unwrap();
        logged(router, &config).oneshot(request).await.unwrap().headers().clone()
    }

    #[tokio::test]
    async fn under_https_a_name_is_to_be_reached_that_way_alone_and_a_number_is_not_bound() {
        let bound =
            async |tls, host| answered(tls, host).await.contains_key(header::STRICT_TRANSPORT_SECURITY);
        assert!(bound(true, "desk.shop:7340").await);
        for number in ["192.168.1.4:7340", "[fd00::4]:7340", "localhost:7340"] {
            assert!(!bound(true, number).await, "{number}");
        }
        assert!(!bound(false, "desk.shop:7340").await);
    }

    /// What a handler is sent of these cookies.
    async fn reaching(tls: bool, cookies: [&'static str; 2]) -> String {
        let mut config = Config::for_testing();
        config.listening.tls = tls;
        let handler = |headers: HeaderMap| async move {
            let all = headers.get_all(header::COOKIE).iter().map(|came| came.to_str().unwrap_or_default());
            all.collect::<Vec<_>>().join("; ")
        };
        let router = Router::new().route("/", get(handler));
        let [one, other] = cookies;
        let request = ask("GET", "/").header(header::COOKIE, one).header(header::COOKIE, other);
        let answer = logged(router, &config).oneshot(request.body(Body::empty()).unwrap()).await.unwrap();
        super::super::tests::text(answer).await
    }

    #[tokio::test]
    async fn under_https_only_cookies_that_are_bound_are_read_and_otherwise_those_that_are_not() {
        let cookies = ["staff=planted; __Host-staff=own", "__Host-language=de"];
        assert_eq!(reaching(true, cookies).await, "staff=own; language=de");
        assert_eq!(reaching(true, ["staff=planted", "language=de"]).await, "");
        assert_eq!(reaching(false, ["staff=own", "language=de"]).await, "staff=own; language=de");
    }

    #[tokio::test]
    async fn under_https_every_cookie_is_secure_and_bound_and_otherwise_it_is_as_it_was_set() {
        let cookies = async |tls| {
            let headers = answered(tls, "desk.shop:7340").await;
            headers
                .get_all(header::SET_COOKIE)
                .iter()
                .map(|c| c.to_str().unwrap().to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(cookies(true).await, ["__Host-a=1; Path=/; Secure", "__Host-b=2; Path=/; Secure"]);
        assert_eq!(cookies(false).await, ["a=1; Path=/", "b=2; Path=/; Secure"]);
    }
}
