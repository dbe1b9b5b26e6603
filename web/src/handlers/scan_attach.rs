//! A number that nothing carries, on its way to a size.

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::frame::frame;
use super::scan::code;
use crate::app::App;
use crate::browse::attach;
use crate::browse::narrow::SHOES;
use crate::refusal::Refusal;
use crate::visit::scan;

/// `?code=&q=`: the shoes with the words, each size with the number ready to be kept. A number that is known leads to
/// its shoe.
pub async fn attach(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let query = query.unwrap_or_default();
    let typed = form_urlencoded::parse(query.as_bytes()).find(|(key, _)| key == "q");
    let typed = typed.map_or_else(String::new, |(_, value)| value.into_owned());
    let (raw, snapshot) = (code(Some(query.clone())), state.snapshot());
    let scanned = scan::read(&raw, &snapshot);
    if scanned.gtin.is_some_and(|gtin| snapshot.by_gtin(gtin).next().is_some()) {
        let raw: String = form_urlencoded::byte_serialize(raw.as_bytes()).collect();
        return Ok(Redirect::to(&format!("/scan?code={raw}")).into_response());
    }
    let page = attach::page(&scanned, &typed, &snapshot).map_err(|_| {
        let say = say!("These are more words than are looked for at a time. Fewer of them find the shoe.");
        Refusal::new(StatusCode::BAD_REQUEST, say!("Too many words"), say).back_to(say!("All shoes"), SHOES)
    })?;
    Ok(page.view(&frame(&state, &snapshot, Some(SHOES))).into_response())
}
