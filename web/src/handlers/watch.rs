//! For whoever watches over the server: alive, ready, and its numbers.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use axum::Extension;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

use crate::app::{App, AppState};
use crate::metrics::{self, Shop, resident_bytes, text};
use crate::openapi;
use crate::readiness;
use crate::refusal::AsItStands;

/// Whoever reads this is answered, whatever else is the matter.
pub async fn alive() -> &'static str {
    "alive\n"
}

/// The version of the program.
pub async fn version() -> &'static str {
    concat!(env!("CARGO_PKG_VERSION"), "\n")
}

/// Ready, or why not.
pub async fn ready(State(state): App) -> Response {
    match state.readiness.state().reason() {
        None => "ready\n".into_response(),
        Some(why) => {
            let later = [(header::RETRY_AFTER, "1")];
            (StatusCode::SERVICE_UNAVAILABLE, later, Extension(AsItStands), format!("{why}\n"))
                .into_response()
        }
    }
}

/// Every address with what it takes and gives.
pub async fn description() -> Response {
    ([(header::CONTENT_TYPE, "application/json")], openapi::document()).into_response()
}

/// The numbers, for Prometheus.
pub async fn numbers(State(state): App) -> Response {
    let now = state.clock.now().instant;
    let snapshot = state.snapshot();
    let shop = Shop {
        open_fittings: state.fittings.list(now).len(),
        styles: snapshot.styles().len(),
        skus: snapshot.skus().len(),
        change: snapshot.seq().0,
        imported: imported(&state, snapshot.seq().0).await,
        resident_bytes: resident_bytes(),
        ready: state.readiness.state() == readiness::State::Ready,
    };
    ([(header::CONTENT_TYPE, text::CONTENT_TYPE)], metrics::told(&shop)).into_response()
}

/// When a sheet was last imported, as it was told at a change of the catalogue.
#[derive(Debug)]
pub struct LastImport {
    change: AtomicI64,
    at: AtomicI64,
}

/// Nothing is known.
const NEVER: i64 = i64::MIN;

impl Default for LastImport {
    fn default() -> Self {
        Self { change: AtomicI64::new(NEVER), at: AtomicI64::new(NEVER) }
    }
}

/// Asks the store once a change, and not while one is being made: a long import would hold up whoever watches.
async fn imported(state: &Arc<AppState>, change: i64) -> Option<i64> {
    let known = &state.last_import;
    if known.change.load(Ordering::Acquire) != change {
        let state = Arc::clone(state);
        let asked = tokio::task::spawn_blocking(move || state.shop.ask(|store| store.last_import()));
        let at = asked.await.ok()?.ok()?;
        known.at.store(at.unwrap_or(NEVER), Ordering::Release);
        known.change.store(change, Ordering::Release);
    }
    Some(known.at.load(Ordering::Acquire)).filter(|at| *at != NEVER)
}

#[cfg(test)]
mod tests {
    use axum::body::{Body, to_bytes};
    use axum::http::{Request, StatusCode, header};
    use indexer::sheet::{SheetLimits, SheetReader};
    use indexer::shop::Shop;
    use tower::ServiceExt;

    use crate::app::{AppState, app};
    use crate::clock::Clock;
    use crate::config::Config;
    use crate::readiness::State;

    #[tokio::test]
    async fn a_server_that_is_not_ready_says_why_and_is_alive() {
        let shop = Shop::in_memory(SheetReader::new("none".into(), SheetLimits::small())).unwrap();
        let state = AppState::without_staff(shop, Config::for_testing(), Clock::fixed(0)).unwrap();
        let asked = async |path: &str| {
            let request =
                Request::get(path).header(header::HOST, "localhost:7340").body(Body::empty()).unwrap();
            let response = app(&state).oneshot(request).await.unwrap();
            let status = response.status();
            (
                status,
                String::from_utf8(to_bytes(response.into_body(), 1 << 16).await.unwrap().to_vec()).unwrap(),
            )
        };
        assert_eq!(asked("/readyz").await, (StatusCode::OK, "ready\n".to_owned()));
        state.readiness.set(State::Rebuilding);
        assert_eq!(
            asked("/readyz").await,
            (StatusCode::SERVICE_UNAVAILABLE, "the index is being rebuilt\n".to_owned())
        );
        state.readiness.set(State::Draining);
        let (status, why) = asked("/readyz").await;
        assert!(status == StatusCode::SERVICE_UNAVAILABLE && why.starts_with("stopping: "), "{why}");
        assert_eq!(asked("/healthz").await, (StatusCode::OK, "alive\n".to_owned()));
        assert!(asked("/metrics").await.1.contains("\nlastbench_ready 0\n"));
    }
}
