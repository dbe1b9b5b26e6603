//! A code from a box: to its shoe, else to the list with the code as words, else to what can be done next.

use axum::extract::{RawQuery, State};
use axum::response::{IntoResponse, Redirect, Response};

use super::frame::frame;
use crate::app::App;
use crate::browse::narrow::SHOES;
use crate::pages::scan::ScanPage;
use crate::parts::scan_box::ScanBox;
use crate::request::shoes::ShoesQuery;
use crate::visit::{scan, shoe};

/// `?code=` leads to the style whose box carries it, which says what was read; anything else is searched for.
pub async fn scan(State(state): App, RawQuery(query): RawQuery) -> Response {
    let (raw, snapshot) = (code(query), state.snapshot());
    let scanned = scan::read(&raw, &snapshot);
    let words = ShoesQuery::default().toggled("q", &scanned.text).href(SHOES);
    let Ok(meant) = scan::meant(&scanned, &snapshot) else {
        // The list says what is wrong with the words.
        return Redirect::to(&words).into_response();
    };
    match meant.cards.first() {
        Some(card) if !meant.boxes.is_empty() => {
            let raw: String = form_urlencoded::byte_serialize(raw.as_bytes()).collect();
            Redirect::to(&format!("{}?scanned={raw}", shoe::href(card.style))).into_response()
        }
        None if scanned.text.is_empty() => Redirect::to(SHOES).into_response(),
        None if scanned.is_code => {
            let again = Some(ScanBox { action: "/scan".to_owned(), focus: true });
            let page = ScanPage { again, ..scan::not_known(&scanned) };
            page.view(&frame(&state, &snapshot, Some(SHOES))).into_response()
        }
        _ => Redirect::to(&words).into_response(),
    }
}

/// The `code` of a query, as it was scanned or typed.
pub(super) fn code(query: Option<String>) -> String {
    let query = query.unwrap_or_default();
    let code = form_urlencoded::parse(query.as_bytes()).find(|(key, _)| key == "code");
    code.map_or_else(String::new, |(_, value)| value.into_owned())
}
