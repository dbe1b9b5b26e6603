//! Closes a fitting: asked once, then all of it is forgotten and its cookie deleted.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;

use super::fitting::{Opened, read_id, see_other};
use super::frame::fitting_frame;
use crate::app::App;
use crate::cookie::on_closing;
use crate::fittings::Fitting;
use crate::pages::fitting_close::ClosePage;
use crate::parts::act::Act;
use crate::parts::{Drawn, Link};
use crate::refusal::Refusal;

/// The question.
pub async fn ask(State(state): App, Path(id): Path<String>) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let name = opened.fitting.name.to_string();
    let frame = fitting_frame(&state, &opened.snapshot, &opened.id, &name, "Close");
    let page = ClosePage {
        name,
        loses: loses(&opened.fitting),
        close: Act::Post { action: visit.href("/close"), fields: Vec::new() },
        back: Link::new("Not yet", visit.href("")),
    };
    Ok(page.view(&frame))
}

/// The deed. Closing twice deletes the cookie twice: a second tablet may have shared the fitting.
pub async fn close(State(state): App, Path(id): Path<String>, jar: CookieJar) -> Result<Response, Refusal> {
    let id = read_id(&id)?;
    let was_open = state.fittings.close(&id, state.clock.now().instant);
    let jar = jar.add(on_closing(&id));
    let answer = if was_open { see_other("/") } else { Refusal::fitting_closed().into_response() };
    Ok((jar, answer).into_response())
}

fn loses(fitting: &Fitting) -> String {
    match fitting.shortlist.len() {
        0 => "the runner's answers".to_owned(),
        1 => "the runner's answers, 1 shoe brought out".to_owned(),
        count => format!("the runner's answers, {count} shoes brought out"),
    }
}
