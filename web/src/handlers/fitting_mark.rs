//! Keeps a shoe on top, sets it aside, or takes either back.

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use catalogue::key::StyleKey;

use super::fitting::{change, open, see_other};
use crate::app::App;
use crate::refusal::Refusal;
use crate::visit::answers::posted;
use crate::visit::marks;

/// `style` with `kind` and `reason` marks a shoe, `free` takes its mark back. The order is not made anew.
pub async fn mark(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let id = open(&state, &id)?;
    let said = posted(&body);
    let here = format!("/fittings/{id}");
    let known = |text: &str| StyleKey::parse(text).filter(|key| state.snapshot().style(key).is_some());
    let marked = known(said.get("style")).zip(marks::read(said.get("kind"), said.get("reason")));
    // A mark may outlive its shoe: taking it back asks for no shoe.
    let freed = StyleKey::parse(said.get("free"));
    if marked.is_none() && freed.is_none() {
        return Err(not_understood().back_to(say!("To the order"), here));
    }
    change(&state, &id, |fitting| {
        if let Some(key) = freed {
            fitting.marks.remove(&key);
        }
        fitting.marks.extend(marked);
    })?;
    Ok(see_other(&here))
}

fn not_understood() -> Refusal {
    let say = say!(
        "The request names no shoe of this catalogue, or no reason that is known here. Nothing was changed."
    );
    Refusal::new(StatusCode::BAD_REQUEST, say!("Which shoe, and why?"), say)
}
