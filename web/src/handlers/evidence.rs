//! The rules, what studies do not carry, and the bibliography.

use axum::extract::State;

use super::frame::frame;
use crate::app::App;
use crate::browse::evidence;
use crate::parts::Drawn;

/// All rules and claims.
pub async fn rules(State(state): App) -> Drawn {
    let snapshot = state.snapshot();
    evidence::rules(&snapshot).view(&frame(&state, &snapshot, Some("/rules")))
}

/// What studies do not carry.
pub async fn unsupported(State(state): App) -> Drawn {
    evidence::unsupported().view(&frame(&state, &state.snapshot(), Some("/rules")))
}

/// The bibliography.
pub async fn sources(State(state): App) -> Drawn {
    evidence::sources().view(&frame(&state, &state.snapshot(), Some("/sources")))
}
