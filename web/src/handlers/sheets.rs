//! Sheets: sent in, looked at, settled, applied or left.

use std::sync::Arc;

use axum::Form;
use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::Redirect;
use indexer::error::ApplyError;
use indexer::mapping::{MappingFile, SheetKind};
use indexer::shop::{ImportError, Told, Understood};
use indexer::store::Signed;

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::{preview, sheets};
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::waiting::WaitingSheet;

const SHEETS: &str = "/sheets";
/// Changes shown on the page of sheets.
const SHOWN: usize = 20;

/// The page where sheets are sent in.
pub async fn page(State(state): App) -> Result<Drawn, Refusal> {
    let changes = state.shop.ask(|store| store.history(SHOWN)).map_err(|fault| out_of_reach(&fault))?;
    let snapshot = state.snapshot();
    let page = sheets::page(&state.waiting.list(), &changes, String::new(), Vec::new());
    Ok(page.view(&frame(&state, &snapshot, Some(SHEETS))))
}

/// What is posted with a sheet.
#[derive(Default)]
struct Sent {
    name: String,
    bytes: Vec<u8>,
    supplier: Option<String>,
    kind: SheetKind,
}

/// Takes a sheet in: reads it in a child process, and shows what it would change.
pub async fn send(State(state): App, multipart: Multipart) -> Result<Redirect, Refusal> {
    let sent = sent(multipart).await?;
    if sent.name.is_empty() {
        let say = "No file was chosen. Choose a sheet saved as CSV, then send it again.";
        return Err(refused("No sheet", say));
    }
    let mapping = (sent.kind == SheetKind::Full)
        .then(|| MappingFile { kind: SheetKind::Full, ..MappingFile::default() });
    let told = Told { supplier: sent.supplier, mapping };
    let number = understand(&state, sent.name, sent.bytes, told, None).await?;
    Ok(Redirect::to(&format!("{SHEETS}/{number}")))
}

async fn sent(mut multipart: Multipart) -> Result<Sent, Refusal> {
    let mut sent = Sent::default();
    let broken = |_| refused("The sheet did not arrive whole", "Send it again; at most 40 MB are taken.");
    while let Some(field) = multipart.next_field().await.map_err(broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        match name.as_str() {
            "file" => {
                sent.name = field.file_name().unwrap_or_default().to_owned();
                sent.bytes = field.bytes().await.map_err(broken)?.to_vec();
            }
            "supplier" => {
                let text = field.text().await.map_err(broken)?;
                sent.supplier = Some(text.trim().to_owned()).filter(|name| !name.is_empty());
            }
            "kind" if field.text().await.map_err(broken)? == "full" => sent.kind = SheetKind::Full,
            _ => {}
        }
    }
    Ok(sent)
}

/// Reads a sheet on a thread of its own, so that the server goes on answering, and keeps what was understood.
async fn understand(
    state: &Arc<AppState>,
    name: String,
    bytes: Vec<u8>,
    told: Told,
    in_place_of: Option<u64>,
) -> Result<u64, Refusal> {
    let worker = Arc::clone(state);
    let read = tokio::task::spawn_blocking(move || worker.shop.understand(&name, bytes, &told)).await;
    let understood = read.map_err(|_| Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))?;
    let understood = understood.map_err(not_understood)?;
    let sheet = WaitingSheet { understood, at: state.clock.now().unix_seconds };
    Ok(match in_place_of {
        Some(number) => {
            state.waiting.replace(number, sheet);
            number
        }
        None => state.waiting.keep(sheet),
    })
}

fn not_understood(fault: ImportError) -> Refusal {
    match fault {
        ImportError::Unreadable(why) => {
            refused("The sheet cannot be read", &format!("{why} Nothing was stored."))
        }
        ImportError::Store(why) => out_of_reach(&why),
    }
}

/// One sheet before it is applied.
pub async fn preview(State(state): App, Path(number): Path<u64>) -> Result<Drawn, Refusal> {
    let waiting = waiting(&state, number)?;
    let page = preview::page(number, &waiting.understood);
    Ok(page.view(&frame(&state, &state.snapshot(), Some(SHEETS))))
}

/// Settles what headings feed, and reads the sheet again.
pub async fn settle(
    State(state): App,
    Path(number): Path<u64>,
    Form(answers): Form<Vec<(String, String)>>,
) -> Result<Redirect, Refusal> {
    let waiting = waiting(&state, number)?;
    let Understood { mapping, bytes, reading, .. } = &waiting.understood;
    let mut file = mapping.to_file();
    let known =
        answers.into_iter().filter(|(heading, _)| file.headings.contains_key(heading)).collect::<Vec<_>>();
    file.headings.extend(known);
    let checked =
        MappingFile::parse(&file.to_toml()).map_err(|why| refused("This cannot be", &why.to_string()))?;
    let told = Told { supplier: Some(reading.supplier.clone()), mapping: Some(checked) };
    understand(&state, reading.sheet.clone(), bytes.clone(), told, Some(number)).await?;
    Ok(Redirect::to(&format!("{SHEETS}/{number}")))
}

/// Applies a sheet, all of it or nothing; doing it twice is doing it once.
pub async fn apply(State(state): App, Path(number): Path<u64>) -> Result<Redirect, Refusal> {
    let waiting = waiting(&state, number)?;
    let by = Signed {
        actor: "owner".to_owned(),
        at: state.clock.now().unix_seconds,
        key: format!("page-{number}-{}-{}", waiting.at, waiting.understood.proposal.digest),
    };
    let worker = Arc::clone(&state);
    let applied = tokio::task::spawn_blocking(move || worker.shop.apply(&waiting.understood, &by)).await;
    let applied = applied.map_err(|_| Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))?;
    applied.map_err(|fault| {
        not_applied(&fault).back_to("Look at the sheet again", format!("{SHEETS}/{number}"))
    })?;
    state.waiting.leave(number);
    Ok(Redirect::to("/changes"))
}

/// Leaves a sheet: nothing was stored, and it is forgotten.
pub async fn leave(State(state): App, Path(number): Path<u64>) -> Redirect {
    state.waiting.leave(number);
    Redirect::to(SHEETS)
}

fn waiting(state: &AppState, number: u64) -> Result<Arc<WaitingSheet>, Refusal> {
    state.waiting.get(number).ok_or_else(|| {
        let say =
            "This sheet does not wait any more: it was applied or left, or the program was started anew.";
        Refusal::new(StatusCode::GONE, "No such sheet", say).back_to("To the sheets", SHEETS)
    })
}

/// A change that was not made.
pub(super) fn not_applied(fault: &ApplyError) -> Refusal {
    match fault {
        ApplyError::Conflict { .. }
        | ApplyError::NoSuchChange(_)
        | ApplyError::AlreadyUndone(_)
        | ApplyError::Refused => Refusal::new(
            StatusCode::CONFLICT,
            "Nothing was changed",
            crate::visit::capital(&fault.to_string()),
        ),
        other => out_of_reach(other),
    }
}

pub(super) fn out_of_reach(fault: &dyn std::fmt::Display) -> Refusal {
    tracing::error!(%fault, "the store could not be used");
    let say = "The catalogue cannot be read or written at the moment. Nothing was changed; look at the log.";
    Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, "The catalogue is out of reach", say)
}

fn refused(title: &'static str, say: &str) -> Refusal {
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, title, say).back_to("To the sheets", SHEETS)
}
