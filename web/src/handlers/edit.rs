//! The owner's form for one shoe: values said by hand, and cells given back to the sheets.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use catalogue::key::StyleKey;
use indexer::columns::Column;
use indexer::error::ApplyError;
use indexer::loaded::Seq;
use indexer::proposal::Entity;
use indexer::store::{ChangeId, Corrections, Signed, Values};

use super::frame::frame;
use super::shoes::{no_such_shoe, told};
use crate::app::{App, AppState};
use crate::browse::narrow::SHOES;
use crate::owner::at_store::at_store;
use crate::owner::edit::{Posted, Shoe};
use crate::owner::edit_read;
use crate::owner::shoe_origins::{AT, COLUMN, Told};
use crate::parts::Drawn;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::staff::visitor::actor;
use crate::visit::answers::posted;

/// What became of a form.
enum Outcome {
    Kept(ChangeId),
    Refused(Vec<Problem>),
    Overtaken,
}

/// The form, with what stands.
pub async fn form(State(state): App, Path(key): Path<String>) -> Result<Drawn, Refusal> {
    let key = StyleKey::parse(&key).ok_or_else(no_such_shoe)?;
    drawn(&state, key, None).await
}

async fn drawn(state: &Arc<AppState>, key: StyleKey, posted: Option<Posted>) -> Result<Drawn, Refusal> {
    if state.snapshot().style(&key).is_none() {
        return Err(no_such_shoe());
    }
    let wanted = key.clone();
    let (values, told) = at_store(state, move |state| held(state, &wanted)).await?;
    let snapshot = state.snapshot();
    let card = snapshot.style(&key).ok_or_else(no_such_shoe)?;
    let page = Shoe { style: card.style, values: &values, told: &told }.form(posted.as_ref());
    Ok(page.view(&frame(state, &snapshot, Some(SHOES))))
}

/// What the store holds of a shoe, and where it came from.
fn held(state: &AppState, key: &StyleKey) -> Result<(Values, Told), ApplyError> {
    state.shop.ask(|store| {
        let values = store.values(Entity::Style, key.as_str())?;
        let values = values.ok_or_else(|| ApplyError::NoSuchRow(key.to_string()))?;
        Ok((values, told(store, key)?))
    })
}

/// Keeps what was typed as one change; else the form again, each fault at its field, with nothing kept.
pub async fn say(State(state): App, Path(key): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let key = StyleKey::parse(&key).ok_or_else(no_such_shoe)?;
    if state.snapshot().style(&key).is_none() {
        return Err(no_such_shoe());
    }
    let by = signed(&state, &format!("page-edit-{key}"), &body);
    let (style, sent) = (key.clone(), body.clone());
    let outcome = at_store(&state, move |state| keep(state, &style, &sent, &by)).await?;
    let answers = posted(&body);
    let again = match outcome {
        Outcome::Kept(change) => return Ok(see(&key, change)),
        Outcome::Refused(problems) => Posted { answers, problems, overtaken: false },
        Outcome::Overtaken => Posted { answers, problems: Vec::new(), overtaken: true },
    };
    let status = if again.overtaken { StatusCode::CONFLICT } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok((status, drawn(&state, key, Some(again)).await?).into_response())
}

/// The key holds all that was typed and the change at which the form was drawn: a second press is the same change.
pub(super) fn signed(state: &AppState, act: &str, body: &[u8]) -> Signed {
    let mut hash = DefaultHasher::new();
    body.hash(&mut hash);
    let at = state.clock.now().unix_seconds;
    Signed { actor: actor(), at, key: format!("{act}-{:016x}", hash.finish()) }
}

fn keep(state: &AppState, key: &StyleKey, body: &[u8], by: &Signed) -> Result<Outcome, ApplyError> {
    if let Some(done) = state.shop.ask(|store| store.made_under(&by.key))? {
        return Ok(Outcome::Kept(done));
    }
    let answers = posted(body);
    let seen = seen(answers.get(AT));
    let (values, told) = held(state, key)?;
    let snapshot = state.snapshot();
    let Some(card) = snapshot.style(key) else { return Err(ApplyError::NoSuchRow(key.to_string())) };
    let of_style = told.lines.iter().find(|line| line.entity == Entity::Style);
    if of_style.is_some_and(|line| line.change.0 > seen.0) {
        return Ok(Outcome::Overtaken);
    }
    let shoe = Shoe { style: card.style, values: &values, told: &told };
    let cells = match edit_read::read(&shoe, &answers, &snapshot) {
        Ok(cells) => cells,
        Err(problems) => return Ok(Outcome::Refused(problems)),
    };
    let said = Corrections { kind: "correction", cells: &cells, seen: Some(seen) };
    match state.shop.change(|store| store.correct_all(&said, by)) {
        Ok(change) => Ok(Outcome::Kept(change)),
        Err(ApplyError::ChangedSince { .. }) => Ok(Outcome::Overtaken),
        Err(other) => Err(other),
    }
}

/// A form that does not say at which change it was drawn was drawn before all of them.
fn seen(at: &str) -> Seq {
    Seq(at.parse().unwrap_or_default())
}

/// Gives one cell back to the sheets: it holds what the newest sheet says.
pub async fn take(State(state): App, Path(key): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let key = StyleKey::parse(&key).ok_or_else(no_such_shoe)?;
    let answers = posted(&body);
    let column = Column::find(answers.get(COLUMN)).ok_or_else(no_such_column)?;
    let (by, style) = (signed(&state, &format!("page-take-{key}"), &body), key.clone());
    let taken = at_store(&state, move |state| {
        let cell = (Entity::Style, style.as_str(), column);
        state.shop.change(|store| store.take_from_sheet(cell, Some(seen(answers.get(AT))), &by))
    });
    let taken =
        taken.await.map_err(|refusal| refusal.back_to(say!("Back to the shoe"), format!("/shoes/{key}")))?;
    Ok(see(&key, taken))
}

fn no_such_column() -> Refusal {
    let say = say!(
        "No column of the catalogue was named. Nothing was changed; press the button on the page of the shoe."
    );
    Refusal::new(StatusCode::BAD_REQUEST, say!("No such column"), say).back_to(say!("All shoes"), SHOES)
}

fn see(key: &StyleKey, change: ChangeId) -> Response {
    Redirect::to(&format!("/shoes/{key}?done={}", change.0)).into_response()
}
