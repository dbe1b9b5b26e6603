//! Sheets: the page where they are sent in, and a sheet that arrives.

use std::sync::Arc;

use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::sent::Posted;
use crate::owner::{sheet_work, sheets};
use crate::parts::Drawn;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::waiting::State as Stands;

/// The address of this page.
pub(super) const SHEETS: &str = "/sheets";
/// Changes shown on the page of sheets.
const SHOWN: usize = 20;

/// The page where sheets are sent in.
pub async fn page(State(state): App) -> Result<Drawn, Refusal> {
    view(&state, &Posted::default(), Vec::new()).await
}

async fn view(state: &Arc<AppState>, typed: &Posted, problems: Vec<Problem>) -> Result<Drawn, Refusal> {
    let changes = at_store(state, |state| state.shop.ask(|store| store.history(SHOWN))).await?;
    let now = state.clock.now();
    let waiting = state.waiting.list(now.instant);
    let most = state.config.requests.sheet;
    let page = sheets::page(&waiting, &changes, most, now.unix_seconds, typed, problems);
    Ok(page.view(&frame(state, &state.snapshot(), Some(SHEETS))))
}

/// Takes a sheet in and begins to read it. A small one is read before the answer; of a large one its page says how far
/// it is.
pub async fn send(axum::extract::State(state): App, multipart: Multipart) -> Result<Response, Refusal> {
    let turn = state.waiting.turn().await;
    let posted = Posted::read(multipart, state.config.requests.sheet).await?;
    let problems = posted.problems();
    if !problems.is_empty() {
        let page = view(&state, &posted, problems).await?;
        return Ok((StatusCode::BAD_REQUEST, page).into_response());
    }
    let at = state.clock.now();
    let begun = state.waiting.begin(posted.name.clone(), posted.bytes.len(), posted.supplier.clone(), at);
    let sent = begun.ok_or_else(|| Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))?;
    sheet_work::begin(&state, &sent, posted, turn);
    if let Some(Stands::Unread(refusal)) =
        state.waiting.settled(sent.id, at.instant).await.map(|sent| sent.state)
    {
        state.waiting.leave(sent.id, at.instant);
        return Err(refusal);
    }
    Ok(Redirect::to(&sent.href()).into_response())
}
