//! The card to take home, made to be printed.

use axum::extract::{Path, State};
use axum::http::{HeaderMap, header};

use super::fitting::{Opened, order_if_any};
use super::frame::fitting_frame;
use crate::app::App;
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::visit::card::{self, Printed};
use crate::visit::plan;

/// The card of the chosen shoe.
pub async fn card(State(state): App, Path(id): Path<String>, headers: HeaderMap) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let shown = order_if_any(&state, &visit)?;
    let frame = fitting_frame(&state, &opened, "Card");
    let printed =
        Printed { shop: &frame.shop, now: state.clock.now().unix_seconds, origin: origin(&headers) };
    // A stop, or a shoe that is gone meanwhile, leaves the card without a plan.
    let planned = plan::usual(&visit).and_then(|to| opened.snapshot.planned(&opened.fitting.runner, to).ok());
    let list = shown.as_ref().map(|shown| &shown.list);
    Ok(card::page(&visit, list, planned.as_ref(), &printed).view(&frame))
}

/// The server as the browser reached it: the guard has already held the host against the allow-list.
pub(super) fn origin(headers: &HeaderMap) -> String {
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
    host.map_or(String::new(), |host| format!("http://{host}"))
}
