//! The stock as a map.

use axum::extract::{RawQuery, State};
use axum::response::{IntoResponse, Redirect, Response};

use super::frame::frame;
use super::shoes::answered;
use crate::app::App;
use crate::browse::stock_map::{STOCK_MAP, page, search};
use crate::refusal::Refusal;
use crate::request::shoes::ShoesQuery;

/// The map; another spelling of the same state is sent to its one address.
pub async fn stock_map(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let query = query.unwrap_or_default();
    let asked = ShoesQuery::parse(&query).without("page").without("stock");
    let canonical = asked.href(STOCK_MAP);
    if canonical.split_once('?').map_or("", |(_, query)| query) != query {
        return Ok(Redirect::permanent(&canonical).into_response());
    }
    let snapshot = state.snapshot();
    let results = answered(&snapshot, &search(&asked))?;
    let frame = frame(&state, &snapshot, Some(STOCK_MAP));
    Ok(page(&asked, &results, &snapshot).view(&frame).into_response())
}
