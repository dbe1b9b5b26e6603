//! The house policy: looked at, changed after a look at what that does, given out as a file.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use indexer::error::ApplyError;
use indexer::store::ChangeId;

use super::edit::signed;
use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::policy::{APPLY, Asked, POLICY, page, preview, read};
use crate::pages::policy::PolicyPage;
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::request::policy_file::to_toml;
use crate::visit::answers::posted;

/// The policy in force.
pub async fn form(State(state): App) -> Drawn {
    drawn(&state, &page(&state.snapshot(), None, Vec::new()))
}

/// The policy in force as a file.
pub async fn file(State(state): App) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/toml; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"house-policy.toml\""),
    ];
    (headers, to_toml(state.snapshot().policy())).into_response()
}

/// Looks at what was typed, or applies what was looked at.
pub async fn set(State(state): App, body: Bytes) -> Result<Response, Refusal> {
    let answers = posted(&body);
    let snapshot = state.snapshot();
    let asked = match read(&answers, &snapshot) {
        Ok(asked) => asked,
        Err(problems) => {
            let page = page(&snapshot, Some(&answers), problems);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn(&state, &page)).into_response());
        }
    };
    if !answers.has(APPLY, "yes") {
        return Ok(look(&state, asked, String::new()).await?.into_response());
    }
    let by = signed(&state, "page-policy", &body);
    let (policy, why, seen) = (asked.policy.clone(), asked.why.clone(), asked.seen);
    let applied = at_store(&state, move |state| {
        match state.shop.change(|store| store.set_policy(&policy, &why, seen, &by)) {
            Err(ApplyError::ChangedSince { .. }) => Ok(None),
            applied => applied.map(Some),
        }
    });
    if let Some(ChangeId(change)) = applied.await? {
        return Ok(Redirect::to(&format!("/changes/{change}")).into_response());
    }
    let overtaken = say!(
        "The policy was changed since you looked, so nothing was applied. This is what would change now."
    );
    let asked = Asked { seen: state.snapshot().seq(), ..asked };
    Ok((StatusCode::CONFLICT, look(&state, asked, overtaken.to_owned()).await?).into_response())
}

/// The page with what would change, worked out where it keeps nobody waiting.
async fn look(state: &Arc<AppState>, asked: Asked, overtaken: String) -> Result<Drawn, Refusal> {
    let looked = at_store(state, move |state| -> Result<_, ApplyError> {
        let snapshot = state.snapshot();
        let preview = Some(preview(&asked, &snapshot));
        Ok(PolicyPage { overtaken, preview, ..page(&snapshot, None, Vec::new()) })
    });
    Ok(drawn(state, &looked.await?))
}

fn drawn(state: &AppState, page: &PolicyPage) -> Drawn {
    page.view(&frame(state, &state.snapshot(), Some(POLICY)))
}
