//! Counting: codes looked at, then applied as one change.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use indexer::count::{Count, Scanned};
use indexer::error::{ApplyError, StoreError};
use indexer::store::{ChangeId, Signed};
use serde::Deserialize;

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::count::{COUNT, Posted, Seen, done, page, preview};
use crate::pages::count::CountPage;
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::staff::visitor::actor;

/// What is asked of the page.
#[derive(Clone, Copy, Deserialize)]
pub struct Asked {
    /// The count that has just been applied.
    done: Option<i64>,
}

/// The empty form, and what was done last.
pub async fn form(State(state): App, Query(asked): Query<Asked>) -> Result<Drawn, Refusal> {
    let receipt = at_store(&state, move |state| -> Result<_, StoreError> {
        let receipt = |change| state.shop.ask(|store| store.receipt(ChangeId(change)));
        Ok(asked.done.map(receipt).transpose()?.flatten())
    });
    let receipt = receipt.await?;
    let empty = page(Posted::default(), &state.snapshot());
    Ok(drawn(&state, &CountPage { done: receipt.as_ref().map(done), ..empty }))
}

/// Looks at what was scanned, or applies what was looked at.
pub async fn count(State(state): App, body: Bytes) -> Result<Response, Refusal> {
    let posted = Posted::read(&body);
    let scanned = match posted.scanned() {
        Ok(scanned) => scanned,
        Err(problem) => {
            let page = CountPage { problems: vec![problem], ..page(posted, &state.snapshot()) };
            return Ok((StatusCode::BAD_REQUEST, drawn(&state, &page)).into_response());
        }
    };
    let Some(seen) = posted.seen.clone() else {
        return Ok(look(&state, posted, scanned, String::new()).await?.into_response());
    };
    if let Some(change) = apply(&state, scanned.clone(), seen).await? {
        return Ok(Redirect::to(&format!("{COUNT}?done={}", change.0)).into_response());
    }
    let overtaken = say!(
        "The catalogue or the lines have changed since you looked, so nothing was applied. This is what the count would change now."
    );
    let page = look(&state, posted, scanned, overtaken.to_owned()).await?;
    Ok((StatusCode::CONFLICT, page).into_response())
}

/// What the codes would change, against the catalogue as it is now.
async fn look(
    state: &Arc<AppState>,
    posted: Posted,
    scanned: Scanned,
    overtaken: String,
) -> Result<Drawn, Refusal> {
    let looked = at_store(state, move |state| -> Result<_, StoreError> {
        let snapshot = state.snapshot();
        let preview = preview(&Count::of(&scanned, &snapshot), &posted, &snapshot);
        Ok(CountPage { preview: Some(preview), overtaken, ..page(posted, &snapshot) })
    });
    Ok(drawn(state, &looked.await?))
}

/// Applies what was looked at; `None` when it would now be something else.
async fn apply(state: &Arc<AppState>, scanned: Scanned, seen: Seen) -> Result<Option<ChangeId>, Refusal> {
    let at = state.clock.now().unix_seconds;
    let by = Signed { actor: actor(), at, key: seen.key() };
    at_store(state, move |state| match state.shop.count(&scanned, seen.base, &seen.digest, &by) {
        Err(ApplyError::Conflict { .. }) => Ok(None),
        applied => applied.map(Some),
    })
    .await
}

fn drawn(state: &AppState, page: &CountPage) -> Drawn {
    page.view(&frame(state, &state.snapshot(), Some(COUNT)))
}
