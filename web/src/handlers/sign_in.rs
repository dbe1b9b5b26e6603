//! Signing in and out, and the password asked for again.

use axum::body::Bytes;
use axum::extract::{Query, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::cookie::CookieJar;
use serde::Deserialize;

use super::fitting::see_other;
use super::frame::bare_frame;
use crate::app::App;
use crate::cookie::{on_signing_in, on_signing_out, secret_of};
use crate::layers::access::{NAME_AGAIN, PASSWORD_AGAIN};
use crate::owner::staff::{NAME, PASSWORD, again_page, own_password_page, sign_in_page};
use crate::parts::Drawn;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::serve::peer::Caller;
use crate::staff::visitor::{Visitor, visitor};
use crate::staff::{NotLetIn, Try};
use crate::visit::answers::posted;

/// What a browser keeps of the pages it has seen is cleared when somebody leaves. Only heard over HTTPS.
const CLEARED: (HeaderName, HeaderValue) =
    (HeaderName::from_static("clear-site-data"), HeaderValue::from_static("\"cache\", \"storage\""));

/// Where to go on.
#[derive(Debug, Default, Deserialize)]
pub struct Onward {
    #[serde(default)]
    to: String,
}

/// A form that waits for a password.
pub(crate) struct Anew {
    /// Where it is posted.
    pub(crate) action: String,
    /// What was filled in.
    pub(crate) fields: Vec<(String, String)>,
    /// What was wrong with the password.
    pub(crate) wrong: Option<String>,
}

/// The address to sign in at, which leads back to `uri`.
pub(crate) fn to_sign_in(uri: &Uri) -> String {
    let to = uri.path_and_query().map_or("/", |target| target.as_str());
    let onward = form_urlencoded::Serializer::new(String::new()).append_pair("to", to).finish();
    format!("/sign-in?{onward}")
}

/// The page that asks for the password and goes on with the form.
pub(crate) fn anew(visitor: &Visitor, anew: Anew) -> Response {
    let names = (NAME_AGAIN, PASSWORD_AGAIN);
    let page = again_page(visitor, names, anew.action, anew.fields, anew.wrong);
    (StatusCode::UNAUTHORIZED, page.view(&bare_frame())).into_response()
}

/// The form; whoever needs no account is told so by being sent on.
pub async fn form(State(state): App, Query(onward): Query<Onward>) -> Response {
    if !state.staff.is_set_up() {
        let to = if state.config.listening.beyond_loopback { "/set-up" } else { "/staff" };
        return see_other(to);
    }
    sign_in_page(&within(&onward.to), "", None).view(&bare_frame()).into_response()
}

/// Lets somebody in.
pub async fn enter(State(state): App, jar: CookieJar, Caller(address): Caller, body: Bytes) -> Response {
    let answers = posted(&body);
    let to = within(answers.get("to"));
    let tried =
        Try { name: answers.get(NAME).to_owned(), password: answers.get(PASSWORD).to_owned(), address };
    let before = secret_of(&jar);
    match state.staff.let_in(tried, before, state.clock.now().instant).await {
        Ok(signed_in) => (jar.add(on_signing_in(&signed_in.secret)), see_other(&to)).into_response(),
        Err(why) => {
            let page = sign_in_page(&to, answers.get(NAME), Some(why.say()));
            (status_of(&why), page.view(&bare_frame())).into_response()
        }
    }
}

/// Signs this browser out.
pub async fn leave(State(state): App, jar: CookieJar) -> Response {
    if let Some(secret) = secret_of(&jar) {
        state.staff.sign_out(&secret);
    }
    (jar.add(on_signing_out()), [CLEARED], see_other("/sign-in")).into_response()
}

/// The form of another password of one's own.
pub async fn own_password() -> Result<Drawn, Refusal> {
    own_name()?;
    Ok(own_password_page(Vec::new()).view(&bare_frame()))
}

/// Keeps another password of one's own.
pub async fn keep_own_password(
    State(state): App,
    jar: CookieJar,
    Caller(address): Caller,
    body: Bytes,
) -> Result<Response, Refusal> {
    let name = own_name()?;
    let answers = posted(&body);
    let refused = |status, problem: Problem| {
        let page = own_password_page(vec![problem]).view(&bare_frame());
        Ok((status, page).into_response())
    };
    if let Some(problem) = super::staff::repeated_wrongly(&answers) {
        return refused(StatusCode::UNPROCESSABLE_ENTITY, problem);
    }
    let present = answers.get(crate::owner::staff::PRESENT).to_owned();
    let tried = Try { name: name.clone(), password: present, address };
    let before = secret_of(&jar);
    let signed_in = match state.staff.let_in(tried, before, state.clock.now().instant).await {
        Ok(signed_in) => signed_in,
        Err(why) => {
            let field = crate::owner::staff::PRESENT.to_owned();
            return refused(status_of(&why), Problem { field, say: why.say() });
        }
    };
    // The password until now was right: the browser goes on under a new secret, whatever becomes of the new one.
    let jar = jar.add(on_signing_in(&signed_in.secret));
    let kept = state.staff.set_password(&name, answers.get(PASSWORD), Some(&signed_in.secret)).await;
    let response = match kept {
        Ok(()) => see_other("/"),
        Err(why) => {
            let page = own_password_page(vec![why.problem()]).view(&bare_frame());
            (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
        }
    };
    Ok((jar, response).into_response())
}

pub(super) fn own_name() -> Result<String, Refusal> {
    let say = say!("Nobody is signed in on this browser, so there is no password to change.");
    let nobody =
        || Refusal::new(StatusCode::CONFLICT, say!("No account"), say).back_to(say!("Staff"), "/staff");
    visitor().name().map(str::to_owned).ok_or_else(nobody)
}

pub(super) fn status_of(why: &NotLetIn) -> StatusCode {
    match why {
        NotLetIn::Wrong => StatusCode::UNAUTHORIZED,
        NotLetIn::Wait(_) => StatusCode::TOO_MANY_REQUESTS,
        NotLetIn::Broken => StatusCode::INTERNAL_SERVER_ERROR,
    }
}

/// An address of this server only: `//elsewhere` and `/\elsewhere` would be another's.
fn within(to: &str) -> String {
    let own = to.starts_with('/') && !to[1..].starts_with(['/', '\\']) && !to.chars().any(char::is_control);
    if own { to.to_owned() } else { "/".to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_signs_in_goes_on_within_this_server() {
        assert_eq!(within("/shoes?surface=road"), "/shoes?surface=road");
        for elsewhere in ["//evil.example", "/\\evil.example", "http://evil.example", "", "/a\nb"] {
            assert_eq!(within(elsewhere), "/", "{elsewhere}");
        }
        assert_eq!(to_sign_in(&Uri::from_static("/changes?page=2")), "/sign-in?to=%2Fchanges%3Fpage%3D2");
    }
}
