//! A code from a box: to its shoe, else to the list with the code as words.

use axum::extract::{RawQuery, State};
use axum::response::Redirect;
use catalogue::stock::Gtin;

use crate::app::App;
use crate::browse::narrow::SHOES;
use crate::request::shoes::ShoesQuery;
use crate::visit::shoe;

/// `?code=` leads to the style whose box carries it; anything else is searched for.
pub async fn scan(State(state): App, RawQuery(query): RawQuery) -> Redirect {
    let query = query.unwrap_or_default();
    let code = form_urlencoded::parse(query.as_bytes()).find(|(key, _)| key == "code");
    let code = code.map_or_else(String::new, |(_, value)| value.trim().to_owned());
    let snapshot = state.snapshot();
    let found = Gtin::parse(&code).ok().and_then(|gtin| snapshot.by_gtin(gtin).next());
    match found.and_then(|sku| snapshot.style(&sku.style)) {
        Some(card) => Redirect::to(&shoe::href(card.style)),
        None if code.is_empty() => Redirect::to(SHOES),
        None => Redirect::to(&ShoesQuery::default().toggled("q", &code).href(SHOES)),
    }
}
