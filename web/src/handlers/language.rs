//! The switch of the language: kept in the browser that asked, and nowhere else.

use axum::Form;
use axum::http::{HeaderMap, Uri, header};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;
use serde::Deserialize;

use super::fitting::see_other;
use crate::cookie::in_language;
use crate::words::Language;

/// What the switch posts.
#[derive(Debug, Deserialize)]
pub struct Chosen {
    /// The tag of a language; one that is not spoken here changes nothing.
    #[serde(default)]
    language: String,
}

/// Keeps the language and goes back to the page the switch was pressed on.
pub async fn choose(headers: HeaderMap, jar: CookieJar, Form(chosen): Form<Chosen>) -> Response {
    let jar = match Language::from_tag(&chosen.language) {
        Some(language) => jar.add(in_language(language)),
        None => jar,
    };
    (jar, see_other(&came_from(&headers))).into_response()
}

/// The page a request came from, as an address of this server only; the desk where nobody says.
fn came_from(headers: &HeaderMap) -> String {
    let referer = headers.get(header::REFERER).and_then(|referer| referer.to_str().ok());
    let page = referer.and_then(|referer| referer.parse::<Uri>().ok());
    let page = page.and_then(|page| page.into_parts().path_and_query);
    // `//elsewhere` would be another server's address.
    page.map_or_else(|| "/".to_owned(), |page| format!("/{}", page.as_str().trim_start_matches('/')))
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    #[test]
    fn the_way_back_stays_on_this_server() {
        let from = |referer: &'static str| {
            came_from(&HeaderMap::from_iter([(header::REFERER, HeaderValue::from_static(referer))]))
        };
        assert_eq!(from("http://desk:7340/shoes?surface=road"), "/shoes?surface=road");
        assert_eq!(from("http://desk:7340//elsewhere.example/x"), "/elsewhere.example/x");
        assert_eq!(from("not an address"), "/");
        assert_eq!(came_from(&HeaderMap::new()), "/");
    }
}
