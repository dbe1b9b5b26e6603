//! The changes of the catalogue, each of which can be taken back.

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Redirect;
use indexer::error::{ApplyError, StoreError};
use indexer::store::{ChangeId, Receipt, RecordedChange, Signed, Store, Undone};
use serde::Deserialize;

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::changes::{AT, Paged, done, page, shown};
use crate::owner::changes_one::{self, CELLS, One, SHOWN, pages};
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::staff::visitor::actor;

const CHANGES: &str = "/changes";

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
    let known = at_store(&state, move |state| {
        state.shop.ask(|store| -> Result<_, StoreError> {
            let paged = Paged::of(asked.page.unwrap_or(1), store.seq()?.0);
            let newest = store.history(paged.reaches())?;
            let receipts = receipts(store, shown(&newest, paged))?;
            Ok((newest, receipts, paged))
        })
    });
    let (newest, receipts, paged) = known.await?;
    let made = asked.done.and_then(|id| newest.iter().find(|change| change.id.0 == id));
    let page = page(&newest, &receipts, paged, made.map(done));
    Ok(page.view(&frame(&state, &state.snapshot(), Some(CHANGES))))
}

/// What the counts among the changes counted.
fn receipts<'c>(
    store: &Store,
    changes: impl Iterator<Item = &'c RecordedChange>,
) -> Result<Vec<Receipt>, StoreError> {
    let counts = changes.filter(|change| change.kind == "count");
    counts.filter_map(|change| store.receipt(change.id).transpose()).collect()
}

/// One change with its cells.
pub async fn one(
    State(state): App,
    Path(number): Path<i64>,
    Query(asked): Query<Asked>,
) -> Result<Drawn, Refusal> {
    let found = at_store(&state, move |state| {
        state.shop.ask(|store| found(store, ChangeId(number), asked.page.unwrap_or(1)))
    });
    let one = found.await?.ok_or_else(|| no_such_change(number))?;
    Ok(one.page().view(&frame(&state, &state.snapshot(), Some(CHANGES))))
}

fn found(store: &Store, id: ChangeId, page: usize) -> Result<Option<One>, StoreError> {
    let Some(change) = store.recorded(id)? else { return Ok(None) };
    let count = store.count_lines(id)?;
    let page = page.clamp(1, pages(count));
    let lines = store.lines_of(id, (page - 1) * CELLS, CELLS)?;
    Ok(Some(One { change, receipt: store.receipt(id)?, page, count, lines, kept: store.kept_by(id)? }))
}

/// Before a change is taken back: what would go, and what would stay.
pub async fn ask(State(state): App, Path(number): Path<i64>) -> Result<Drawn, Refusal> {
    let known = at_store(&state, move |state| {
        state.shop.ask(|store| -> Result<_, ApplyError> {
            let id = ChangeId(number);
            let undoing = store.would_undo(id, SHOWN)?;
            let change = store.recorded(id)?.ok_or(ApplyError::NoSuchChange(number))?;
            Ok((change, undoing, store.seq()?.0))
        })
    });
    let known = known.await.map_err(|refusal| refusal.back_to(say!("To the changes"), CHANGES))?;
    let (change, undoing, latest) = known;
    Ok(changes_one::ask(&change, &undoing, latest).view(&frame(&state, &state.snapshot(), Some(CHANGES))))
}

/// Takes a change back; what was changed since is kept, and listed on the page of the undo.
pub async fn undo(State(state): App, Path(number): Path<i64>, body: Bytes) -> Result<Redirect, Refusal> {
    let seen = form_urlencoded::parse(&body).find(|(name, _)| name == AT).and_then(|(_, at)| at.parse().ok());
    let at = state.clock.now().unix_seconds;
    let undone = at_store(&state, move |state| take_back(state, number, seen, at)).await;
    let undone = undone.map_err(|refusal| refusal.back_to(say!("To the changes"), CHANGES))?;
    let undo = undone.change.0;
    let to =
        if undone.kept.is_empty() { format!("{CHANGES}?done={undo}") } else { format!("{CHANGES}/{undo}") };
    Ok(Redirect::to(&to))
}

fn no_such_change(number: i64) -> Refusal {
    let say = say!("There is no change {number}. The list of changes has them all.", number);
    Refusal::new(StatusCode::NOT_FOUND, say!("No such change"), say).back_to(say!("To the changes"), CHANGES)
}

/// The key holds the latest change that the page knew of: a second press is the same undo, and an undo that was
/// itself taken back can be made again.
fn take_back(state: &AppState, number: i64, seen: Option<i64>, at: i64) -> Result<Undone, ApplyError> {
    let latest = match seen {
        Some(seen) => seen,
        None => state.shop.ask(|store| store.seq())?.0,
    };
    let by = Signed { actor: actor(), at, key: format!("page-undo-{number}-{latest}") };
    state.shop.undo(ChangeId(number), &by)
}
