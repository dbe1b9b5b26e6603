//! Whether new requests are welcome, for whoever watches the server.

use std::sync::atomic::Ordering;

use axum::http::StatusCode;

use crate::app::App;

/// `ready`, until the server is told to stop.
pub async fn ready(state: App) -> (StatusCode, &'static str) {
    if state.stopping.load(Ordering::Relaxed) {
        return (StatusCode::SERVICE_UNAVAILABLE, "stopping\n");
    }
    (StatusCode::OK, "ready\n")
}
