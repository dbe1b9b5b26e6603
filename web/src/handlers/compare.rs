//! Shoes side by side, by their address alone.

use axum::extract::{RawQuery, State};

use super::frame::frame;
use crate::app::App;
use crate::browse::side_by_side::page;
use crate::parts::Drawn;

/// `?shoe=A&shoe=B`: nothing about a runner.
pub async fn compare(State(state): App, RawQuery(query): RawQuery) -> Drawn {
    let query = query.unwrap_or_default();
    let pairs = form_urlencoded::parse(query.as_bytes()).filter(|(key, _)| key == "shoe");
    let keys: Vec<String> = pairs.map(|(_, value)| value.into_owned()).take(20).collect();
    let snapshot = state.snapshot();
    page(&keys, &snapshot).view(&frame(&state, &snapshot, Some("/shoes")))
}
