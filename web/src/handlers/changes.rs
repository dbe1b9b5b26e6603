//! The changes of the catalogue, each of which can be taken back.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use indexer::store::{ChangeId, Signed};

use super::frame::frame;
use super::sheets::{not_applied, out_of_reach};
use crate::app::{App, AppState};
use crate::owner::changes::page;
use crate::parts::Drawn;
use crate::refusal::Refusal;

const CHANGES: &str = "/changes";
/// Changes shown.
const SHOWN: usize = 100;

/// The latest changes.
pub async fn list(State(state): App) -> Result<Drawn, Refusal> {
    view(&state, None)
}

fn view(state: &AppState, done: Option<String>) -> Result<Drawn, Refusal> {
    let changes = state.shop.ask(|store| store.history(SHOWN)).map_err(|fault| out_of_reach(&fault))?;
    Ok(page(&changes, done).view(&frame(state, &state.snapshot(), Some(CHANGES))))
}

/// Takes a change back; what was changed since is kept and named.
pub async fn undo(State(state): App, Path(number): Path<i64>) -> Result<Response, Refusal> {
    let latest = state.shop.ask(|store| store.seq()).map_err(|fault| out_of_reach(&fault))?;
    let at = state.clock.now().unix_seconds;
    let by = Signed { actor: "owner".to_owned(), at, key: format!("page-undo-{number}-{}", latest.0) };
    let worker = Arc::clone(&state);
    let undone = tokio::task::spawn_blocking(move || worker.shop.undo(ChangeId(number), &by)).await;
    let undone = undone.map_err(|_| Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))?;
    let undone = undone.map_err(|fault| not_applied(&fault).back_to("To the changes", CHANGES))?;
    if undone.kept.is_empty() {
        return Ok(Redirect::to(CHANGES).into_response());
    }
    let kept: Vec<_> = undone.kept.iter().take(20).map(ToString::to_string).collect();
    let done = format!(
        "Change {number} is taken back. Kept, since it was changed later: {} in all, such as {}.",
        undone.kept.len(),
        kept.join("; ")
    );
    Ok(view(&state, Some(done))?.into_response())
}
