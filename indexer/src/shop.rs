//! Store and snapshot together: what a server or a command holds while it works.

use std::sync::{Arc, PoisonError, RwLock};

use crate::snapshot::Snapshot;

/// The shop's catalogue: the published snapshot, and the store behind it.
pub struct Shop {
    published: RwLock<Arc<Snapshot>>,
}

impl Shop {
    /// A shop that shows this snapshot.
    pub fn showing(snapshot: Snapshot) -> Self {
        Self { published: RwLock::new(Arc::new(snapshot)) }
    }

    /// The catalogue as it is now; one request keeps to one of these.
    pub fn snapshot(&self) -> Arc<Snapshot> {
        Arc::clone(&self.published.read().unwrap_or_else(PoisonError::into_inner))
    }
}
