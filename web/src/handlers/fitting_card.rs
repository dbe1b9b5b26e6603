//! The card to take home, made to be printed.

use axum::body::Bytes;
use axum::extract::{Path, RawQuery, State};
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};

use super::fitting::{Opened, change, not_offered, open, order_if_any, see_other};
use super::frame::fitting_frame;
use crate::app::{App, AppState};
use crate::config::Listening;
use crate::pages::card::{CardPage, Paper};
use crate::parts::Drawn;
use crate::parts::layout::Frame;
use crate::refusal::Refusal;
use crate::visit::answers::posted;
use crate::visit::card::{self, Printed};

/// The card, on A4 unless the address says `paper=a6`.
pub async fn card(
    State(state): App,
    Path(id): Path<String>,
    RawQuery(query): RawQuery,
    headers: HeaderMap,
) -> Result<Drawn, Refusal> {
    let paper = if query.as_deref() == Some("paper=a6") { Paper::A6 } else { Paper::A4 };
    let (page, frame) = made(&state, &id, paper, &headers)?;
    Ok(page.view(&frame))
}

/// The same as plain text, with all that the larger sheet holds.
pub async fn text(
    State(state): App,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Refusal> {
    let (page, _) = made(&state, &id, Paper::A4, &headers)?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], page.text()).into_response())
}

/// `hurt=yes` prints what hurt, `hurt=no` leaves it out.
pub async fn hurt(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let id = open(&state, &id)?;
    let said = posted(&body);
    let printed = match said.get("hurt") {
        "yes" => true,
        "no" => false,
        other => return Err(not_offered("hurt", other, say!("press one of the two buttons of the card"))),
    };
    change(&state, &id, |fitting| fitting.prints_hurt = printed)?;
    Ok(see_other(&format!("/fittings/{id}/card")))
}

fn made(state: &AppState, id: &str, paper: Paper, headers: &HeaderMap) -> Result<(CardPage, Frame), Refusal> {
    let opened = Opened::of(state, id)?;
    let visit = opened.visit();
    let shown = order_if_any(state, &visit)?;
    let frame = fitting_frame(state, &opened, "Card");
    let printed = Printed {
        shop: &frame.shop,
        now: state.clock.now().unix_seconds,
        origin: origin(headers, state.config.listening),
        paper,
    };
    // A stop, or a shoe that is gone meanwhile, leaves the card without a plan.
    let planned = card::first(&visit).and_then(|to| opened.snapshot.planned(&opened.fitting.runner, to).ok());
    let list = shown.as_ref().map(|shown| &shown.list);
    Ok((card::page(&visit, list, planned.as_ref(), &printed), frame))
}

/// The server as the browser reached it: the guard has already held the host against the allow-list.
pub(super) fn origin(headers: &HeaderMap, listening: Listening) -> String {
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
    host.map_or(String::new(), |host| format!("{}://{host}", listening.scheme()))
}
