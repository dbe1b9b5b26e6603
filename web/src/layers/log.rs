//! The log of requests: method, route, status and time. Never the target as it was typed: a query may hold words
//! about somebody's health, and so may a path that leads nowhere.

use std::time::Duration;

use axum::extract::{MatchedPath, Request};
use axum::response::Response;
use tracing::Span;

/// The layer, as a macro because its type cannot be named shortly.
macro_rules! layer {
    () => {
        tower_http::trace::TraceLayer::new_for_http()
            .make_span_with($crate::layers::log::span)
            .on_request(())
            .on_failure(())
            .on_response($crate::layers::log::answered)
    };
}
pub(super) use layer;

/// The span of a request: it names the route, with its parameters unfilled.
pub(super) fn span(request: &Request) -> Span {
    let route = request.extensions().get::<MatchedPath>().map_or("none", MatchedPath::as_str);
    tracing::info_span!("request", method = %request.method(), route)
}

/// One line an answer.
// The signature is tower-http's.
#[allow(clippy::trivially_copy_pass_by_ref)]
pub(super) fn answered(response: &Response, took: Duration, _span: &Span) {
    tracing::info!(status = response.status().as_u16(), ms = took.as_millis() as u64, "answered");
}

#[cfg(test)]
mod tests {
    use super::super::tests::{answer, ask};
    use axum::body::Body;
    use std::io::Write;
    use std::sync::{Arc, Mutex};

    #[derive(Clone, Default)]
    struct Paper(Arc<Mutex<Vec<u8>>>);

    impl Write for Paper {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.lock().unwrap().write(bytes)
        }

        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[tokio::test]
    async fn the_log_names_route_and_status_and_nothing_that_was_typed() {
        let paper = Paper::default();
        let written = paper.clone();
        let logger = tracing_subscriber::fmt()
            .with_max_level(tracing::Level::TRACE)
            .with_ansi(false)
            .with_writer(move || paper.clone());
        let _here = tracing::subscriber::set_default(logger.finish());
        for uri in ["/fittings/secret-id?words=achilles", "/achilles?q=achilles", "/?q=achilles"] {
            answer(ask("GET", uri).body(Body::empty()).unwrap()).await;
        }
        let log = String::from_utf8(written.0.lock().unwrap().clone()).unwrap();
        assert!(log.contains("method=GET route=\"/fittings/{id}\"") && log.contains("status=200"), "{log}");
        assert!(log.contains("route=\"none\"") && log.contains("status=404"), "{log}");
        assert!(!log.contains("achilles") && !log.contains("secret-id"), "{log}");
    }
}
