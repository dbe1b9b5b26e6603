//! The desk.

use axum::extract::State;

use super::frame::frame;
use crate::app::App;
use crate::browse::desk::page;
use crate::parts::Drawn;

/// Open fittings, the way to start one, the box that searches, and how old the stock figures are.
pub async fn desk(State(state): App) -> Drawn {
    let snapshot = state.snapshot();
    let frame = frame(&state, &snapshot, Some("/"));
    let now = state.clock.now().instant;
    page(&state.fittings.list(now), &snapshot, &frame.stock_age, now).view(&frame)
}
