//! The order of a fitting as a map.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use indexer::ranked::NoOrder;

use super::fitting::{Opened, no_words, order, see_other};
use super::frame::fitting_frame;
use crate::app::App;
use crate::refusal::Refusal;
use crate::visit::narrow::Narrowed;
use crate::visit::stock_map;

/// The shoes of the order that the filters leave; after a red flag the page of the stop, for there is no order.
pub async fn stock_map(State(state): App, Path(id): Path<String>) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let list = match order(&state, &visit) {
        Ok(shown) => shown.list,
        Err(NoOrder::Stopped(_)) => return Ok(see_other(&visit.href(""))),
        Err(NoOrder::Words(_)) => return Err(no_words()),
    };
    let narrowed = Narrowed::of(&visit, &list).map_err(|_| no_words())?;
    let frame = fitting_frame(&state, &opened, "Stock in order");
    Ok(stock_map::page(&visit, &list.ranker, &narrowed.results.hits).view(&frame).into_response())
}
