//! Where a request comes from.

use std::convert::Infallible;
use std::net::IpAddr;

use axum::extract::FromRequestParts;
use axum::http::request::Parts;

/// The address a request comes from, as the accept loop marks it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Peer(pub IpAddr);

/// The address for a handler; none where a test asks without a socket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caller(pub Option<IpAddr>);

impl<S: Sync> FromRequestParts<S> for Caller {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _state: &S) -> Result<Self, Infallible> {
        Ok(Self(parts.extensions.get::<Peer>().map(|peer| peer.0)))
    }
}
