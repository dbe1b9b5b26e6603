//! Brings shoes out, puts them back, and chooses one.

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use catalogue::key::StyleKey;

use super::fitting::{change, open, see_other};
use crate::app::{App, AppState};
use crate::fittings::Fitting;
use crate::refusal::Refusal;
use crate::visit::answers::posted;

/// More shoes than this are not brought out at a time: a bench holds no more.
const MOST: usize = 12;

/// `style` brings a shoe out, `drop` puts it back; `back` says that the comparison asked.
pub async fn shortlist(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let id = open(&state, &id)?;
    let said = posted(&body);
    let (out, back) = (known(&state, said.get("style")), StyleKey::parse(said.get("drop")));
    if out.is_none() && back.is_none() {
        return Err(not_understood().back_to(say!("To the order"), format!("/fittings/{id}")));
    }
    let taken = change(&state, &id, |fitting| edit(fitting, out, back.as_ref()))?;
    let order = format!("/fittings/{id}");
    if !taken {
        return Err(bench_is_full().back_to(say!("To the order"), order));
    }
    let from_compare = said.get("back") == "compare";
    Ok(see_other(&if from_compare { format!("{order}/compare") } else { order }))
}

/// `style` is the shoe that goes home; it is brought out if it was not.
pub async fn choose(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let id = open(&state, &id)?;
    let style = known(&state, posted(&body).get("style"))
        .ok_or_else(|| not_understood().back_to(say!("To the order"), format!("/fittings/{id}")))?;
    let taken = change(&state, &id, |fitting| {
        let taken = edit(fitting, Some(style.clone()), None);
        fitting.chosen = taken.then_some(style);
        taken
    })?;
    if taken { Ok(see_other(&format!("/fittings/{id}/card"))) } else { Err(bench_is_full()) }
}

/// A key of a style that the catalogue has.
fn known(state: &AppState, text: &str) -> Option<StyleKey> {
    StyleKey::parse(text).filter(|key| state.snapshot().style(key).is_some())
}

/// Whether there was room.
fn edit(fitting: &mut Fitting, out: Option<StyleKey>, back: Option<&StyleKey>) -> bool {
    fitting.shortlist.retain(|key| Some(key) != back);
    if let Some(back) = back {
        fitting.tries.take_off(back);
    }
    if fitting.chosen.as_ref() == back {
        fitting.chosen = None;
    }
    match out.filter(|key| !fitting.shortlist.contains(key)) {
        Some(_) if fitting.shortlist.len() >= MOST => false,
        out => {
            fitting.shortlist.extend(out);
            true
        }
    }
}

fn not_understood() -> Refusal {
    let say =
        say!("The request names no shoe of this catalogue. Nothing was changed; go back and choose one.");
    Refusal::new(StatusCode::BAD_REQUEST, say!("Which shoe?"), say)
}

fn bench_is_full() -> Refusal {
    let say = say!(
        "{value} shoes have been brought out, and no more are taken at a time. Put one back first.",
        value = MOST
    );
    Refusal::new(StatusCode::CONFLICT, say!("Enough shoes at the bench"), say)
}
