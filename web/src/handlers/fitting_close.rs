//! Closes a fitting: asked once, then all of it is forgotten and its cookie deleted.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;
use catalogue::key::StyleKey;
use catalogue::trying::Remark;
use indexer::store::Counted;

use super::fitting::{Opened, read_id, see_other};
use super::frame::fitting_frame;
use crate::app::{App, AppState};
use crate::cookie::on_closing;
use crate::fittings::Fitting;
use crate::owner::at_store::at_store;
use crate::pages::fitting_close::ClosePage;
use crate::parts::act::Act;
use crate::parts::{Drawn, Link};
use crate::refusal::Refusal;
use crate::tries::Tries;
use crate::visit::{Visit, shoe};
use crate::words;

/// The question.
pub async fn ask(State(state): App, Path(id): Path<String>) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let name = opened.fitting.name.to_string();
    let frame = fitting_frame(&state, &opened, "Close");
    let page = ClosePage {
        name,
        loses: loses(&opened.fitting),
        counts: counts(&visit),
        close: Act::Post { action: visit.href("/close"), fields: Vec::new() },
        back: Link::new(say!("Not yet"), visit.href("")),
    };
    Ok(page.view(&frame))
}

/// The deed. Closing twice deletes the cookie twice: a second tablet may have shared the fitting. What is counted of the
/// shoes is no reason to keep a fitting open: where it cannot be stored, it is lost.
pub async fn close(State(state): App, Path(id): Path<String>, jar: CookieJar) -> Result<Response, Refusal> {
    let id = read_id(&id)?;
    let now = state.clock.now();
    let tries = state.fittings.close(&id, now.instant);
    let jar = jar.add(on_closing(&id));
    let answer = match tries {
        Some(tries) => {
            count(&state, &tries, now.unix_seconds).await;
            see_other("/")
        }
        None => Refusal::fitting_closed().into_response(),
    };
    Ok((jar, answer).into_response())
}

async fn count(state: &Arc<AppState>, tries: &Tries, now: i64) {
    let lines: Vec<_> =
        tries.counted().map(|(style, remark)| (Counted::OnFoot(remark), style.to_string())).collect();
    if lines.is_empty() {
        return;
    }
    if at_store(state, move |state| state.shop.tally(&lines, now)).await.is_err() {
        tracing::warn!("what was seen on the foot could not be counted");
    }
}

/// `Fennick Marl 3: heel slips`, one a remark.
fn counts(visit: &Visit<'_>) -> Vec<String> {
    let say = |(style, remark): (&StyleKey, Remark)| {
        let card = visit.snapshot.style(style)?;
        Some(format!("{}: {}", shoe::name(card.style), words::of(remark.shop_note())))
    };
    visit.fitting.tries.counted().filter_map(say).collect()
}

fn loses(fitting: &Fitting) -> String {
    match fitting.shortlist.len() {
        0 => say!("the runner's answers").to_owned(),
        1 => say!("the runner's answers, 1 shoe brought out").to_owned(),
        count => say!("the runner's answers, {count} shoes brought out", count),
    }
}
