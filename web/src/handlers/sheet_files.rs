//! What a sheet gives to programs and spreadsheets: its report as JSON, its mapping as TOML, its rows to mend.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Multipart, Path, State};
use axum::http::{HeaderName, StatusCode, header};
use axum::response::{IntoResponse, Response};
use indexer::mapping::MappingFile;

use super::sheet::{read_again, waits};
use crate::app::{App, AppState};
use crate::owner::sent::not_arrived;
use crate::owner::sheet_page::mapping_file;
use crate::refusal::Refusal;
use crate::waiting::Source;
use crate::wire::import::ImportReply;
use crate::words;

/// What a workbook is called by its kind.
pub(super) const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
const TOML: &str = "application/toml; charset=utf-8";

/// What `import --check --json` says of the same bytes.
pub(super) async fn json(state: &Arc<AppState>, id: &str) -> Result<Response, Refusal> {
    let (_, sheet) = waits(state, id).await?;
    Ok(Json(ImportReply::of(&sheet.understood, sheet.source.into(), None)).into_response())
}

/// The mapping as it was read.
pub async fn mapping(State(state): App, Path(id): Path<String>) -> Result<Response, Refusal> {
    let (sent, sheet) = waits(&state, &id).await?;
    Ok(file(TOML, &format!("{}-mapping.toml", stem(&sent.name)), mapping_file(&sheet).to_toml().into_bytes()))
}

/// Reads the sheet by a mapping file.
pub async fn read_by(
    State(state): App,
    Path(id): Path<String>,
    mut multipart: Multipart,
) -> Result<Response, Refusal> {
    let (sent, _) = waits(&state, &id).await?;
    let limit = state.config.requests.form;
    let broken = |fault| not_arrived(&fault, limit);
    let mut text = String::new();
    while let Some(field) = multipart.next_field().await.map_err(broken)? {
        if field.name() == Some("mapping") {
            text = field.text().await.map_err(broken)?;
        }
    }
    let unfit = |why: String| {
        Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, say!("The mapping file cannot be used"), why)
            .back_to(say!("Back to the sheet"), sent.href())
    };
    if text.trim().is_empty() {
        return Err(unfit(
            say!("No mapping file was chosen, or it is empty. Choose one, then send it again.").to_owned(),
        ));
    }
    let told = MappingFile::parse(&text).map_err(|why| unfit(why.to_string()))?;
    read_again(&state, sent.id, told, Source::File).await
}

/// The rows to mend as a workbook.
pub async fn problems(State(state): App, Path(id): Path<String>) -> Result<Response, Refusal> {
    let (sent, sheet) = waits(&state, &id).await?;
    let none = || {
        let say = say!("No row of the sheet has to be mended.");
        Refusal::new(StatusCode::NOT_FOUND, say!("No rows to mend"), say)
            .back_to(say!("Back to the sheet"), sent.href())
    };
    let language = words::language();
    let write = move || words::within(language, || sheet.understood.problem_rows(&words::made));
    match tokio::task::spawn_blocking(write).await {
        Ok(Ok(Some(bytes))) => Ok(file(XLSX, &format!("{}-problems.xlsx", stem(&sent.name)), bytes)),
        Ok(Ok(None)) => Err(none()),
        Ok(Err(fault)) => {
            tracing::error!(%fault, "the rows to mend could not be written");
            Err(Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))
        }
        Err(_) => Err(Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR)),
    }
}

/// A file to be kept under this name.
pub(super) fn file(kind: &'static str, name: &str, bytes: Vec<u8>) -> Response {
    let headers: [(HeaderName, String); 2] = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, bytes).into_response()
}

/// The name without its ending, in letters that any header may hold.
fn stem(name: &str) -> String {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let plain = |c: char| if c.is_ascii_alphanumeric() || "-_ ".contains(c) { c } else { '_' };
    stem.chars().map(plain).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_name_holds_nothing_that_ends_a_header() {
        assert_eq!(stem("späte \"Liste\"\r\n.csv"), "sp_te _Liste___");
        assert_eq!(stem("range.2026.xlsx"), "range_2026");
    }
}
