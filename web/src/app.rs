//! What every handler reaches: the shop, the open fittings, the limits and the time; and the router over it.

use std::sync::Arc;

use axum::Router;
use axum::middleware::from_fn_with_state;
use indexer::error::OpenError;
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;
use indexer::store::StaffBook;

use crate::clock::Clock;
use crate::config::Config;
use crate::fittings::Fittings;
use crate::handlers::watch::LastImport;
use crate::layers::{access, guarded};
use crate::readiness::{self, Readiness};
use crate::routes::routes;
use crate::shelf::Held;
use crate::staff::Staff;
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
    /// Who may do what.
    pub staff: Arc<Staff>,
    /// Limits per concern.
    pub config: Config,
    /// Whether requests are wanted.
    pub readiness: Readiness,
    /// For whoever watches.
    pub last_import: LastImport,
    /// The only reader of time.
    pub clock: Clock,
}

/// The state as handlers extract it.
pub type App = axum::extract::State<Arc<AppState>>;

impl AppState {
    /// A state over a shop whose staff is `staff`.
    pub fn with_staff(shop: Shop, staff: Staff, config: Config, clock: Clock) -> Arc<Self> {
        let fittings = Fittings::new(config.fittings);
        let patience = config.requests.sheet_patience;
        let waiting = Waiting::new(WaitingLimits { patience, ..WaitingLimits::standard() });
        let readiness = Readiness::of(readiness::State::Ready);
        let last_import = LastImport::default();
        Arc::new(Self {
            shop,
            fittings,
            held: Held::default(),
            waiting,
            staff: Arc::new(staff),
            config,
            readiness,
            last_import,
            clock,
        })
    }

    /// A state over a shop without any accounts, which last no longer than the process.
    ///
    /// # Errors
    /// SQLite cannot be started.
    pub fn without_staff(shop: Shop, config: Config, clock: Clock) -> Result<Arc<Self>, OpenError> {
        let staff = Staff::new(StaffBook::in_memory()?, config.listening.beyond_loopback)?;
        Ok(Self::with_staff(shop, staff, config, clock))
    }

    /// Forgets whatever in memory has had its time: fittings, sessions, boxes held, sheets that wait, wrong passwords.
    /// All of it is counted by a clock that never jumps.
    pub fn forget_what_is_over(&self) {
        let now = self.clock.now().instant;
        self.fittings.sweep(now);
        self.staff.sweep(now);
        // Whoever counts them looks at those that are left.
        let _ = (self.held.count(now), self.waiting.list(now));
    }

    /// The catalogue as it is now; a request takes it once.
    pub fn snapshot(&self) -> Arc<Snapshot> {
        self.shop.snapshot()
    }
}

/// The whole application, guarded by every layer; tested without a socket.
pub fn app(state: &Arc<AppState>) -> Router {
    let router = routes().into_router().with_state(Arc::clone(state));
    let router = router.layer(from_fn_with_state(Arc::clone(state), access::known));
    guarded(router, &state.config)
}
