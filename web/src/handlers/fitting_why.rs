//! Why one shoe stands where it stands, alone or beside another of the order; as a page and as JSON.

use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use catalogue::key::StyleKey;
use indexer::snapshot::{Snapshot, StyleCard};
use serde::Deserialize;

use super::fitting::{Opened, order_if_any, see_other};
use super::frame::fitting_frame;
use crate::app::App;
use crate::refusal::Refusal;
use crate::visit::Visit;
use crate::visit::why::{self, above, pair::Pair};
use crate::wire::why::WhyReply;

/// The end of the address of the twin. No key of a style holds a second dot, so that no shoe can be meant.
const JSON: &str = ".json";

/// The shoe to set beside it.
#[derive(Default, Deserialize)]
pub struct Asked {
    beside: Option<String>,
}

/// The explanation of a shoe of the catalogue; a stopped fitting has none, and its page says why.
pub async fn why(
    State(state): App,
    Path((id, style)): Path<(String, String)>,
    Query(asked): Query<Asked>,
) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let (style, as_json) = style.strip_suffix(JSON).map_or((style.as_str(), false), |style| (style, true));
    let card = card(&visit, &opened.snapshot, style)?;
    let other = asked.beside.filter(|other| other != style);
    let other = other.map(|other| self::card(&visit, &opened.snapshot, &other)).transpose()?;
    let Some(shown) = order_if_any(&state, &visit)? else {
        return if as_json { Err(stopped(&visit)) } else { Ok(see_other(&visit.href(""))) };
    };
    if as_json {
        let pair = other.map(|other| Pair::of(&visit, &shown, card, other));
        return Ok(Json(WhyReply::of(&visit, &shown, &card, pair.as_ref())).into_response());
    }
    let frame = fitting_frame(&state, &opened, "Stock in order");
    let page = match other {
        None => why::page(&visit, &shown, &card).view(&frame),
        Some(other) => {
            let pair = Pair::of(&visit, &shown, card, other);
            above::page(&visit, &shown, &pair, &card.style.key).view(&frame)
        }
    };
    Ok(page.into_response())
}

fn card<'s>(visit: &Visit<'_>, snapshot: &'s Snapshot, style: &str) -> Result<StyleCard<'s>, Refusal> {
    let card = StyleKey::parse(style).and_then(|key| snapshot.style(&key));
    card.ok_or_else(|| no_such_shoe().back_to(say!("To the order"), visit.href("")))
}

fn no_such_shoe() -> Refusal {
    let say =
        say!("No sheet has brought in a shoe of this address. Go back to the order and choose one of it.");
    Refusal::new(StatusCode::NOT_FOUND, say!("This shoe is not in the catalogue"), say)
}

/// A red flag: there is no order, and so nothing to explain.
fn stopped(visit: &Visit<'_>) -> Refusal {
    let say = say!(
        "A red flag has stopped the ordering, so that no shoe has a place to explain. The fitting’s page says which, why, and whom to see."
    );
    Refusal::new(StatusCode::CONFLICT, say!("No order"), say).back_to(say!("To the fitting"), visit.href(""))
}
