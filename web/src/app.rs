//! What every handler reaches: the shop, the open fittings, the limits and the time; and the router over it.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use axum::Router;
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;

use crate::clock::Clock;
use crate::config::Config;
use crate::fittings::Fittings;
use crate::layers::guarded;
use crate::routes::routes;
use crate::shelf::Held;
use crate::waiting::{Waiting, WaitingLimits};

/// Shared by all requests.
pub struct AppState {
    /// Store and snapshot.
    pub shop: Shop,
    /// The visits of today.
    pub fittings: Fittings,
    /// The boxes that are held.
    pub held: Held,
    /// Sheets that wait for the owner.
    pub waiting: Waiting,
    /// Limits per concern.
    pub config: Config,
    /// The only reader of time.
    pub clock: Clock,
    /// Whether the server is stopping: it finishes what it has, and wants nothing new.
    pub stopping: AtomicBool,
}

/// The state as handlers extract it.
pub type App = axum::extract::State<Arc<AppState>>;

impl AppState {
    /// A state over a shop.
    pub fn new(shop: Shop, config: Config, clock: Clock) -> Arc<Self> {
        let fittings = Fittings::new(config.fittings);
        let patience = config.requests.sheet_patience;
        let waiting = Waiting::new(WaitingLimits { patience, ..WaitingLimits::standard() });
        Arc::new(Self {
            shop,
            fittings,
            held: Held::default(),
            waiting,
            config,
            clock,
            stopping: AtomicBool::new(false),
        })
    }

    /// The catalogue as it is now; a request takes it once.
    pub fn snapshot(&self) -> Arc<Snapshot> {
        self.shop.snapshot()
    }
}

/// The whole application, guarded by every layer; tested without a socket.
pub fn app(state: &Arc<AppState>) -> Router {
    let router = routes().with_state(Arc::clone(state));
    guarded(router, &state.config)
}
