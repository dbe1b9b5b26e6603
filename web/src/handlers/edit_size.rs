//! The owner's form for one size of a shoe.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use catalogue::key::StyleKey;
use catalogue::stock::Sku;
use indexer::error::ApplyError;
use indexer::loaded::Seq;
use indexer::proposal::Entity;
use indexer::store::{ChangeId, Corrections, Values};
use serde::Deserialize;

use super::edit::signed;
use super::frame::frame;
use super::shoes::no_such_shoe;
use crate::app::{App, AppState};
use crate::browse::narrow::SHOES;
use crate::owner::at_store::at_store;
use crate::owner::edit_size::OneSize;
use crate::parts::Drawn;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::visit::answers::posted;

/// Which size, by its key.
#[derive(Clone, Deserialize)]
pub struct Which {
    sku: String,
    /// A number that a scan has brought along.
    gtin: Option<String>,
}

/// The form, with what stands.
pub async fn form(
    State(state): App,
    Path(key): Path<String>,
    Query(which): Query<Which>,
) -> Result<Drawn, Refusal> {
    drawn(&state, &key, &which, None, Vec::new(), false).await
}

/// Keeps what was typed as one change; else the form again, with nothing kept.
pub async fn say(
    State(state): App,
    Path(key): Path<String>,
    Query(which): Query<Which>,
    body: Bytes,
) -> Result<Response, Refusal> {
    let answers = posted(&body);
    let by = signed(&state, &format!("page-size-{}", which.sku), &body);
    let made = by.key.clone();
    if at_store(&state, move |state| state.shop.ask(|store| store.made_under(&made))).await?.is_some() {
        return Ok(see(&key));
    }
    let (sku, values) = held(&state, &key, &which.sku).await?;
    let cells = {
        let snapshot = state.snapshot();
        let card = StyleKey::parse(&key).and_then(|key| snapshot.style(&key)).ok_or_else(no_such_shoe)?;
        OneSize { style: card.style, sku: &sku, values: &values, seq: snapshot.seq().0, scanned: None }
            .read(&answers)
    };
    let cells = match cells {
        Ok(cells) => cells,
        Err(problems) => {
            let page = drawn(&state, &key, &which, Some(&answers), problems, false).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let seen = Seq(answers.get("at").parse().unwrap_or_default());
    let kept = at_store(&state, move |state| {
        let said = Corrections { kind: "correction", cells: &cells, seen: Some(seen) };
        match state.shop.change(|store| store.correct_all(&said, &by)) {
            Err(ApplyError::ChangedSince { .. }) => Ok(None),
            kept => kept.map(Some),
        }
    });
    if let Some(ChangeId(_)) = kept.await? {
        return Ok(see(&key));
    }
    let page = drawn(&state, &key, &which, Some(&answers), Vec::new(), true).await?;
    Ok((StatusCode::CONFLICT, page).into_response())
}

fn see(key: &str) -> Response {
    Redirect::to(&format!("/shoes/{key}")).into_response()
}

/// The size and what the store holds of it.
async fn held(state: &Arc<AppState>, key: &str, sku: &str) -> Result<(Sku, Values), Refusal> {
    let snapshot = state.snapshot();
    let card = StyleKey::parse(key).and_then(|key| snapshot.style(&key)).ok_or_else(no_such_shoe)?;
    let found = card.skus.iter().find(|own| own.key().as_str() == sku).cloned().ok_or_else(no_such_shoe)?;
    let wanted = sku.to_owned();
    let values = at_store(state, move |state| -> Result<_, ApplyError> {
        let values = state.shop.ask(|store| store.values(Entity::Sku, &wanted))?;
        values.ok_or(ApplyError::NoSuchRow(wanted))
    });
    Ok((found, values.await?))
}

async fn drawn(
    state: &Arc<AppState>,
    key: &str,
    which: &Which,
    typed: Option<&Answers>,
    problems: Vec<Problem>,
    overtaken: bool,
) -> Result<Drawn, Refusal> {
    let (sku, values) = held(state, key, &which.sku).await?;
    let snapshot = state.snapshot();
    let card = StyleKey::parse(key).and_then(|key| snapshot.style(&key)).ok_or_else(no_such_shoe)?;
    let scanned = which.gtin.clone();
    let size = OneSize { style: card.style, sku: &sku, values: &values, seq: snapshot.seq().0, scanned };
    Ok(size.form(typed, problems, overtaken).view(&frame(state, &snapshot, Some(SHOES))))
}
