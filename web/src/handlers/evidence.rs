//! The rules and the bibliography.

use axum::extract::State;

use super::frame::frame;
use crate::app::App;
use crate::browse::evidence;
use crate::parts::Drawn;

/// All rules.
pub async fn rules(State(state): App) -> Drawn {
    evidence::rules().view(&frame(&state, &state.snapshot(), Some("/rules")))
}

/// The bibliography.
pub async fn sources(State(state): App) -> Drawn {
    evidence::sources().view(&frame(&state, &state.snapshot(), Some("/sources")))
}
