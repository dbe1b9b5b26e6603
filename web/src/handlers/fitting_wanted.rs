//! A size that was asked for and is not there.

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use catalogue::key::StyleKey;

use super::fitting::{Opened, see_other};
use super::fitting_on_foot::{is_size, want};
use crate::app::App;
use crate::refusal::Refusal;
use crate::visit::answers::posted;

/// `style` with `size` counts a size of a style of the catalogue, without saying for whom.
pub async fn wanted(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let (said, here) = (posted(&body), opened.visit().href(""));
    let style = StyleKey::parse(said.get("style")).filter(|style| opened.snapshot.style(style).is_some());
    let size = said.get("size").trim();
    let Some(style) = style.filter(|_| is_size(size)) else {
        let say = say!("The request names no shoe of this catalogue, or no size. Nothing was counted.");
        let refusal = Refusal::new(StatusCode::BAD_REQUEST, say!("Which shoe, in which size?"), say);
        return Err(refusal.back_to(say!("To the order"), here));
    };
    want(&state, &opened.id, &style, size).await?;
    Ok(see_other(&format!("{here}#order-in")))
}
