//! How fast the body of a request comes: a place held by one that hardly comes at all is lost to everybody else.

use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::task::{Context, Poll, ready};
use std::time::Duration;

use axum::body::{Body, Bytes, HttpBody};
use axum::extract::{Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use hyper::body::{Frame, SizeHint};
use tokio::time::{Instant, Sleep, sleep};

use crate::config::{Config, Pace};
use crate::refusal::Refusal;

/// How far a body has come, for whoever waits for what is made of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Progress(Arc<AtomicU8>);

const HERE: u8 = 0;
const COMING: u8 = 1;
const TOO_SLOW: u8 = 2;

impl Progress {
    /// Whether a handler waits for more of it.
    pub(super) fn is_coming(&self) -> bool {
        self.0.load(Ordering::Relaxed) == COMING
    }

    fn is_too_slow(&self) -> bool {
        self.0.load(Ordering::Relaxed) == TOO_SLOW
    }

    fn set(&self, how: u8) {
        self.0.store(how, Ordering::Relaxed);
    }
}

/// Breaks a body off that comes too slowly, and answers 408 whatever the handler made of the rest.
pub(super) async fn paced(State(config): State<Arc<Config>>, request: Request, next: Next) -> Response {
    if request.body().is_end_stream() {
        return next.run(request).await;
    }
    let progress = Progress::default();
    let (mut parts, body) = request.into_parts();
    parts.extensions.insert(progress.clone());
    let body = Paced::of(body, config.requests.pace, progress.clone());
    let response = next.run(Request::from_parts(parts, Body::new(body))).await;
    if progress.is_too_slow() { too_slow() } else { response }
}

/// The answer to a body that does not come.
pub(super) fn too_slow() -> Response {
    let say = say!(
        "What was sent came too slowly and was broken off, so nothing was done. Move nearer to the wireless station and send it again."
    );
    let refusal = Refusal::new(StatusCode::REQUEST_TIMEOUT, say!("Came too slowly"), say);
    ([(header::CONNECTION, HeaderValue::from_static("close"))], refusal).into_response()
}

struct Paced {
    body: Body,
    pace: Pace,
    progress: Progress,
    /// Since the first asking, and when the next look is due.
    begun: Option<(Instant, Pin<Box<Sleep>>)>,
    come: u64,
}

/// Between two looks.
const LOOK: Duration = Duration::from_secs(1);

impl Paced {
    fn of(body: Body, pace: Pace, progress: Progress) -> Self {
        Self { body, pace, progress, begun: None, come: 0 }
    }

    /// Ready once the pace is missed.
    fn missed(&mut self, cx: &mut Context<'_>) -> Poll<()> {
        let pace = self.pace;
        let (begun, look) = self.begun.get_or_insert_with(|| {
            let first = pace.grace.min(pace.whole);
            let look = sleep(first);
            (look.deadline() - first, Box::pin(look))
        });
        loop {
            ready!(look.as_mut().poll(cx));
            let now = look.deadline();
            if pace.is_missed(self.come, now - *begun) {
                return Poll::Ready(());
            }
            look.as_mut().reset((now + LOOK).min(*begun + pace.whole));
        }
    }
}

impl HttpBody for Paced {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        match Pin::new(&mut self.body).poll_frame(cx) {
            Poll::Pending => {
                self.progress.set(COMING);
                ready!(self.missed(cx));
                self.progress.set(TOO_SLOW);
                Poll::Ready(Some(Err(axum::Error::new("the body comes too slowly"))))
            }
            Poll::Ready(Some(Ok(frame))) => {
                // Whoever has it all may never ask for its end.
                self.progress.set(HERE);
                self.come += frame.data_ref().map_or(0, Bytes::len) as u64;
                Poll::Ready(Some(Ok(frame)))
            }
            end @ Poll::Ready(_) => {
                self.progress.set(HERE);
                end
            }
        }
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{ask, logged, text};
    use super::*;
    use axum::Router;
    use axum::routing::post;
    use tower::ServiceExt;

    /// A body of one byte and then silence.
    struct Silent(bool);

    impl HttpBody for Silent {
        type Data = Bytes;
        type Error = axum::Error;

        fn poll_frame(
            mut self: Pin<&mut Self>,
            _: &mut Context<'_>,
        ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
            if std::mem::replace(&mut self.0, true) {
                return Poll::Pending;
            }
            Poll::Ready(Some(Ok(Frame::data(Bytes::from_static(b"x")))))
        }
    }

    async fn answered(change: impl FnOnce(&mut Config), body: Body) -> Response {
        let mut config = Config::for_testing();
        change(&mut config);
        let router = Router::new().route("/", post(|body: String| async move { body.len().to_string() }));
        let request = ask("POST", "/").header("sec-fetch-site", "same-origin").body(body).unwrap();
        logged(router, &config).oneshot(request).await.unwrap()
    }

    #[tokio::test]
    async fn a_body_below_its_pace_is_broken_off_and_told_so_in_place_of_the_handlers_answer() {
        let short = |config: &mut Config| config.requests.pace.grace = Duration::from_millis(10);
        let response = answered(short, Body::new(Silent(false))).await;
        assert_eq!(response.status(), StatusCode::REQUEST_TIMEOUT);
        assert_eq!(response.headers()[header::CONNECTION], "close");
        assert!(text(response).await.contains("came too slowly"));
    }

    #[tokio::test]
    async fn a_body_that_is_not_here_in_its_whole_time_is_broken_off_however_fast_it_came() {
        let short = |config: &mut Config| {
            config.requests.pace =
                Pace { whole: Duration::from_millis(10), bytes_a_second: 0, ..Pace::standard() };
        };
        let status = answered(short, Body::new(Silent(false))).await.status();
        assert_eq!(status, StatusCode::REQUEST_TIMEOUT);
    }

    #[tokio::test]
    async fn an_answer_out_of_time_for_want_of_its_body_is_the_senders_fault() {
        let short = |config: &mut Config| config.requests.answer = Duration::from_millis(10);
        let status = answered(short, Body::new(Silent(false))).await.status();
        assert_eq!(status, StatusCode::REQUEST_TIMEOUT);
    }

    #[tokio::test]
    async fn a_body_that_comes_is_left_alone() {
        assert_eq!(text(answered(|_| (), Body::from("shoes")).await).await, "5");
        assert_eq!(text(answered(|_| (), Body::empty()).await).await, "0");
    }
}
