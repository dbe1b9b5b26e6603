//! The plan for the change to one of the shoes that were brought out.

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use catalogue::key::StyleKey;
use indexer::planned::NoPlan;
use serde::Deserialize;

use super::fitting::{Opened, no_words, see_other};
use super::frame::fitting_frame;
use crate::app::App;
use crate::refusal::Refusal;
use crate::visit::plan;

/// The shoe a plan is for; left out, the chosen one or the first that was brought out.
#[derive(Deserialize)]
pub struct To {
    to: Option<String>,
}

/// The plan; a stopped fitting has none, and its page says why.
pub async fn plan(
    State(state): App,
    Path(id): Path<String>,
    Query(To { to }): Query<To>,
) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let frame = fitting_frame(&state, &opened, "Plan");
    let to = to.map_or_else(|| plan::usual(&visit).cloned(), |to| StyleKey::parse(&to));
    let Some(card) = to.and_then(|to| opened.snapshot.style(&to)) else {
        return match opened.snapshot.ranker(&opened.fitting.runner) {
            Ok(_) => Ok(plan::without_a_shoe(&visit).view(&frame).into_response()),
            Err(_) => Ok(see_other(&visit.href(""))),
        };
    };
    match opened.snapshot.planned(&opened.fitting.runner, &card.style.key) {
        Ok(planned) => {
            let now = state.clock.now().unix_seconds;
            Ok(plan::page(&visit, &planned, &card, now).view(&frame).into_response())
        }
        Err(NoPlan::Stopped(_)) => Ok(see_other(&visit.href(""))),
        Err(NoPlan::NoSuchStyle) => Err(Refusal::of_status(StatusCode::NOT_FOUND)),
        Err(NoPlan::Words(_)) => Err(no_words()),
    }
}
