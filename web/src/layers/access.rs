//! Who asks, and whether they may.
//!
//! The outer half finds out who sent a request; the inner half stands before every address that not anybody may use.
//! Whoever may not is shown the way in, and what they filled in goes with them.

use std::net::IpAddr;
use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::cookie::CookieJar;

use super::drawn::reads_json;
use crate::access::Access;
use crate::app::AppState;
use crate::cookie;
use crate::events::Event;
use crate::handlers::sign_in::{Anew, anew, to_sign_in};
use crate::refusal::Refusal;
use crate::serve::peer::Peer;
use crate::staff::sessions::Secret;
use crate::staff::visitor::{Visitor, scope};
use crate::staff::{SignedIn, Try};
use crate::visit::answers::posted;

/// What a password is posted as beside the fields of the form that asks for it.
pub(crate) const PASSWORD_AGAIN: &str = "password-again";
/// What a name is posted as beside them.
pub(crate) const NAME_AGAIN: &str = "name-again";

/// Who asks, as the request carries it.
#[derive(Clone)]
pub(crate) struct Asker {
    visitor: Visitor,
    secret: Option<Secret>,
    address: Option<IpAddr>,
    state: Arc<AppState>,
}

/// The catalogue can only be looked at: for the page of a refusal, which is drawn further out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shut;

/// Finds out who sent the request.
pub(crate) async fn known(State(state): State<Arc<AppState>>, mut request: Request, next: Next) -> Response {
    let secret = cookie::secret_of(&CookieJar::from_headers(request.headers()));
    let visitor = state.staff.visitor(secret.as_ref(), state.clock.now().instant);
    let address = request.extensions().get::<Peer>().map(|peer| peer.0);
    let shut = state.shop.is_read_only().then_some(Shut);
    request.extensions_mut().insert(Asker { visitor: visitor.clone(), secret, address, state });
    let mut response = scope(visitor.clone(), next.run(request)).await;
    // For the page of a refusal, which is drawn further out.
    response.extensions_mut().insert(visitor);
    if let Some(shut) = shut {
        response.extensions_mut().insert(shut);
    }
    response
}

/// Lets the request through when its visitor may, or has just shown that they may.
pub(crate) async fn checked(access: Access, request: Request, next: Next) -> Response {
    let Some(asker) = request.extensions().get::<Asker>().cloned() else {
        return Refusal::not_yours(&Visitor::SignedOut).into_response();
    };
    if asker.visitor.may(access) || (access == Access::Scraper && asker.scrapes_here(request.headers())) {
        return next.run(request).await;
    }
    if request.method() == Method::POST && is_form(&request) && asker.could_show() {
        return shown(access, asker, request, next).await;
    }
    let is_unknown = asker.visitor == Visitor::SignedOut;
    if is_unknown {
        Event::SentToSignIn.tell();
    } else {
        Event::TurnedAway.tell();
    }
    let is_read = request.method() == Method::GET || request.method() == Method::HEAD;
    if is_unknown && is_read && !reads_json(&request) {
        return Redirect::to(&to_sign_in(request.uri())).into_response();
    }
    Refusal::not_yours(&asker.visitor).into_response()
}

impl Asker {
    /// Before there are accounts a password shows nothing.
    fn could_show(&self) -> bool {
        matches!(self.visitor, Visitor::SignedOut | Visitor::SignedIn { .. })
    }

    /// Whether a program on this computer asks, as far as can be seen, and may. By the address of the connection: a header
    /// lets nobody in, and one that a proxy adds keeps out whoever is behind it. Many a proxy adds none, so that it has to
    /// be said at the start that there is none.
    fn scrapes_here(&self, headers: &HeaderMap) -> bool {
        let is_here = self.address.is_some_and(|address| address.to_canonical().is_loopback());
        self.state.config.metrics_on_loopback && is_here && !was_sent_on(headers)
    }
}

/// Headers of requests that somebody sends on for others.
const SENT_ON: [&str; 3] = ["forwarded", "via", "x-real-ip"];

fn was_sent_on(headers: &HeaderMap) -> bool {
    headers.keys().any(|name| SENT_ON.contains(&name.as_str()) || name.as_str().starts_with("x-forwarded"))
}

/// A form that needs the password: asked for with what was filled in, which goes on once it is right.
async fn shown(access: Access, asker: Asker, request: Request, next: Next) -> Response {
    let (mut parts, body) = request.into_parts();
    let limit = asker.state.config.requests.form;
    let Ok(body) = to_bytes(body, limit).await else {
        return Refusal::too_large(limit, None).into_response();
    };
    let (shown, fields): (Vec<_>, Vec<_>) =
        posted(&body).0.into_iter().partition(|(name, _)| name == PASSWORD_AGAIN || name == NAME_AGAIN);
    let given = |wanted: &str| shown.iter().find(|(name, _)| name == wanted).map(|(_, value)| value.clone());
    let action = parts.uri.path_and_query().map_or("/", |target| target.as_str()).to_owned();
    let page = |wrong: Option<String>| {
        anew(&asker.visitor, Anew { action: action.clone(), fields: fields.clone(), wrong })
    };
    let Some(password) = given(PASSWORD_AGAIN) else {
        Event::AskedAnew.tell();
        return page(None);
    };
    let name = asker.visitor.name().map(str::to_owned).or_else(|| given(NAME_AGAIN)).unwrap_or_default();
    let tried = Try { name, password, address: asker.address };
    let now = asker.state.clock.now().instant;
    let SignedIn { secret, visitor } = match asker.state.staff.let_in(tried, asker.secret.clone(), now).await
    {
        Ok(signed_in) => signed_in,
        Err(why) => return page(Some(why.say())),
    };
    let cookie = cookie::on_signing_in(&secret);
    let response = if visitor.may(access) {
        let rest = form_urlencoded::Serializer::new(String::new()).extend_pairs(&fields).finish();
        parts.headers.insert(header::CONTENT_LENGTH, rest.len().into());
        parts.extensions.insert(Asker { visitor: visitor.clone(), secret: Some(secret), ..asker });
        scope(visitor, next.run(Request::from_parts(parts, Body::from(rest)))).await
    } else {
        Event::TurnedAway.tell_of(visitor.who(), None, asker.address);
        Refusal::not_yours(&visitor).into_response()
    };
    (CookieJar::new().add(cookie), response).into_response()
}

fn is_form(request: &Request) -> bool {
    let kind = request.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    kind.is_some_and(|kind| kind.starts_with("application/x-www-form-urlencoded"))
}

impl Refusal {
    /// What is somebody else's.
    fn not_yours(visitor: &Visitor) -> Self {
        match visitor {
            Visitor::BeforeSetUp => {
                let say = say!(
                    "Other computers can reach this server and nobody has an account yet, so the owner's pages are closed. The owner opens /set-up and types the code that was printed where the server was started."
                );
                Self::new(StatusCode::FORBIDDEN, say!("Not set up yet"), say)
                    .back_to(say!("Set up the first account"), "/set-up")
            }
            Visitor::SignedOut => {
                let say = say!(
                    "Nobody is signed in on this browser. Sign in, then send it again; nothing was changed."
                );
                Self::new(StatusCode::UNAUTHORIZED, say!("Sign in first"), say)
                    .back_to(say!("Sign in"), "/sign-in")
            }
            Visitor::AtTheComputer | Visitor::SignedIn { .. } => {
                let say = say!("This belongs to the owner. Sign in as the owner; nothing was changed.");
                Self::new(StatusCode::FORBIDDEN, say!("For the owner"), say)
                    .back_to(say!("Sign in as somebody else"), "/sign-in")
            }
        }
    }
}
