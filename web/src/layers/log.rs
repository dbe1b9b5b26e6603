//! The log of requests: method, route, status and time. Never the target as it was typed: a query may hold words
//! about somebody's health, and so may a path that leads nowhere.

use std::fmt;
use std::time::Duration;

use axum::extract::{MatchedPath, Request};
use axum::http::{HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;
use tracing::Instrument;

use crate::clock::Stopwatch;
use crate::events::NO_ACCOUNT;
use crate::metrics;
use crate::staff::visitor::Visitor;

/// By which a line of the log and the answer that somebody saw are found together.
const HEADER: HeaderName = HeaderName::from_static("x-request-id");

/// The name of one request. Never the caller's own: that would be a text of theirs in the log.
#[derive(Clone, Debug)]
pub(crate) struct RequestId(String);

/// Names the request, logs its answer, and counts it.
pub(super) async fn logged(mut request: Request, next: Next) -> Response {
    let id = RequestId::fresh();
    let method = method(request.method());
    let matched = request.extensions().get::<MatchedPath>().cloned();
    let route = matched.as_ref().map_or(NOWHERE, MatchedPath::as_str);
    // As an error would be kept, so that whatever is told within names its request, however little is kept.
    let span = tracing::error_span!("request", request_id = id.0, method, route);
    request.extensions_mut().insert(id.clone());
    let watch = Stopwatch::begin();
    let mut response = next.run(request).instrument(span.clone()).await;
    let took = watch.took();
    let who = response.extensions().get::<Visitor>().map_or(NO_ACCOUNT, Visitor::who);
    span.in_scope(|| answered(who, response.status(), took));
    metrics::answered(method, route, response.status().as_u16(), took);
    if let Ok(id) = HeaderValue::from_str(&id.0) {
        response.headers_mut().insert(HEADER, id);
    }
    response
}

/// The route of a request that leads nowhere.
const NOWHERE: &str = "none";

/// The method, where it is one of HTTP's own: a caller may send any word.
fn method(method: &Method) -> &'static str {
    let known = [
        Method::GET,
        Method::HEAD,
        Method::POST,
        Method::PUT,
        Method::DELETE,
        Method::OPTIONS,
        Method::PATCH,
        Method::TRACE,
        Method::CONNECT,
    ];
    let names = ["GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT"];
    known.iter().position(|known| known == method).map_or("other", |at| names[at])
}

/// One line an answer; what failed on this side is an error.
fn answered(who: &str, status: StatusCode, took: Duration) {
    let (duration_ms, status) = ((took.as_secs_f64() * 10_000.0).round() / 10.0, status.as_u16());
    if status >= 500 {
        tracing::error!(who, status, duration_ms, "answered");
    } else {
        tracing::info!(who, status, duration_ms, "answered");
    }
}

impl RequestId {
    fn fresh() -> Self {
        let mut bytes = [0; 8];
        // Without chance all requests would share a name; they are answered all the same.
        let _ = getrandom::fill(&mut bytes);
        Self(format!("{:016x}", u64::from_be_bytes(bytes)))
    }
}

impl fmt::Display for RequestId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::super::tests::{answer, ask, text};
    use super::HEADER;
    use crate::log::{Lines, LogFormat};
    use axum::body::Body;
    use axum::http::header;
    use serde_json::Value;
    use std::io::Write;
    use std::sync::{Arc, LazyLock, Mutex};
    use tracing_subscriber::filter::LevelFilter;
    use tracing_subscriber::layer::SubscriberExt;
    use tracing_subscriber::util::SubscriberInitExt;

    /// What every test of the layers has logged. One logger for all of them, there before the first request: a
    /// logger that arrives while another thread registers a call site may miss that call site for good.
    pub(in super::super) static PAPER: LazyLock<Paper> = LazyLock::new(|| {
        let paper = Paper::default();
        let lines = Lines::to(LogFormat::Json, paper.clone());
        tracing_subscriber::registry().with(LevelFilter::TRACE).with(lines).init();
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

    impl Paper {
        fn text(&self) -> String {
            String::from_utf8(self.0.lock().unwrap().clone()).unwrap()
        }

        /// The lines of one request.
        fn of(&self, id: &str) -> Vec<Value> {
            let lines = self.text();
            let read = lines.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
            read.filter(|line| line["request_id"] == id).collect()
        }
    }

    async fn id_of(uri: &str) -> String {
        let response = answer(ask("GET", uri).body(Body::empty()).unwrap()).await;
        response.headers()[HEADER].to_str().unwrap().to_owned()
    }

    #[tokio::test]
    async fn the_log_names_route_and_status_and_nothing_that_was_typed() {
        let here = id_of("/logged/secret-id?words=achilles").await;
        let nowhere = id_of("/achilles?q=achilles").await;
        for (id, route, status) in [(here, "/logged/{id}", 200), (nowhere, "none", 404)] {
            let lines = PAPER.of(&id);
            let [line] = &lines[..] else { panic!("one line an answer: {lines:?}") };
            let told = (&line["method"], &line["route"], &line["status"], &line["level"]);
            assert_eq!(told, (&"GET".into(), &route.into(), &status.into(), &"INFO".into()));
            assert!(line["duration_ms"].is_number() && line["ts"].is_string(), "{line}");
        }
        let log = PAPER.text();
        assert!(!log.contains("achilles") && !log.contains("secret-id"), "{log}");
    }

    #[tokio::test]
    async fn no_word_of_a_header_or_a_method_reaches_the_log() {
        let request = ask("INJURED", "/")
            .header(header::REFERER, "http://localhost:7340/?q=ruptured")
            .header(header::COOKIE, "fitting=ruptured")
            .header(HEADER, "ruptured");
        let response = answer(request.body(Body::from("ruptured")).unwrap()).await;
        let id = response.headers()[HEADER].to_str().unwrap().to_owned();
        assert_eq!(PAPER.of(&id)[0]["method"], "other");
        let log = PAPER.text();
        assert!(!log.contains("ruptured") && !log.contains("INJURED"), "{log}");
    }

    #[tokio::test]
    async fn a_panic_is_an_error_in_the_log_under_the_name_that_its_page_gives() {
        let response = answer(ask("GET", "/panic").body(Body::empty()).unwrap()).await;
        let id = response.headers()[HEADER].to_str().unwrap().to_owned();
        let page = text(response).await;
        assert!(page.contains(&id), "{page}");
        let levels: Vec<_> = PAPER.of(&id).iter().map(|line| line["level"].clone()).collect();
        assert!(levels.len() >= 2 && levels.iter().all(|level| level == "ERROR"), "{levels:?}");
    }

    #[tokio::test]
    async fn a_refusal_names_its_request_to_programs_too_and_no_two_are_the_same() {
        let request = ask("GET", "/nowhere").header(header::ACCEPT, "application/json");
        let response = answer(request.body(Body::empty()).unwrap()).await;
        let id = response.headers()[HEADER].to_str().unwrap().to_owned();
        let problem: Value = serde_json::from_str(&text(response).await).unwrap();
        assert_eq!(problem["request_id"], id);
        assert_ne!(id_of("/").await, id_of("/").await);
    }
}
