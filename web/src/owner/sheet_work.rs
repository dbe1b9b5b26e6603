//! The work on a sheet: read it, read it again, apply it. On a thread of its own, finished even when nobody waits for
//! its answer any more.

use std::sync::Arc;

use indexer::mapping::{MappingFile, guess_mapping};
use indexer::proposal::Missing;
use indexer::shop::{ImportError, Progress, Shop, Told, Understood};
use indexer::store::Signed;
use tokio::sync::OwnedSemaphorePermit;
use tokio::task::spawn_blocking;

use crate::words;

use super::sent::Posted;
use crate::app::AppState;
use crate::refusal::Refusal;
use crate::waiting::{Sent, Source, State, WaitingSheet};

/// Reads a sheet that was posted. The turn ends with the work.
pub fn begin(state: &Arc<AppState>, sent: &Sent, posted: Posted, turn: Option<OwnedSemaphorePermit>) {
    let progress = Arc::clone(&sent.progress);
    work(state, sent, None, move |shop| {
        let _turn = turn;
        first(shop, posted, &progress).map(|sheet| State::Waits(Arc::new(sheet))).map_err(Refusal::from)
    });
}

/// Reads a waiting sheet anew, as told; when that cannot be done it waits on as it was.
pub fn again(
    state: &Arc<AppState>,
    sent: &Sent,
    sheet: &Arc<WaitingSheet>,
    told: MappingFile,
    source: Source,
) {
    let (progress, before) = (Arc::clone(&sent.progress), Arc::clone(sheet));
    work(state, sent, Some(Arc::clone(sheet)), move |shop| {
        anew(shop, &before, told, source, &progress)
            .map(|sheet| State::Waits(Arc::new(sheet)))
            .map_err(Refusal::from)
    });
}

/// Applies a sheet; when that is refused it waits on.
pub fn apply(state: &Arc<AppState>, sent: &Sent, sheet: &Arc<WaitingSheet>, missing: Missing, by: Signed) {
    let (progress, applied) = (Arc::clone(&sent.progress), Arc::clone(sheet));
    work(state, sent, Some(Arc::clone(sheet)), move |shop| {
        let done = shop.apply_watched(&applied.understood, missing, &by, &progress).map_err(Refusal::from)?;
        Ok(done.map_or(State::Waits(applied), State::Applied))
    });
}

/// Does `act` on a thread that may wait, and says where the sheet stands then: where `act` has brought it, else where
/// it was, with the refusal.
fn work(
    state: &Arc<AppState>,
    sent: &Sent,
    before: Option<Arc<WaitingSheet>>,
    act: impl FnOnce(&Shop) -> Result<State, Refusal> + Send + 'static,
) {
    let (state, id, language) = (Arc::clone(state), sent.id, words::language());
    tokio::spawn(async move {
        let shop = Arc::clone(&state);
        let done = spawn_blocking(move || words::within(language, || act(&shop.shop))).await;
        let failed = |_| Err(Refusal::of_status(axum::http::StatusCode::INTERNAL_SERVER_ERROR));
        let now = state.clock.now().instant;
        match (done.unwrap_or_else(failed), before) {
            (Ok(next), _) => state.waiting.set(id, next, None, now),
            (Err(refusal), Some(before)) => state.waiting.set(id, State::Waits(before), Some(refusal), now),
            (Err(refusal), None) => state.waiting.set(id, State::Unread(refusal), None, now),
        }
    });
}

/// How its headings were read the last time is remembered; what it is, full or partial, is said each time.
fn first(shop: &Shop, posted: Posted, progress: &Progress) -> Result<WaitingSheet, ImportError> {
    let Posted { name, bytes, supplier, kind, .. } = posted;
    let told = Told {
        supplier: Some(supplier).filter(|name| !name.is_empty()),
        kind: Some(kind),
        ..Told::default()
    };
    let understood = shop.understand_watched(&name, bytes, &told, progress)?;
    let remembered = understood.remembered.as_ref();
    let source = remembered.map_or(Source::Guessed, |remembered| Source::Remembered(remembered.at));
    let file = remembered.map(|remembered| remembered.file.clone()).unwrap_or_default();
    let supplier = told.supplier.or(file.supplier.clone());
    Ok(waiting(understood, MappingFile { kind, supplier, ..file }, source))
}

fn anew(
    shop: &Shop,
    before: &WaitingSheet,
    told: MappingFile,
    source: Source,
    progress: &Progress,
) -> Result<WaitingSheet, ImportError> {
    let Understood { bytes, reading, mapping, proposal, .. } = &before.understood;
    let supplier = Some(mapping.supplier.clone());
    let by = Told { supplier, mapping: Some(told.clone()), ..Told::default() };
    let understood = shop.understand_watched(&reading.sheet, bytes.clone(), &by, progress)?;
    let moved_on = understood.proposal.base != proposal.base;
    let overtaken = moved_on.then_some((understood.proposal.base, proposal.counts));
    Ok(WaitingSheet { overtaken, ..waiting(understood, told, source) })
}

fn waiting(understood: Understood, told: MappingFile, source: Source) -> WaitingSheet {
    let unsaid = MappingFile { headings: std::collections::BTreeMap::new(), ..told.clone() };
    let guessed = guess_mapping(&understood.sheet, &understood.mapping.supplier, Some(&unsaid));
    WaitingSheet { understood, told, source, guessed, overtaken: None }
}
