//! A server whose catalogue is still being opened: it is alive, and says that it is not ready.

use std::sync::{Arc, OnceLock};

use axum::extract::{Request, State};
use axum::http::{HeaderValue, Method, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use hyper::service::Service;
use hyper_util::service::TowerToHyperService;

use crate::app::{AppState, app};
use crate::config::Config;
use crate::handlers::{assets, watch};
use crate::layers::guarded;
use crate::readiness::State as Stage;
use crate::refusal::{AsItStands, Refusal};

/// What answers: that it is starting, and then the application for good.
#[derive(Clone)]
pub struct Opening {
    starting: Router,
    opened: Arc<OnceLock<Opened>>,
}

struct Opened {
    state: Arc<AppState>,
    app: Router,
}

/// After so many seconds whoever asked may come again.
const COME_AGAIN: HeaderValue = HeaderValue::from_static("1");

impl Opening {
    /// Of a server that has these limits.
    pub fn of(config: &Config) -> Self {
        let starting = Router::new()
            .route("/healthz", get(watch::alive))
            .route("/readyz", get(not_ready))
            .route("/assets/{name}", get(assets::asset))
            .fallback(later);
        Self { starting: guarded(starting, config), opened: Arc::default() }
    }

    /// A router that answers from the first moment on.
    pub fn router(&self) -> Router {
        Router::new().fallback(answered).with_state(self.clone())
    }

    /// From now on the application answers.
    pub fn opened(&self, state: &Arc<AppState>) {
        // A second catalogue would be another server's.
        let _ = self.opened.set(Opened { state: Arc::clone(state), app: app(state) });
    }

    /// The server was told to stop.
    pub fn drain(&self) {
        if let Some(opened) = self.opened.get() {
            opened.state.readiness.set(Stage::Draining);
        }
    }
}

async fn answered(State(opening): State<Opening>, request: Request) -> Response {
    let app = opening.opened.get().map_or(&opening.starting, |opened| &opened.app);
    let answer = TowerToHyperService::new(app.clone()).call(request).await;
    // A router never fails.
    answer.unwrap_or_else(|never| match never {})
}

async fn not_ready() -> Response {
    let why = Stage::Starting.reason().unwrap_or_default();
    let later = [(header::RETRY_AFTER, COME_AGAIN)];
    (StatusCode::SERVICE_UNAVAILABLE, later, Extension(AsItStands), format!("{why}\n")).into_response()
}

/// What a tablet shows that was quicker than the server. A page that was only asked for asks again by itself.
async fn later(method: Method) -> Response {
    let say = say!("The catalogue is being opened. Nothing is lost; ask again in a moment.");
    let refusal = Refusal::new(StatusCode::SERVICE_UNAVAILABLE, say!("Just starting"), say);
    let mut response = ([(header::RETRY_AFTER, COME_AGAIN)], refusal).into_response();
    if method == Method::GET {
        response.headers_mut().insert(header::REFRESH, COME_AGAIN);
    }
    response
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::body::{Body, to_bytes};
    use indexer::sheet::{SheetLimits, SheetReader};
    use indexer::shop::Shop;
    use tower::ServiceExt;

    use crate::clock::Clock;

    async fn asked(opening: &Opening, path: &str) -> (u16, String) {
        let request = Request::get(path).header(header::HOST, "localhost:7340").body(Body::empty()).unwrap();
        let response = opening.router().oneshot(request).await.unwrap();
        let status = response.status().as_u16();
        (status, String::from_utf8(to_bytes(response.into_body(), 1 << 20).await.unwrap().to_vec()).unwrap())
    }

    #[tokio::test]
    async fn a_page_that_was_asked_for_too_early_asks_again_by_itself_and_a_form_does_not() {
        let opening = Opening::of(&Config::for_testing());
        for (method, again) in [("GET", true), ("POST", false)] {
            let request = Request::builder().method(method).uri("/").header(header::HOST, "localhost:7340");
            let request =
                request.header(header::ORIGIN, "http://localhost:7340").body(Body::empty()).unwrap();
            let response = opening.router().oneshot(request).await.unwrap();
            assert_eq!(response.status(), StatusCode::SERVICE_UNAVAILABLE, "{method}");
            assert_eq!(response.headers().contains_key(header::REFRESH), again, "{method}");
        }
    }

    #[tokio::test]
    async fn a_server_that_opens_its_catalogue_is_alive_and_not_ready_and_then_it_is() {
        let opening = Opening::of(&Config::for_testing());
        assert_eq!(asked(&opening, "/healthz").await, (200, "alive\n".to_owned()));
        let why = "starting: the catalogue is being opened\n";
        assert_eq!(asked(&opening, "/readyz").await, (503, why.to_owned()));
        for path in ["/", "/shoes.json", "/nowhere"] {
            let (status, page) = asked(&opening, path).await;
            let told = page.contains("The catalogue is being opened.");
            assert!(status == 503 && told && page.contains("request"), "{path}: {status} {page}");
        }
        let shop = Shop::in_memory(SheetReader::new("none".into(), SheetLimits::small())).unwrap();
        opening.opened(&AppState::without_staff(shop, Config::for_testing(), Clock::fixed(0)).unwrap());
        assert_eq!(asked(&opening, "/readyz").await, (200, "ready\n".to_owned()));
        assert_eq!(asked(&opening, "/shoes.json").await.0, 200);
        opening.drain();
        let (status, why) = asked(&opening, "/readyz").await;
        assert!(status == 503 && why.starts_with("stopping: "), "{why}");
    }
}
