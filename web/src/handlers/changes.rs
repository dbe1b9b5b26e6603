//! The changes of the catalogue, each of which can be taken back.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use indexer::error::{ApplyError, StoreError};
use indexer::store::{ChangeId, Signed, Undone};
use serde::Deserialize;

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::changes::{AT, Paged, done, page};
use crate::parts::Drawn;
use crate::refusal::Refusal;

const CHANGES: &str = "/changes";
/// Kept values named after an undo; the rest is counted.
const KEPT_NAMED: usize = 20;

/// What is asked of the history.
#[derive(Clone, Copy, Default, Deserialize)]
pub struct Asked {
    /// The page, from 1.
    page: Option<usize>,
    /// The change that has just been made.
    done: Option<i64>,
}

/// The changes, the latest first.
pub async fn list(State(state): App, Query(asked): Query<Asked>) -> Result<Drawn, Refusal> {
    view(&state, asked, None).await
}

async fn view(state: &Arc<AppState>, asked: Asked, said: Option<String>) -> Result<Drawn, Refusal> {
    let known = at_store(state, move |state| {
        state.shop.ask(|store| -> Result<_, StoreError> {
            let paged = Paged::of(asked.page.unwrap_or(1), store.seq()?.0);
            Ok((store.history(paged.reaches())?, paged))
        })
    });
    let (newest, paged) = known.await?;
    let made = asked.done.and_then(|id| newest.iter().find(|change| change.id.0 == id));
    let page = page(&newest, paged, said.or_else(|| made.map(done)));
    Ok(page.view(&frame(state, &state.snapshot(), Some(CHANGES))))
}

/// Takes a change back; what was changed since is kept and named.
pub async fn undo(State(state): App, Path(number): Path<i64>, body: Bytes) -> Result<Response, Refusal> {
    let seen = form_urlencoded::parse(&body).find(|(name, _)| name == AT).and_then(|(_, at)| at.parse().ok());
    let at = state.clock.now().unix_seconds;
    let undone = at_store(&state, move |state| take_back(state, number, seen, at)).await;
    let undone = undone.map_err(|refusal| refusal.back_to("To the changes", CHANGES))?;
    if undone.kept.is_empty() {
        return Ok(Redirect::to(&format!("{CHANGES}?done={}", undone.change.0)).into_response());
    }
    Ok(view(&state, Asked::default(), Some(kept(number, &undone))).await?.into_response())
}

/// The key holds the latest change that the page knew of: a second press is the same undo, and an undo that was
/// itself taken back can be made again.
fn take_back(state: &AppState, number: i64, seen: Option<i64>, at: i64) -> Result<Undone, ApplyError> {
    let latest = match seen {
        Some(seen) => seen,
        None => state.shop.ask(|store| store.seq())?.0,
    };
    let by = Signed { actor: "owner".to_owned(), at, key: format!("page-undo-{number}-{latest}") };
    state.shop.undo(ChangeId(number), &by)
}

fn kept(number: i64, undone: &Undone) -> String {
    let named: Vec<_> = undone.kept.iter().take(KEPT_NAMED).map(ToString::to_string).collect();
    let more = undone.kept.len().saturating_sub(KEPT_NAMED);
    let more = if more > 0 { format!("; and {more} more") } else { String::new() };
    format!("Change {number} is taken back. Kept, since it was changed later: {}{more}.", named.join("; "))
}
