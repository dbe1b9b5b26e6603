//! The runner's form, and the two answers that the list itself asks for.

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use catalogue::runner::Runner;
use serde::Deserialize;

use super::fitting::{Opened, change, not_offered, open, order_if_any, see_other};
use super::frame::fitting_frame;
use crate::app::{App, AppState};
use crate::parts::Drawn;
use crate::parts::form::Answers;
use crate::parts::layout::Frame;
use crate::parts::problems::Problem;
use crate::refusal::{PlacedError, Refusal};
use crate::visit::changed::{self, Ordered};
use crate::visit::order::{Shown, removed};
use crate::visit::{Visit, answers, meanwhile, runner_page, ways};

/// Which section of the form a link leads to.
#[derive(Deserialize)]
pub struct Opens {
    open: Option<String>,
}

/// The form with what is known.
pub async fn form(
    State(state): App,
    Path(id): Path<String>,
    Query(opens): Query<Opens>,
) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let frame = frame(&state, &opened);
    let answers = opened.fitting.answers.clone();
    Ok(runner_page::page(&opened.visit(), answers, Vec::new(), opens.open.as_deref()).view(&frame))
}

/// Takes the answers: on to the order; else the form again, each fault at its field, with what was typed. What another
/// window has said meanwhile is kept beside them; where both differ, the form comes back and says so.
pub async fn answer(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let now = &opened.fitting.answers;
    let (said, differs) = meanwhile::joined(&answers::of_the_form(now), answers::posted(&body));
    let said = answers::kept(now, said);
    if !differs.is_empty() {
        let problems = meanwhile::of_the_runner(&opened.snapshot, &differs);
        return Ok(again(&state, &opened, StatusCode::CONFLICT, said, problems));
    }
    match answers::read(said.clone(), &opened.snapshot) {
        Ok(read) => take(&state, &opened, read),
        Err(problems) => Ok(again(&state, &opened, StatusCode::UNPROCESSABLE_ENTITY, said, problems)),
    }
}

/// The form with what was typed and what stands against it.
fn again(
    state: &AppState,
    opened: &Opened,
    status: StatusCode,
    said: Answers,
    problems: Vec<Problem>,
) -> Response {
    let page = runner_page::page(&opened.visit(), said, problems, None);
    (status, page.view(&frame(state, opened))).into_response()
}

/// Orders for less although a gate is closed, or waits after all.
pub async fn step_anyway(
    State(state): App,
    Path(id): Path<String>,
    body: Bytes,
) -> Result<Response, Refusal> {
    open(&state, &id)?;
    let posted = answers::posted(&body);
    let anyway = match posted.get("anyway") {
        "yes" => true,
        "no" => false,
        other => return Err(not_offered("anyway", other, say!("press one of the buttons of the order"))),
    };
    with_answers(&state, &id, |said| answers::with_anyway(said, anyway))
}

/// Which pain is current, where two pull apart; a blank takes the answer back.
pub async fn current(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let posted = answers::posted(&body);
    let region = posted.get("region");
    let named = Opened::of(&state, &id)?.fitting.answers;
    if !region.is_empty() && !answers::names_injury(&named, region) {
        return Err(not_offered("region", region, say!("choose one of the pains that the history names")));
    }
    with_answers(&state, &id, |said| answers::with_current(said, region))
}

fn with_answers(
    state: &AppState,
    id: &str,
    edit: impl FnOnce(Answers) -> Answers,
) -> Result<Response, Refusal> {
    let opened = Opened::of(state, id)?;
    let read = answers::read(edit(opened.fitting.answers.clone()), &opened.snapshot).map_err(unread)?;
    take(state, &opened, read)
}

/// Keeps what was answered, and says what it changed in an order that somebody has seen.
fn take(state: &AppState, opened: &Opened, read: (Runner, Answers)) -> Result<Response, Refusal> {
    let before = opened.visit();
    let mut after = opened.visit();
    (after.fitting.runner, after.fitting.answers) = read.clone();
    let was = if before.fitting.order.is_some() { order_if_any(state, &before)? } else { None };
    after.fitting.order = None;
    let changed = was.and_then(|was| said(&before, &was, &after));
    change(state, &opened.id, |fitting| {
        (fitting.runner, fitting.answers) = read;
        fitting.order = None;
        fitting.changed = changed;
    })?;
    Ok(see_other(&before.href("")))
}

/// What is different; nothing is said where a red flag has ended the order.
fn said(before: &Visit<'_>, was: &Shown, after: &Visit<'_>) -> Option<String> {
    let fitting = &after.fitting;
    let list = after.snapshot.ranked(&fitting.runner, &removed(&fitting.removed_chips)).ok()?;
    let is = Shown::of(list, None, after.snapshot);
    changed::in_words(&Ordered { visit: before, shown: was }, &Ordered { visit: after, shown: &is })
}

/// One of the ways out of an empty list that is an answer.
pub async fn way(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let (visit, posted) = (opened.visit(), answers::posted(&body));
    let chosen = ways::WAYS.iter().find(|field| !posted.get(field).is_empty());
    let fitting = chosen.and_then(|field| ways::answered(&visit, field, posted.get(field)));
    let Some(fitting) = fitting else {
        let say = say!("The request names no way that is known here. Nothing was changed.");
        let refusal = Refusal::new(StatusCode::BAD_REQUEST, say!("Which way?"), say);
        return Err(refusal.back_to(say!("To the order"), visit.href("")));
    };
    take(&state, &opened, (fitting.runner, fitting.answers))
}

/// Answers that were taken once can only fail when the catalogue has lost the style they name.
fn unread(problems: Vec<Problem>) -> Refusal {
    let error = |problem: Problem| PlacedError { place: problem.field, say: problem.say };
    Refusal::unread_answers(problems.into_iter().map(error).collect())
}

fn frame(state: &AppState, opened: &Opened) -> Frame {
    fitting_frame(state, opened, "Runner")
}
