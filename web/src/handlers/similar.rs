//! What replaces a shoe and which are like it, for machines.

use axum::Json;
use axum::extract::{Path, State};
use catalogue::key::StyleKey;

use super::shoes::no_such_shoe;
use crate::app::App;
use crate::browse::similar::MOST;
use crate::refusal::Refusal;
use crate::wire::similar::SimilarReply;

/// The twin of both sections of a shoe's page.
pub async fn json(State(state): App, Path(key): Path<String>) -> Result<Json<SimilarReply>, Refusal> {
    let snapshot = state.snapshot();
    let key = StyleKey::parse(&key).ok_or_else(no_such_shoe)?;
    let card = snapshot.style(&key).ok_or_else(no_such_shoe)?;
    Ok(Json(SimilarReply::of(&card, &snapshot, MOST)))
}
