//! The language a request is answered in: what was chosen here, else what the browser likes best, else English.

use axum::extract::Request;
use axum::http::{HeaderMap, header};
use axum::middleware::Next;
use axum::response::Response;
use axum_extra::extract::cookie::CookieJar;

use super::drawn::reads_json;
use crate::cookie::LANGUAGE;
use crate::words::{self, Language};

/// Answers in the language of whoever asks. Programs are answered in English, so that a script does not depend on who
/// last pressed a button.
pub(super) async fn spoken(request: Request, next: Next) -> Response {
    let language = if reads_json(&request) { Language::English } else { language_of(request.headers()) };
    words::scope(language, next.run(request)).await
}

fn language_of(headers: &HeaderMap) -> Language {
    let jar = CookieJar::from_headers(headers);
    let chosen = jar.get(LANGUAGE).and_then(|cookie| Language::from_tag(cookie.value()));
    let liked = || Language::accepted(headers.get(header::ACCEPT_LANGUAGE)?.to_str().ok()?);
    chosen.or_else(liked).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn language(pairs: &[(header::HeaderName, &'static str)]) -> Language {
        let pairs = pairs.iter().map(|(name, value)| (name.clone(), HeaderValue::from_static(value)));
        language_of(&pairs.collect())
    }

    #[test]
    fn what_was_chosen_here_wins_over_what_the_browser_likes() {
        assert_eq!(language(&[]), Language::English);
        assert_eq!(language(&[(header::ACCEPT_LANGUAGE, "de-DE")]), Language::German);
        let both = [(header::ACCEPT_LANGUAGE, "de-DE"), (header::COOKIE, "language=en")];
        assert_eq!(language(&both), Language::English);
        let unknown = [(header::ACCEPT_LANGUAGE, "de"), (header::COOKIE, "language=tlh")];
        assert_eq!(language(&unknown), Language::German, "a language not spoken here is none");
    }
}
