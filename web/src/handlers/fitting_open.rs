//! Opens a fitting from the desk.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;
use catalogue::runner::Runner;

use super::fitting::see_other;
use crate::app::App;
use crate::cookie::on_opening;
use crate::fittings::NotOpened;
use crate::refusal::Refusal;

/// A new fitting of which nothing is asked yet; on to the runner's form.
pub async fn open(State(state): App, jar: CookieJar) -> Result<Response, Refusal> {
    let id = state.fittings.open(Runner::default(), state.clock.now().instant).map_err(refused)?;
    let jar = jar.add(on_opening(&id, &state.config.fittings));
    Ok((jar, see_other(&format!("/fittings/{id}/runner"))).into_response())
}

// By value: it is the argument of `map_err`.
#[allow(clippy::needless_pass_by_value)]
fn refused(fault: NotOpened) -> Refusal {
    // A full house is nobody's fault: whoever closes a fitting can open one.
    let status = match fault {
        NotOpened::NoRandomNumber => StatusCode::SERVICE_UNAVAILABLE,
        NotOpened::Full(_) => StatusCode::CONFLICT,
    };
    Refusal::new(status, say!("No fitting was opened"), fault.to_string())
}
