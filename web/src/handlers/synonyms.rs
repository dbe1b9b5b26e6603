//! What words mean besides themselves: looked at, and kept as a change that can be taken back.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use indexer::error::ApplyError;
use indexer::store::ChangeId;

use super::edit::signed;
use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::policy::POLICY;
use crate::owner::synonyms::{page, read};
use crate::pages::synonyms::SynonymsPage;
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::visit::answers::posted;

/// The lines that are kept.
pub async fn form(State(state): App) -> Drawn {
    drawn(&state, &page(&state.snapshot(), None, Vec::new()))
}

/// Keeps other lines.
pub async fn keep(State(state): App, body: Bytes) -> Result<Response, Refusal> {
    let answers = posted(&body);
    let asked = match read(&answers) {
        Ok(asked) => asked,
        Err(problems) => {
            let page = page(&state.snapshot(), Some(&answers), problems);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn(&state, &page)).into_response());
        }
    };
    let by = signed(&state, "page-synonyms", &body);
    let kept = at_store(&state, move |state| {
        match state.shop.change(|store| store.set_synonyms(&asked.synonyms, &asked.why, asked.seen, &by)) {
            Err(ApplyError::ChangedSince { .. }) => Ok(None),
            kept => kept.map(Some),
        }
    });
    if let Some(ChangeId(change)) = kept.await? {
        return Ok(Redirect::to(&format!("/changes/{change}")).into_response());
    }
    let overtaken = say!(
        "The lines were changed since you looked, so nothing was kept. Yours stand in the field; the kept ones are in the history."
    );
    let snapshot = state.snapshot();
    let again = SynonymsPage {
        overtaken: overtaken.to_owned(),
        at: snapshot.seq().0.to_string(),
        ..page(&snapshot, Some(&answers), Vec::new())
    };
    Ok((StatusCode::CONFLICT, drawn(&state, &again)).into_response())
}

fn drawn(state: &AppState, page: &SynonymsPage) -> Drawn {
    page.view(&frame(state, &state.snapshot(), Some(POLICY)))
}
