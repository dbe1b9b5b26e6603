//! The shortlist side by side.

use axum::extract::{Path, RawQuery, State};
use axum::http::HeaderMap;

use super::fitting::{Opened, order_if_any};
use super::fitting_card::origin;
use super::frame::fitting_frame;
use crate::app::App;
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::request::compare::CompareQuery;
use crate::visit::compare;

/// The shortlist beside the pair worn now.
pub async fn compare(
    State(state): App,
    Path(id): Path<String>,
    RawQuery(query): RawQuery,
    headers: HeaderMap,
) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let shown = order_if_any(&state, &visit)?;
    let frame = fitting_frame(&state, &opened, "Compare");
    let only = CompareQuery::parse(&query.unwrap_or_default()).only_differences;
    Ok(compare::page(
        &visit,
        shown.as_ref().map(|shown| &shown.list),
        only,
        &origin(&headers, state.config.listening),
    )
    .view(&frame))
}
