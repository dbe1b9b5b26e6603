//! A server whose catalogue is still being opened: it is alive, and says that it is not ready.

use std::sync::{Arc, OnceLock};

use axum::extract::{Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::{Router, body::Body};
use hyper::service::Service;
use hyper_util::service::TowerToHyperService;

use crate::app::{AppState, app};
use crate::readiness::State as Stage;

/// What answers: nothing yet, and then the application for good.
#[derive(Clone, Default)]
pub struct Opening(Arc<OnceLock<Opened>>);

struct Opened {
    state: Arc<AppState>,
    app: Router,
}

impl Opening {
    /// A router that answers from the first moment on.
    pub fn router(&self) -> Router {
        Router::new().fallback(answered).with_state(self.clone())
    }

    /// From now on the application answers.
    pub fn opened(&self, state: &Arc<AppState>) {
        // A second catalogue would be another server's.
        let _ = self.0.set(Opened { state: Arc::clone(state), app: app(state) });
    }

    /// The server was told to stop.
    pub fn drain(&self) {
        if let Some(opened) = self.0.get() {
            opened.state.readiness.set(Stage::Draining);
        }
    }
}

async fn answered(State(opening): State<Opening>, request: Request<Body>) -> Response {
    match opening.0.get() {
        Some(opened) => {
            let answer = TowerToHyperService::new(opened.app.clone()).call(request).await;
            // A router never fails.
            answer.unwrap_or_else(|never| match never {})
        }
        None if request.uri().path() == "/healthz" => "alive\n".into_response(),
        None => {
            let why = Stage::Starting.reason().unwrap_or_default();
            let head = [(header::RETRY_AFTER, "1"), (header::CACHE_CONTROL, "no-store")];
            (StatusCode::SERVICE_UNAVAILABLE, head, format!("{why}\n")).into_response()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::to_bytes;
    use indexer::sheet::{SheetLimits, SheetReader};
    use indexer::shop::Shop;
    use tower::ServiceExt;

    use crate::clock::Clock;
    use crate::config::Config;

    async fn asked(opening: &Opening, path: &str) -> (u16, String) {
        let request = Request::get(path).header(header::HOST, "localhost:7340").body(Body::empty()).unwrap();
        let response = opening.router().oneshot(request).await.unwrap();
        let status = response.status().as_u16();
        (status, String::from_utf8(to_bytes(response.into_body(), 1 << 20).await.unwrap().to_vec()).unwrap())
    }

    #[tokio::test]
    async fn a_server_that_opens_its_catalogue_is_alive_and_not_ready_and_then_it_is() {
        let opening = Opening::default();
        assert_eq!(asked(&opening, "/healthz").await, (200, "alive\n".to_owned()));
        for path in ["/readyz", "/", "/shoes.json"] {
            let (status, why) = asked(&opening, path).await;
            assert!(status == 503 && why.starts_with("starting: "), "{path}: {status} {why}");
        }
        let shop = Shop::in_memory(SheetReader::new("none".into(), SheetLimits::small())).unwrap();
        opening.opened(&AppState::new(shop, Config::for_testing(), Clock::fixed(0)));
        assert_eq!(asked(&opening, "/readyz").await, (200, "ready\n".to_owned()));
        assert_eq!(asked(&opening, "/shoes.json").await.0, 200);
        opening.drain();
        let (status, why) = asked(&opening, "/readyz").await;
        assert!(status == 503 && why.starts_with("stopping: "), "{why}");
    }
}
