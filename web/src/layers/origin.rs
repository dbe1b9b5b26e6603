//! Who sent the request: a page elsewhere can post a form to this machine, and the browser would carry it.
//!
//! Browsers say `Sec-Fetch-Site` only to trustworthy addresses, and a shop's plain LAN address is none; there the
//! check rests on `Origin` alone, which is why `Referrer-Policy` must never be `no-referrer`.

use axum::extract::Request;
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::host::own_host;
use crate::events::Event;
use crate::refusal::Refusal;

/// The one address that programs post to, which send no origin.
const FOR_PROGRAMS: &str = "/rank.json";

/// Refuses with 403 a request that may change something and does not come from one of our own pages.
pub(super) async fn same_origin(request: Request, next: Next) -> Response {
    if request.method().is_safe() || comes_from_here(&request) {
        return next.run(request).await;
    }
    Event::FromElsewhere.tell();
    let say = say!(
        "This was not sent by a page of this server, so nothing was done. Open the page here and send it again."
    );
    Refusal::new(StatusCode::FORBIDDEN, say!("Sent from elsewhere"), say).into_response()
}

fn comes_from_here(request: &Request) -> bool {
    let origin = text(request.headers(), header::ORIGIN.as_str());
    let site = text(request.headers(), "sec-fetch-site");
    let own = origin.is_some_and(|origin| is_own(origin, own_host(request)));
    match (site, origin) {
        (_, Some(_)) if !own => false,
        (Some(site), _) => site == "same-origin",
        (None, Some(_)) => true,
        (None, None) => request.uri().path() == FOR_PROGRAMS,
    }
}

fn is_own(origin: &str, host: Option<&str>) -> bool {
    let named = origin.strip_prefix("http://").or_else(|| origin.strip_prefix("https://"));
    named.zip(host).is_some_and(|(named, host)| named.eq_ignore_ascii_case(host))
}

/// A header's text; a header that is no text is there all the same, and foreign.
fn text<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers.get(name).map(|value| value.to_str().unwrap_or("unreadable"))
}

#[cfg(test)]
mod tests {
    use super::super::tests::{answer, ask};
    use super::*;
    use axum::body::Body;

    async fn post(uri: &str, headers: &[(&str, &str)]) -> StatusCode {
        let request =
            headers.iter().fold(ask("POST", uri), |request, (name, value)| request.header(*name, *value));
        answer(request.body(Body::empty()).unwrap()).await.status()
    }

    const OWN: (&str, &str) = ("origin", "http://localhost:7340");
    const FOREIGN: (&str, &str) = ("origin", "http://evil.example");

    #[tokio::test]
    async fn a_form_of_our_own_page_is_taken() {
        assert_eq!(post("/", &[("sec-fetch-site", "same-origin")]).await, StatusCode::OK);
        assert_eq!(post("/", &[OWN]).await, StatusCode::OK);
        assert_eq!(post("/", &[OWN, ("sec-fetch-site", "same-origin")]).await, StatusCode::OK);
    }

    #[tokio::test]
    async fn a_form_from_elsewhere_or_from_nowhere_is_refused() {
        assert_eq!(post("/", &[]).await, StatusCode::FORBIDDEN);
        assert_eq!(post("/", &[FOREIGN]).await, StatusCode::FORBIDDEN);
        assert_eq!(post("/", &[("origin", "null")]).await, StatusCode::FORBIDDEN);
        assert_eq!(post("/", &[FOREIGN, ("sec-fetch-site", "same-origin")]).await, StatusCode::FORBIDDEN);
        for site in ["cross-site", "same-site", "none"] {
            assert_eq!(post("/", &[OWN, ("sec-fetch-site", site)]).await, StatusCode::FORBIDDEN, "{site}");
        }
        assert_eq!(post("/", &[("origin", "http://localhost:73400")]).await, StatusCode::FORBIDDEN);
    }

    #[tokio::test]
    async fn a_program_may_post_to_rank_json_without_an_origin_but_not_with_a_foreign_one() {
        assert_eq!(post("/rank.json", &[]).await, StatusCode::OK);
        assert_eq!(post("/rank.json", &[FOREIGN]).await, StatusCode::FORBIDDEN);
        assert_eq!(post("/rank.json", &[("sec-fetch-site", "cross-site")]).await, StatusCode::FORBIDDEN);
    }

    #[tokio::test]
    async fn reading_needs_no_origin() {
        let request = ask("GET", "/").header("sec-fetch-site", "cross-site").body(Body::empty()).unwrap();
        assert_eq!(answer(request).await.status(), StatusCode::OK);
    }
}
