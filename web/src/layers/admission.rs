//! How many requests may work the catalogue at once: as many as there are processors to do it, some more in a queue, and
//! no others, so that whoever is let in is answered soon.
//!
//! What waits for the store or a sheet waits elsewhere, and is not counted here.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use tokio::sync::{Semaphore, SemaphorePermit};

use crate::config::RequestLimits;
use crate::refusal::Refusal;

/// Routes whose answer is worked out of the catalogue.
const WORKED_OUT: [&str; 15] = [
    "/shoes",
    "/shoes.json",
    "/shoes.csv",
    "/shoes.xlsx",
    "/shoes/{style}/similar.json",
    "/compare",
    "/stock-map",
    "/scan",
    "/rank.json",
    "/fittings/{id}",
    "/fittings/{id}/scan",
    "/fittings/{id}/why/{style}",
    "/fittings/{id}/compare",
    "/fittings/{id}/stock-map",
    "/fittings/{id}/plan",
];

/// After so many seconds a request that was turned away may come again.
const COME_AGAIN: HeaderValue = HeaderValue::from_static("1");

/// The door.
pub(super) struct Admission {
    at_work: Semaphore,
    waiting: AtomicUsize,
    most_waiting: usize,
}

/// One of those who wait; it leaves the queue however its waiting ends.
struct InQueue<'a>(&'a AtomicUsize);

impl Admission {
    pub(super) fn of(limits: &RequestLimits) -> Self {
        Self {
            at_work: Semaphore::new(limits.at_work),
            waiting: AtomicUsize::new(0),
            most_waiting: limits.waiting,
        }
    }

    /// Waits for its turn; `None` when too many wait already.
    async fn enter(&self) -> Option<SemaphorePermit<'_>> {
        if let Ok(permit) = self.at_work.try_acquire() {
            return Some(permit);
        }
        let before = self.waiting.fetch_add(1, Ordering::Relaxed);
        let _in_queue = InQueue(&self.waiting);
        if before >= self.most_waiting {
            return None;
        }
        self.at_work.acquire().await.ok()
    }
}

impl Drop for InQueue<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Lets a request in, makes it wait, or turns it away with 503.
pub(super) async fn admitted(State(door): State<Arc<Admission>>, request: Request, next: Next) -> Response {
    let route = request.extensions().get::<MatchedPath>().map_or("", MatchedPath::as_str);
    if !WORKED_OUT.contains(&route) {
        return next.run(request).await;
    }
    match door.enter().await {
        Some(_permit) => next.run(request).await,
        None => turned_away(),
    }
}

fn turned_away() -> Response {
    let say = say!("Too many ask at once. Nothing is lost; ask again in a second.");
    let refusal = Refusal::new(StatusCode::SERVICE_UNAVAILABLE, say!("Too busy just now"), say);
    ([(header::RETRY_AFTER, COME_AGAIN)], refusal).into_response()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{ask, logged};
    use super::*;
    use crate::config::Config;
    use axum::Router;
    use axum::body::Body;
    use axum::routing::get;
    use std::time::Duration;
    use tower::ServiceExt;

    /// One at work, two in the queue; a search ends when it is told to.
    fn house(end: &Arc<Semaphore>) -> Router {
        let mut config = Config::for_testing();
        (config.requests.at_work, config.requests.waiting) = (1, 2);
        let end = Arc::clone(end);
        let search = move || {
            let end = Arc::clone(&end);
            async move {
                end.acquire().await.map(SemaphorePermit::forget).ok();
                "found"
            }
        };
        let router = Router::new().route("/shoes", get(search)).route("/healthz", get(async || "alive"));
        logged(router, &config)
    }

    async fn asked(house: &Router, path: &str) -> Response {
        house.clone().oneshot(ask("GET", path).body(Body::empty()).unwrap()).await.unwrap()
    }

    #[tokio::test]
    async fn one_more_than_the_queue_holds_is_turned_away_and_the_others_are_answered() {
        let end = Arc::new(Semaphore::new(0));
        let house = house(&end);
        let in_queue: Vec<_> = (0..3)
            .map(|_| {
                let house = house.clone();
                tokio::spawn(async move { asked(&house, "/shoes").await.status() })
            })
            .collect();
        tokio::time::sleep(Duration::from_millis(20)).await;
        let refused = asked(&house, "/shoes").await;
        assert_eq!(refused.status(), StatusCode::SERVICE_UNAVAILABLE);
        assert_eq!(refused.headers()[header::RETRY_AFTER], "1");
        assert_eq!(
            asked(&house, "/healthz").await.status(),
            StatusCode::OK,
            "what searches nothing is let by"
        );
        end.add_permits(3);
        for answer in in_queue {
            assert_eq!(answer.await.unwrap(), StatusCode::OK);
        }
        end.add_permits(1);
        assert_eq!(asked(&house, "/shoes").await.status(), StatusCode::OK, "the queue is empty again");
    }

    #[tokio::test]
    async fn who_gives_up_leaves_the_queue() {
        let end = Arc::new(Semaphore::new(0));
        let house = house(&end);
        let first = tokio::spawn({
            let house = house.clone();
            async move { asked(&house, "/shoes").await.status() }
        });
        tokio::time::sleep(Duration::from_millis(20)).await;
        for _ in 0..5 {
            let gone = tokio::time::timeout(Duration::from_millis(5), asked(&house, "/shoes")).await;
            assert!(gone.is_err(), "it waits until it gives up");
        }
        end.add_permits(1);
        assert_eq!(first.await.unwrap(), StatusCode::OK);
    }

    #[test]
    fn every_route_that_is_counted_is_on_the_map() {
        let map = include_str!("../routes.rs");
        for route in WORKED_OUT {
            assert!(map.contains(&format!("\"{route}\"")), "{route}");
        }
    }
}
