//! What is kept and where.

use axum::extract::State;
use indexer::error::StoreError;

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::day::DAY;
use crate::owner::what_is_kept::{Facts, InMemory};
use crate::parts::Drawn;
use crate::refusal::Refusal;

/// The page. It is reached from the owner's day, whose place it is.
pub async fn page(State(state): App) -> Result<Drawn, Refusal> {
    let drawn = at_store(&state, |state| -> Result<Drawn, StoreError> {
        let things = state.shop.ask(indexer::store::Store::things)?;
        let keeping = state.shop.keeping();
        let accounts = state.staff.members(state.clock.now().instant)?;
        let facts = Facts {
            things: &things,
            folder: folder(state),
            keeping: keeping.as_ref(),
            accounts: accounts.into_iter().map(|member| member.since).collect(),
            memory: in_memory(state),
            fittings: state.config.fittings,
            listening: state.config.listening,
        };
        Ok(facts.page().view(&frame(state, &state.snapshot(), Some(DAY))))
    });
    drawn.await
}

/// A folder that cannot be listed is told without its files.
fn folder(state: &AppState) -> Option<(String, Vec<indexer::keeping::Found>)> {
    let folder = state.shop.folder()?;
    let whole = std::path::absolute(folder.path()).unwrap_or_else(|_| folder.path().to_owned());
    Some((whole.display().to_string(), folder.files().unwrap_or_default()))
}

fn in_memory(state: &AppState) -> InMemory {
    let now = state.clock.now().instant;
    state.forget_what_is_over();
    let (sessions, tried) = state.staff.in_memory();
    let sheets = state.waiting.list(now);
    InMemory {
        fittings: state.fittings.list(now).len(),
        sessions,
        tried,
        boxes: state.held.count(now),
        sheets: sheets.len(),
        sheet_bytes: sheets.iter().map(|sheet| sheet.size).sum(),
    }
}
