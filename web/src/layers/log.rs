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
pub(super) mod tests {
    use super::super::tests::{answer, ask};
    use axum::body::Body;
    use std::io::Write;
    use std::sync::{Arc, LazyLock, Mutex};

    /// What every test of the layers has logged. One logger for all of them, there before the first request: a
    /// logger that arrives while another thread registers a call site may miss that call site for good.
    pub(in super::super) static PAPER: LazyLock<Paper> = LazyLock::new(|| {
        let paper = Paper::default();
        let sheet = paper.clone();
        let logger = tracing_subscriber::fmt().with_max_level(tracing::Level::TRACE).with_ansi(false);
        logger.with_writer(move || sheet.clone()).init();
        paper
    });

    #[derive(Clone, Default)]
    pub(in super::super) struct Paper(Arc<Mutex<Vec<u8>>>);

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
        for uri in ["/logged/secret-id?words=achilles", "/achilles?q=achilles"] {
            answer(ask("GET", uri).body(Body::empty()).unwrap()).await;
        }
        let log = String::from_utf8(PAPER.0.lock().unwrap().clone()).unwrap();
        let has = |route: &str, status: &str| {
            log.lines()
                .any(|line| line.contains("method=GET") && line.contains(route) && line.contains(status))
        };
        assert!(has("route=\"/logged/{id}\"", "status=200"), "{log}");
        assert!(has("route=\"none\"", "status=404"), "{log}");
        assert!(!log.contains("achilles") && !log.contains("secret-id"), "{log}");
    }
}
