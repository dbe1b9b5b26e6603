//! The ranked list of a fitting over the sample shop: filters added, ways out, marks, what an answer changed, a scan.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod changed;
mod marks;
mod narrow;
mod scan;
mod ways;

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use indexer::sheet::{SheetLimits, SheetReader};
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::fittings::{Fitting, FittingId};
use web::sample::sample_shop;

const HOST: &str = "localhost:7340";

/// The answers of most visits here.
const RUNNER: [(&str, &str); 9] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("run.purpose", "daily"),
    ("stage.heading", "less"),
    ("flags.pain", "no"),
    ("now.style", "fennick.fm-410"),
    ("run.weekly_km", "32"),
    ("injury.calf.recent", "yes"),
];

/// The answers of [`RUNNER`], those that are named again in place of the first.
fn with<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = RUNNER.into_iter().filter(|(name, _)| !more.iter().any(|(other, _)| other == name));
    kept.chain(more.iter().copied()).collect()
}

struct Bench {
    state: Arc<AppState>,
    app: Router,
}

struct Answer {
    status: StatusCode,
    to: String,
    html: String,
}

impl Bench {
    fn new() -> Self {
        let reader =
            SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
        let state =
            AppState::new(sample_shop(reader, 1_000).unwrap(), Config::for_testing(), Clock::fixed(1_000));
        Self { app: app(&state), state }
    }

    async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.app.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let to = response.headers().get(header::LOCATION).map_or("", |to| to.to_str().unwrap()).to_owned();
        let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
        Answer { status, to, html: String::from_utf8_lossy(&bytes).into_owned() }
    }

    async fn get(&self, uri: &str) -> Answer {
        self.send(Request::get(uri).header(header::HOST, HOST).body(Body::empty()).unwrap()).await
    }

    async fn page(&self, uri: &str) -> String {
        let answer = self.get(uri).await;
        assert_eq!(answer.status, StatusCode::OK, "{uri}: {}", answer.html);
        answer.html
    }

    async fn post<N: AsRef<str>, V: AsRef<str>>(&self, uri: &str, fields: &[(N, V)]) -> Answer {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.extend_pairs(fields);
        let request = Request::post(uri)
            .header(header::HOST, HOST)
            .header(header::ORIGIN, format!("http://{HOST}"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(body.finish())).unwrap()).await
    }

    /// Opens a fitting with these answers; its address. Any other is closed: a testing desk holds three.
    async fn fitting(&self, answers: &[(&str, &str)]) -> String {
        let now = self.state.clock.now().instant;
        for open in self.state.fittings.list(now) {
            self.state.fittings.close(&open.id, now);
        }
        let none: [(&str, &str); 0] = [];
        let opened = self.post("/fittings", &none).await.to;
        let fitting = opened.strip_suffix("/runner").unwrap().to_owned();
        let answered = self.post(&opened, answers).await;
        assert_eq!(answered.to, fitting, "{}", answered.html);
        fitting
    }

    /// Maker and name of a shoe.
    fn name(&self, key: &str) -> String {
        let snapshot = self.state.snapshot();
        let style = snapshot.styles().iter().find(|style| style.key.as_str() == key).unwrap();
        format!("{} {}", style.maker, style.name)
    }

    fn held(&self, fitting: &str) -> Fitting {
        let id = FittingId::parse(fitting.rsplit('/').next().unwrap()).unwrap();
        self.state.fittings.with(&id, self.state.clock.now().instant, |fitting| fitting.clone()).unwrap()
    }

    /// The keys of all rows of a fitting's list, in the order in which they stand.
    async fn rows(&self, fitting: &str) -> Vec<String> {
        rows(&self.page(&format!("{fitting}?all=yes")).await)
    }
}

/// The keys of the rows of a page.
fn rows(html: &str) -> Vec<String> {
    between(html, "<h3><a href=\"/shoes/", "\"")
}

/// Every text between two others.
fn between(html: &str, from: &str, to: &str) -> Vec<String> {
    html.split(from).skip(1).map(|rest| rest.split(to).next().unwrap().to_owned()).collect()
}

/// The part of a page under the heading of this id, to the next section's end.
fn section<'h>(html: &'h str, id: &str) -> &'h str {
    let from = html.split_once(&format!("aria-labelledby=\"{id}\"")).map_or("", |(_, rest)| rest);
    from.split("</section>").next().unwrap()
}

/// The number that stands right before these words.
fn number_before(text: &str, words: &str) -> usize {
    let before = text.split(words).next().unwrap();
    let digits: String = before.chars().rev().take_while(char::is_ascii_digit).collect();
    digits.chars().rev().collect::<String>().parse().unwrap()
}
