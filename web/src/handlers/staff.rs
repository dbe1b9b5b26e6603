//! The staff: who may sign in, and the first owner.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;
use indexer::store::Role;

use super::fitting::see_other;
use super::frame::{bare_frame, frame};
use crate::app::{App, AppState};
use crate::cookie::{on_signing_in, secret_of};
use crate::owner::staff::{CODE, NAME, PASSWORD, REPEATED, set_up_page, staff_page};
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::serve::peer::Caller;
use crate::staff::visitor::visitor;
use crate::staff::{SignedIn, Try};
use crate::visit::answers::posted;

/// Everybody.
pub async fn page(State(state): App) -> Result<Response, Refusal> {
    drawn(&state, StatusCode::OK, "", &Answers::default(), Vec::new())
}

/// Adds an account; the first one signs its browser in, for from then on everybody signs in.
pub async fn add(
    State(state): App,
    jar: CookieJar,
    Caller(address): Caller,
    body: Bytes,
) -> Result<Response, Refusal> {
    let answers = posted(&body);
    if let Some(problem) = repeated_wrongly(&answers) {
        return refused(&state, &answers, problem);
    }
    let now = state.clock.now();
    let (name, password) = (answers.get(NAME), answers.get(PASSWORD));
    if !state.staff.is_set_up() {
        let first = Try { name: name.to_owned(), password: password.to_owned(), address };
        return match state.staff.set_up("", first, now).await {
            Ok(signed_in) => Ok(went_in(jar, &signed_in)),
            Err(why) => refused(&state, &answers, why.problem()),
        };
    }
    let Some(role) = Role::from_word(answers.get("role")) else {
        let say = say!("Choose what the account may do.").to_owned();
        return refused(&state, &answers, Problem { field: "role".to_owned(), say });
    };
    match state.staff.add(name, password, role, now.unix_seconds).await {
        Ok(()) => {
            let done = say!("{name} may sign in now.", name = name.trim());
            drawn(&state, StatusCode::OK, &done, &Answers::default(), Vec::new())
        }
        Err(why) => refused(&state, &answers, why.problem()),
    }
}

/// Removes an account.
pub async fn remove(State(state): App, body: Bytes) -> Result<Response, Refusal> {
    let answers = posted(&body);
    match state.staff.remove(answers.get(NAME)) {
        Ok(()) => {
            let done = say!("{name} is removed and signed out.", name = answers.get(NAME));
            drawn(&state, StatusCode::OK, &done, &Answers::default(), Vec::new())
        }
        Err(why) => refused(&state, &Answers::default(), why.problem()),
    }
}

/// Signs a name out on every browser.
pub async fn sign_out(State(state): App, jar: CookieJar, body: Bytes) -> Result<Response, Refusal> {
    let answers = posted(&body);
    let own = secret_of(&jar);
    state.staff.sign_out_everywhere(answers.get(NAME), own.as_ref());
    let done = say!("{name} is signed out.", name = answers.get(NAME));
    drawn(&state, StatusCode::OK, &done, &Answers::default(), Vec::new())
}

/// The form of the first owner; there is none once somebody has an account.
pub async fn set_up_form(State(state): App) -> Response {
    match elsewhere(&state) {
        Some(to) => see_other(to),
        None => set_up_page("", Vec::new()).view(&bare_frame()).into_response(),
    }
}

/// Makes the first owner by the code that was printed.
pub async fn set_up(State(state): App, jar: CookieJar, Caller(address): Caller, body: Bytes) -> Response {
    if let Some(to) = elsewhere(&state) {
        return see_other(to);
    }
    let answers = posted(&body);
    let refused = |problem: Problem| {
        let page = set_up_page(answers.get(NAME), vec![problem]).view(&bare_frame());
        (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
    };
    if let Some(problem) = repeated_wrongly(&answers) {
        return refused(problem);
    }
    let first =
        Try { name: answers.get(NAME).to_owned(), password: answers.get(PASSWORD).to_owned(), address };
    match state.staff.set_up(answers.get(CODE), first, state.clock.now()).await {
        Ok(signed_in) => went_in(jar, &signed_in),
        Err(why) => refused(why.problem()),
    }
}

/// Where the first account is made at the computer itself, and where one signs in once there is one.
fn elsewhere(state: &AppState) -> Option<&'static str> {
    if state.staff.is_set_up() {
        return Some("/sign-in");
    }
    (!state.config.listening.beyond_loopback).then_some("/staff")
}

fn went_in(jar: CookieJar, signed_in: &SignedIn) -> Response {
    (jar.add(on_signing_in(&signed_in.secret)), see_other("/staff")).into_response()
}

/// A password typed twice is typed the same twice.
pub(super) fn repeated_wrongly(answers: &Answers) -> Option<Problem> {
    let same = answers.get(PASSWORD) == answers.get(REPEATED);
    let say = say!("The two are not the same. Type both again.");
    (!same).then(|| Problem { field: REPEATED.to_owned(), say: say.to_owned() })
}

fn refused(state: &AppState, answers: &Answers, problem: Problem) -> Result<Response, Refusal> {
    drawn(state, StatusCode::UNPROCESSABLE_ENTITY, "", answers, vec![problem])
}

fn drawn(
    state: &AppState,
    status: StatusCode,
    done: &str,
    answers: &Answers,
    problems: Vec<Problem>,
) -> Result<Response, Refusal> {
    let members = state.staff.members(state.clock.now().instant)?;
    let new = (answers.get(NAME), Role::from_word(answers.get("role")));
    let page = staff_page(members, &visitor(), done, new, problems);
    let frame = frame(state, &state.snapshot(), None);
    Ok((status, page.view(&frame)).into_response())
}
