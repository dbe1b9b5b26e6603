//! The list of shoes as a file to be kept: all that the page's filters find, in its order.

use std::sync::Arc;

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use indexer::calendar::civil;
use indexer::search::{Counts, Hit, Search};
use indexer::shop::NotWritten;
use indexer::snapshot::Snapshot;

use super::sheet_files::{XLSX, file};
use super::shoes::answered;
use crate::app::{App, AppState};
use crate::refusal::Refusal;
use crate::request::shoes::ShoesQuery;
use crate::visit::shoe;

const CSV: &str = "text/csv; charset=utf-8; header=present";

/// As a table of text.
pub async fn csv(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let as_text = |snapshot: &Snapshot, hits: &[Hit]| Ok(snapshot.found_csv(hits, shoe::href).into_bytes());
    written(&state, query, ("csv", CSV), as_text).await
}

/// As a workbook.
pub async fn xlsx(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let as_workbook = |snapshot: &Snapshot, hits: &[Hit]| snapshot.found_workbook(hits, shoe::href);
    written(&state, query, ("xlsx", XLSX), as_workbook).await
}

async fn written(
    state: &Arc<AppState>,
    query: Option<String>,
    (ending, kind): (&str, &'static str),
    write: fn(&Snapshot, &[Hit]) -> Result<Vec<u8>, NotWritten>,
) -> Result<Response, Refusal> {
    let snapshot = state.snapshot();
    let asked = ShoesQuery::parse(&query.unwrap_or_default()).without("page").meant(&snapshot);
    let search = Search { limit: None, counts: Counts::None, ..asked.search() };
    let hits = answered(&snapshot, &search)?.hits;
    let all = snapshot.styles().iter().filter(|style| !style.retired).count();
    let found = is_narrowed(&search).then_some(hits.len());
    let name = format!("{}.{ending}", stem(state.clock.now().unix_seconds, found, all));
    // Off the threads that answer: a large catalogue takes its time.
    let bytes = tokio::task::spawn_blocking(move || write(&snapshot, &hits)).await;
    match bytes {
        Ok(Ok(bytes)) => Ok(file(kind, &name, bytes)),
        Ok(Err(fault)) => {
            tracing::error!(%fault, "the list could not be written");
            Err(Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))
        }
        Err(_) => Err(Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR)),
    }
}

fn is_narrowed(search: &Search) -> bool {
    !(search.words.is_empty() && search.choices.is_empty() && search.ranges.is_empty())
}

/// `shoes-2026-11-26-filtered-38-of-412`, or `shoes-2026-11-26-all-412` where nothing narrows; the day is that of
/// universal time.
fn stem(unix_seconds: i64, found: Option<usize>, all: usize) -> String {
    let (year, month, day) = civil(unix_seconds.div_euclid(86_400));
    let which = found.map_or_else(|| format!("all-{all}"), |found| format!("filtered-{found}-of-{all}"));
    format!("shoes-{year}-{month:02}-{day:02}-{which}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The billionth second: 9 September 2001, widely published.
    #[test]
    fn the_name_of_the_file_says_the_day_and_how_many_of_how_many() {
        assert_eq!(stem(1_000_000_000, Some(38), 412), "shoes-2001-09-09-filtered-38-of-412");
        assert_eq!(stem(1_000_000_000, Some(0), 412), "shoes-2001-09-09-filtered-0-of-412");
        assert_eq!(stem(1_000_000_000, None, 412), "shoes-2001-09-09-all-412");
    }

    #[test]
    fn an_end_that_is_no_number_and_a_page_narrow_nothing() {
        let narrowed = |query: &str| is_narrowed(&ShoesQuery::parse(query).search());
        assert!(!narrowed("") && !narrowed("drop_from=x&page=2"));
        assert!(narrowed("q=marl") && narrowed("surface=trail") && narrowed("drop_from=3"));
    }
}
