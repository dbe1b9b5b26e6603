//! Sheets: sent in, looked at, settled, applied or left.

use std::sync::Arc;

use axum::Form;
use axum::body::Bytes;
use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use indexer::mapping::MappingFile;
use indexer::shop::ImportError;
use indexer::store::Signed;

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::sent::{Sent, anew};
use crate::owner::{preview, settle, sheets};
use crate::parts::Drawn;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::waiting::WaitingSheet;

const SHEETS: &str = "/sheets";
/// Changes shown on the page of sheets.
const SHOWN: usize = 20;

/// The page where sheets are sent in.
pub async fn page(State(state): App) -> Result<Drawn, Refusal> {
    view(&state, String::new(), Vec::new()).await
}

async fn view(state: &Arc<AppState>, supplier: String, problems: Vec<Problem>) -> Result<Drawn, Refusal> {
    let changes = at_store(state, |state| state.shop.ask(|store| store.history(SHOWN))).await?;
    let waiting = state.waiting.list(state.clock.now().instant);
    let page = sheets::page(&waiting, &changes, state.config.requests.sheet, supplier, problems);
    Ok(page.view(&frame(state, &state.snapshot(), Some(SHEETS))))
}

/// Takes a sheet in: reads it in a child process, and shows what it would change.
pub async fn send(State(state): App, multipart: Multipart) -> Result<Response, Refusal> {
    let turn = state.waiting.turn().await;
    let sent = Sent::read(multipart, state.config.requests.sheet).await?;
    let problems = sent.problems();
    if !problems.is_empty() {
        let page = view(&state, sent.supplier, problems).await?;
        return Ok((StatusCode::BAD_REQUEST, page).into_response());
    }
    let at = state.clock.now();
    let sheet = at_store(&state, move |state| {
        // The turn ends with the work, not with the patience of whoever sent the sheet.
        let _turn = turn;
        sent.understood(&state.shop, at)
    });
    let number = state.waiting.keep(sheet.await?);
    Ok(see(number).into_response())
}

/// One sheet before it is applied, against the catalogue as it is now.
pub async fn preview(State(state): App, Path(number): Path<u64>) -> Result<Drawn, Refusal> {
    let mut sheet = waiting(&state, number)?;
    if sheet.understood.proposal.base != state.snapshot().seq() {
        let told = sheet.told.clone();
        sheet = read_anew(&state, number, sheet, told).await?;
    }
    let page = preview::page(number, &sheet);
    Ok(page.view(&frame(&state, &state.snapshot(), Some(SHEETS))))
}

/// Settles what headings feed, and reads the sheet again.
pub async fn settle(
    State(state): App,
    Path(number): Path<u64>,
    Form(answers): Form<Vec<(String, String)>>,
) -> Result<Redirect, Refusal> {
    let sheet = waiting(&state, number)?;
    let told = settle::settled(&sheet, &answers)
        .map_err(|refusal| refusal.back_to("Look at the sheet again", address(number)))?;
    read_anew(&state, number, sheet, told).await?;
    Ok(see(number))
}

async fn read_anew(
    state: &Arc<AppState>,
    number: u64,
    sheet: Arc<WaitingSheet>,
    told: MappingFile,
) -> Result<Arc<WaitingSheet>, Refusal> {
    let read = move |state: &AppState| -> Result<_, ImportError> {
        let sheet = Arc::new(anew(&state.shop, &sheet, told)?);
        state.waiting.replace(number, Arc::clone(&sheet), state.clock.now().instant);
        Ok(sheet)
    };
    at_store(state, read).await
}

/// Applies a sheet as its page showed it, all of it or nothing; doing it twice is doing it once.
pub async fn apply(State(state): App, Path(number): Path<u64>, body: Bytes) -> Result<Redirect, Refusal> {
    let sheet = waiting(&state, number)?;
    let digest = sheet.understood.proposal.digest.clone();
    if form_urlencoded::parse(&body).any(|(name, seen)| name == preview::SEEN && seen != digest) {
        return Err(read_since(number));
    }
    let at = state.clock.now();
    let key = format!("page-{number}-{}-{digest}", sheet.at.unix_seconds);
    let by = Signed { actor: "owner".to_owned(), at: at.unix_seconds, key };
    let change = at_store(&state, move |state| state.shop.apply(&sheet.understood, &by)).await;
    let change = change.map_err(|refusal| refusal.back_to("Look at the sheet again", address(number)))?;
    state.waiting.leave(number, at.instant);
    Ok(Redirect::to(&format!("/changes?done={}", change.0)))
}

/// Leaves a sheet: nothing was stored, and it is forgotten.
pub async fn leave(State(state): App, Path(number): Path<u64>) -> Redirect {
    state.waiting.leave(number, state.clock.now().instant);
    Redirect::to(SHEETS)
}

fn waiting(state: &AppState, number: u64) -> Result<Arc<WaitingSheet>, Refusal> {
    state.waiting.get(number, state.clock.now().instant).ok_or_else(|| {
        let say = "This sheet does not wait any more: it was applied or left, its time was over, or the program \
                   was started anew. The changes tell whether it was applied.";
        Refusal::new(StatusCode::GONE, "No such sheet", say)
            .back_to("To the sheets", SHEETS)
            .back_to("To the changes", "/changes")
    })
}

fn read_since(number: u64) -> Refusal {
    let say = "The sheet was read anew since this page was drawn, or another sheet has its number now. Nothing was \
               changed: look at it again, then apply.";
    Refusal::new(StatusCode::CONFLICT, "Nothing was changed", say)
        .back_to("Look at the sheet again", address(number))
}

fn address(number: u64) -> String {
    format!("{SHEETS}/{number}")
}

fn see(number: u64) -> Redirect {
    Redirect::to(&address(number))
}
