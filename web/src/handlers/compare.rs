//! Shoes side by side, by their address alone.

use axum::extract::{RawQuery, State};
use axum::http::HeaderMap;

use super::fitting_card::origin;
use super::frame::frame;
use crate::app::App;
use crate::browse::side_by_side::page;
use crate::parts::Drawn;
use crate::request::compare::CompareQuery;

/// `?shoe=A&shoe=B`: nothing about a runner.
pub async fn compare(State(state): App, RawQuery(query): RawQuery, headers: HeaderMap) -> Drawn {
    let asked = CompareQuery::parse(&query.unwrap_or_default());
    let snapshot = state.snapshot();
    page(&asked, &snapshot, &origin(&headers, state.config.listening)).view(&frame(
        &state,
        &snapshot,
        Some("/shoes"),
    ))
}
