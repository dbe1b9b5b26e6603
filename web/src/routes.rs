//! The map of addresses.

use std::sync::Arc;

use axum::Router;

use crate::app::AppState;
use crate::handlers::assets;

/// Every address and what answers it, user by user.
pub fn routes() -> Router<Arc<AppState>> {
    Router::new().merge(machines())
}

/// For browsers and machines.
fn machines() -> Router<Arc<AppState>> {
    use axum::routing::get;
    Router::new().route("/assets/{name}", get(assets::asset)).route("/healthz", get(async || "alive\n"))
}
