//! Who the request thinks it is talking to: a page elsewhere can point a name of its own at this machine.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::config::Config;
use crate::events::Event;
use crate::refusal::Refusal;

/// Refuses with 421 a request without exactly one host of the allow-list, in its header and in its target alike.
pub(super) async fn allowed(State(config): State<Arc<Config>>, request: Request, next: Next) -> Response {
    let target_is_own = request.uri().authority().is_none_or(|target| config.hosts.allow(target.as_str()));
    match own_host(&request) {
        Some(host) if target_is_own && config.hosts.allow(host) => next.run(request).await,
        _ => {
            Event::OtherHost.tell();
            refused().into_response()
        }
    }
}

/// The one Host header; `None` when there is none, several, or no text in it.
pub(super) fn own_host(request: &Request) -> Option<&str> {
    let mut hosts = request.headers().get_all(header::HOST).iter();
    let host = hosts.next()?;
    hosts.next().is_none().then(|| host.to_str().ok()).flatten()
}

fn refused() -> Refusal {
    let say = say!(
        "This server does not answer to the name in the address. Use the address it printed when it started."
    );
    Refusal::new(StatusCode::MISDIRECTED_REQUEST, say!("Another address"), say)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{HOST, answer};
    use super::*;
    use axum::body::Body;

    async fn status(uri: &str, hosts: &[&str]) -> StatusCode {
        let request = Request::builder().uri(uri);
        let request = hosts.iter().fold(request, |request, host| request.header(header::HOST, *host));
        answer(request.body(Body::empty()).unwrap()).await.status()
    }

    #[tokio::test]
    async fn a_request_is_answered_only_under_the_servers_own_name() {
        assert_eq!(status("/", &[HOST]).await, StatusCode::OK);
        assert_eq!(status("/", &[]).await, StatusCode::MISDIRECTED_REQUEST);
        assert_eq!(status("/", &["evil.example:7340"]).await, StatusCode::MISDIRECTED_REQUEST);
        assert_eq!(status("/", &[HOST, "evil.example"]).await, StatusCode::MISDIRECTED_REQUEST);
    }

    #[tokio::test]
    async fn a_target_that_names_another_server_is_refused_whatever_the_header_says() {
        assert_eq!(status("http://localhost:7340/", &[HOST]).await, StatusCode::OK);
        assert_eq!(status("http://evil.example/", &[HOST]).await, StatusCode::MISDIRECTED_REQUEST);
    }

    #[tokio::test]
    async fn an_address_that_leads_nowhere_is_guarded_too() {
        assert_eq!(status("/nowhere", &["evil.example"]).await, StatusCode::MISDIRECTED_REQUEST);
    }
}
