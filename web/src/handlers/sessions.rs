//! Where one is signed in, and the sessions that are ended: one's own, and for the owner those of everybody.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;

use super::frame::frame;
use super::sign_in::{own_name, status_of};
use crate::access::Access;
use crate::app::{App, AppState};
use crate::cookie::{on_signing_in, secret_of};
use crate::owner::sessions::{Sessions, ended, none_chosen};
use crate::owner::staff::PASSWORD;
use crate::pages::sessions::SESSION;
use crate::parts::Drawn;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::serve::peer::Caller;
use crate::staff::Try;
use crate::staff::sessions::{Secret, SessionId};
use crate::staff::visitor::visitor;
use crate::visit::answers::posted;

/// What a press has come to.
#[derive(Default)]
struct Came {
    chosen: Vec<SessionId>,
    done: String,
    problems: Vec<Problem>,
}

/// The page.
pub async fn page(State(state): App, jar: CookieJar) -> Drawn {
    drawn(&state, secret_of(&jar).as_ref(), Came::default())
}

/// Ends the sessions that were ticked, once the password was given.
pub async fn end(
    State(state): App,
    jar: CookieJar,
    Caller(address): Caller,
    body: Bytes,
) -> Result<Response, Refusal> {
    let name = own_name()?;
    let answers = posted(&body);
    let ticked = answers.0.iter().filter(|(field, _)| field == SESSION);
    let chosen: Vec<_> = ticked.filter_map(|(_, id)| SessionId::parse(id)).collect();
    let before = secret_of(&jar);
    if chosen.is_empty() {
        let came = Came { problems: vec![none_chosen()], ..Came::default() };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn(&state, before.as_ref(), came)).into_response());
    }
    let tried = Try { name: name.clone(), password: answers.get(PASSWORD).to_owned(), address };
    let signed_in = match state.staff.let_in(tried, before.clone(), state.clock.now().instant).await {
        Ok(signed_in) => signed_in,
        Err(why) => {
            let problems = vec![Problem { field: PASSWORD.to_owned(), say: why.say() }];
            let page = drawn(&state, before.as_ref(), Came { chosen, problems, ..Came::default() });
            return Ok((status_of(&why), page).into_response());
        }
    };
    let count = state.staff.end_sessions(&chosen, whose(&name));
    let page = drawn(&state, Some(&signed_in.secret), Came { done: ended(count), ..Came::default() });
    Ok((jar.add(on_signing_in(&signed_in.secret)), page).into_response())
}

/// Whose sessions somebody sees and ends: the owner those of everybody.
fn whose(name: &str) -> Option<&str> {
    (!visitor().may(Access::Owner)).then_some(name)
}

fn drawn(state: &AppState, own: Option<&Secret>, came: Came) -> Drawn {
    let now = state.clock.now().instant;
    let visitor = visitor();
    let name = visitor.name().unwrap_or_default();
    let sessions = Sessions {
        open: state.staff.sessions(whose(name), now),
        own: own.map(SessionId::of_secret),
        of_all: whose(name).is_none(),
        chosen: came.chosen,
        done: came.done,
        problems: came.problems,
    };
    sessions.page(now).view(&frame(state, &state.snapshot(), None))
}
