//! Why one shoe stands where it stands.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use catalogue::key::StyleKey;

use super::fitting::{Opened, order_if_any, see_other};
use super::frame::fitting_frame;
use crate::app::App;
use crate::refusal::Refusal;
use crate::visit::why;

/// The explanation of a shoe of the catalogue; a stopped fitting has none, and its page says why.
pub async fn why(State(state): App, Path((id, style)): Path<(String, String)>) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let card = StyleKey::parse(&style).and_then(|key| opened.snapshot.style(&key));
    let card = card.ok_or_else(|| no_such_shoe().back_to("To the order", visit.href("")))?;
    let Some(shown) = order_if_any(&state, &visit)? else { return Ok(see_other(&visit.href(""))) };
    let name = opened.fitting.name.to_string();
    let frame = fitting_frame(&state, &opened.snapshot, &opened.id, &name, "Stock in order");
    Ok(why::page(&visit, &shown, &card).view(&frame).into_response())
}

fn no_such_shoe() -> Refusal {
    let say = "No sheet has brought in a shoe of this address. Go back to the order and choose one of it.";
    Refusal::new(StatusCode::NOT_FOUND, "This shoe is not in the catalogue", say)
}
