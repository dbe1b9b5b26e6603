//! What every page of a fitting begins and ends with: the copy it works on, the order, the change, the way on.

use std::sync::Arc;

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use indexer::ranked::NoOrder;
use indexer::snapshot::Snapshot;

use crate::app::AppState;
use crate::fittings::{DrawnList, Fitting, FittingId, FrozenOrder, Read};
use crate::metrics;
use crate::refusal::{PlacedError, Refusal};
use crate::request::runner::shown;
use crate::visit::Visit;
use crate::visit::order::{Shown, removed};

/// The fitting of an address with the catalogue it is shown with.
pub(super) struct Opened {
    pub(super) id: FittingId,
    pub(super) fitting: Fitting,
    pub(super) snapshot: Arc<Snapshot>,
    /// Which revision of the fitting this is.
    pub(super) revision: u64,
    /// Its list, where that was drawn since the last change.
    pub(super) list: Option<Arc<DrawnList>>,
}

impl Opened {
    /// A copy of the fitting as it is now.
    pub(super) fn of(state: &AppState, id: &str) -> Result<Self, Refusal> {
        let id = read_id(id)?;
        let read = state.fittings.read(&id, state.clock.now().instant).ok_or_else(Refusal::fitting_closed)?;
        let Read { fitting, revision, list } = read;
        Ok(Self { id, fitting, snapshot: state.snapshot(), revision, list })
    }

    pub(super) fn visit(&self) -> Visit<'_> {
        Visit { id: self.id, fitting: self.fitting.clone(), snapshot: &self.snapshot }
    }
}

/// The id in an address; what has not its shape leads nowhere.
pub(super) fn read_id(text: &str) -> Result<FittingId, Refusal> {
    FittingId::parse(text).ok_or_else(|| Refusal::of_status(StatusCode::NOT_FOUND))
}

/// The id in an address of a fitting that is open: whatever else a request says, that it is closed comes first.
pub(super) fn open(state: &AppState, id: &str) -> Result<FittingId, Refusal> {
    Opened::of(state, id).map(|opened| opened.id)
}

/// Changes an open fitting; a closed one is gone.
pub(super) fn change<T>(
    state: &AppState,
    id: &FittingId,
    act: impl FnOnce(&mut Fitting) -> T,
) -> Result<T, Refusal> {
    state.fittings.with(id, state.clock.now().instant, act).ok_or_else(Refusal::fitting_closed)
}

/// The order of a fitting: the frozen one, else a new one, which is frozen.
pub(super) fn order(state: &AppState, visit: &Visit<'_>) -> Result<Shown, NoOrder> {
    let Visit { id, fitting, snapshot } = visit;
    let list = metrics::searched(|| snapshot.ranked(&fitting.runner, &removed(&fitting.removed_chips)))?;
    if fitting.order.is_none() {
        let order = FrozenOrder::of(&list, snapshot);
        let unchanged =
            |now: &Fitting| now.runner == fitting.runner && now.removed_chips == fitting.removed_chips;
        // A fitting that was changed or closed meanwhile makes its order anew, or not at all.
        let _closed = change(state, id, |now| {
            if unchanged(now) {
                now.order = Some(order);
            }
        });
    }
    Ok(Shown::of(list, fitting.order.as_ref(), snapshot))
}

/// The order for a page that can do without one: a stopped fitting has none.
pub(super) fn order_if_any(state: &AppState, visit: &Visit<'_>) -> Result<Option<Shown>, Refusal> {
    match order(state, visit) {
        Ok(shown) => Ok(Some(shown)),
        Err(NoOrder::Stopped(_)) => Ok(None),
        Err(NoOrder::Words(_)) => Err(no_words()),
    }
}

/// The word index failed, although a fitting asks for no words.
pub(super) fn no_words() -> Refusal {
    Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR)
}

/// A button's answer that no button of ours gives; nothing is changed.
pub(super) fn not_offered(field: &str, said: &str, instead: &str) -> Refusal {
    let say = say!("“{said}” is not one of its answers; {instead}.", said = shown(said), instead);
    Refusal::unread_answers(vec![PlacedError { place: field.to_owned(), say }])
}

/// After a change the browser reads the page anew, so that Back and Reload post nothing twice.
pub(super) fn see_other(to: &str) -> Response {
    match HeaderValue::from_str(to) {
        Ok(place) => (StatusCode::SEE_OTHER, [(header::LOCATION, place)]).into_response(),
        Err(_) => Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR).into_response(),
    }
}
