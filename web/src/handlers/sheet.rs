//! One sheet: looked at, read another way, applied, called off or left.

use std::sync::Arc;

use axum::Form;
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderName, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use indexer::mapping::MappingFile;
use indexer::proposal::Missing;
use indexer::store::Signed;

use super::frame::frame;
use super::sheets::SHEETS;
use crate::app::{App, AppState};
use crate::owner::sheet_changes::Asked;
use crate::owner::{sheet_answers, sheet_findings, sheet_page, sheet_work};
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::staff::visitor::actor;
use crate::waiting::{Press, Sent, SheetId, Source, State as Stands, WaitingSheet};

/// The page asks again after a second while the sheet is at work.
const AGAIN: (HeaderName, &str) = (HeaderName::from_static("refresh"), "1");

/// One sheet as it stands, against the catalogue as it is now; with `.json` behind its number, the same for machines.
pub async fn look(
    State(state): App,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, Refusal> {
    if let Some(id) = id.strip_suffix(".json") {
        return super::sheet_files::json(&state, id).await;
    }
    let sent = standing(&state, &id).await?;
    match &sent.state {
        Stands::Reading | Stands::Applying(_) => {
            Ok(([AGAIN], sheet_page::working(&sent).view(&frame_of(&state))).into_response())
        }
        Stands::Waits(sheet) => Ok(view(&state, &sent, sheet, asked).into_response()),
        Stands::Unread(refusal) => Err(refusal.clone()),
        Stands::Applied(change) => Ok(applied(change.0).into_response()),
    }
}

fn view(state: &AppState, sent: &Sent, sheet: &WaitingSheet, asked: Asked) -> Drawn {
    sheet_page::page(sent, sheet, asked, Vec::new()).view(&frame_of(state))
}

/// All findings of one kind.
pub async fn findings(
    State(state): App,
    Path(id): Path<String>,
    Query(asked): Query<sheet_findings::Asked>,
) -> Result<Drawn, Refusal> {
    let (sent, sheet) = waits(&state, &id).await?;
    let page = sheet_findings::page(&sent, &sheet, &asked).ok_or_else(|| {
        let say = say!("The sheet has no findings of this kind any more.");
        Refusal::new(StatusCode::NOT_FOUND, say!("No such findings"), say)
            .back_to(say!("To the sheet"), sent.href())
    })?;
    Ok(page.view(&frame_of(&state)))
}

/// Reads the sheet again as the form says.
pub async fn settle(
    State(state): App,
    Path(id): Path<String>,
    Form(answers): Form<Vec<(String, String)>>,
) -> Result<Response, Refusal> {
    let (sent, sheet) = waits(&state, &id).await?;
    match sheet_answers::told(&sheet, &answers) {
        Ok(told) => read_again(&state, sent.id, told, sheet.source).await,
        Err(problems) => {
            let page = sheet_page::page(&sent, &sheet, Asked::default(), problems).view(&frame_of(&state));
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

/// Takes back all that was said or remembered of the headings, and guesses anew.
pub async fn forget(State(state): App, Path(id): Path<String>) -> Result<Response, Refusal> {
    let (sent, sheet) = waits(&state, &id).await?;
    let MappingFile { supplier, kind, .. } = sheet.told.clone();
    let told = MappingFile { supplier, kind, ..MappingFile::default() };
    read_again(&state, sent.id, told, Source::Guessed).await
}

/// Reads a sheet again, and leads to its page; what cannot be done leaves it as it was.
pub(super) async fn read_again(
    state: &Arc<AppState>,
    id: SheetId,
    told: MappingFile,
    source: Source,
) -> Result<Response, Refusal> {
    let now = state.clock.now().instant;
    if let Some((sent, sheet)) = state.waiting.begin_again(id, now) {
        sheet_work::again(state, &sent, &sheet, told, source);
    }
    let sent = state.waiting.settled(id, now).await.ok_or_else(gone)?;
    match sent.refused {
        Some(refusal) => Err(refusal.back_to(say!("Back to the sheet"), id.href())),
        None => Ok(Redirect::to(&id.href()).into_response()),
    }
}

/// Applies a sheet as its page showed it, all of it or nothing; pressing twice is pressing once.
pub async fn apply(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Redirect, Refusal> {
    let id = number(&id)?;
    let at = state.clock.now();
    let seen = field(&body, sheet_page::SEEN);
    match state.waiting.press(id, seen.as_deref(), at.instant) {
        Press::Begin(sent, sheet) => {
            let key = format!("page-{id}-{}", sheet.understood.proposal.digest);
            let by = Signed { actor: actor(), at: at.unix_seconds, key };
            let missing = field(&body, sheet_page::MISSING).and_then(|word| Missing::from_word(&word));
            sheet_work::apply(&state, &sent, &sheet, missing.unwrap_or_default(), by);
        }
        Press::Done => {}
        Press::Stale => return Err(read_since(id)),
        Press::Gone => return Err(gone()),
    }
    let sent = state.waiting.settled(id, at.instant).await.ok_or_else(gone)?;
    match (sent.state, sent.refused) {
        (Stands::Applied(change), _) => Ok(applied(change.0)),
        (_, Some(refusal)) => Err(refusal.back_to(say!("Look at the sheet again"), id.href())),
        _ => Ok(Redirect::to(&id.href())),
    }
}

/// Calls off what is being done: a sheet being read is forgotten, one being applied waits on.
pub async fn cancel(State(state): App, Path(id): Path<String>) -> Result<Redirect, Refusal> {
    let id = number(&id)?;
    let now = state.clock.now().instant;
    state.waiting.leave(id, now);
    let stays = state.waiting.get(id, now).is_some();
    Ok(Redirect::to(&if stays { id.href() } else { SHEETS.to_owned() }))
}

/// The sheet as it stands, compared anew where another change has overtaken it.
pub(super) async fn standing(state: &Arc<AppState>, id: &str) -> Result<Sent, Refusal> {
    let (id, now) = (number(id)?, state.clock.now().instant);
    let sent = state.waiting.get(id, now).ok_or_else(gone)?;
    let Stands::Waits(sheet) = &sent.state else { return Ok(sent) };
    if sheet.understood.proposal.base == state.snapshot().seq() {
        return Ok(sent);
    }
    if let Some((sent, sheet)) = state.waiting.begin_again(id, now) {
        sheet_work::again(state, &sent, &sheet, sheet.told.clone(), sheet.source);
    }
    state.waiting.settled(id, now).await.ok_or_else(gone)
}

/// The sheet, when it waits.
pub(super) async fn waits(state: &Arc<AppState>, id: &str) -> Result<(Sent, Arc<WaitingSheet>), Refusal> {
    let sent = standing(state, id).await?;
    if let Stands::Waits(sheet) = &sent.state {
        return Ok((sent.clone(), Arc::clone(sheet)));
    }
    let say = say!("The sheet is being read or applied, or was applied. Its page says which.");
    Err(Refusal::new(StatusCode::CONFLICT, say!("Not now"), say).back_to(say!("To the sheet"), sent.href()))
}

pub(super) fn frame_of(state: &AppState) -> crate::parts::layout::Frame {
    frame(state, &state.snapshot(), Some(SHEETS))
}

fn field(body: &[u8], name: &str) -> Option<String> {
    form_urlencoded::parse(body).find(|(own, _)| own == name).map(|(_, value)| value.into_owned())
}

fn number(id: &str) -> Result<SheetId, Refusal> {
    SheetId::parse(id).ok_or_else(gone)
}

fn applied(change: i64) -> Redirect {
    Redirect::to(&format!("/changes?done={change}"))
}

fn gone() -> Refusal {
    let say = say!(
        "This sheet does not wait any more: it was applied or left, its time was over, or the program was started anew. The changes tell whether it was applied."
    );
    Refusal::new(StatusCode::GONE, say!("No such sheet"), say)
        .back_to(say!("To the sheets"), SHEETS)
        .back_to(say!("To the changes"), "/changes")
}

fn read_since(id: SheetId) -> Refusal {
    let say = say!(
        "The sheet was read anew since this page was drawn. Nothing was changed: look at it again, then apply."
    );
    Refusal::new(StatusCode::CONFLICT, say!("Nothing was changed"), say)
        .back_to(say!("Look at the sheet again"), id.href())
}
