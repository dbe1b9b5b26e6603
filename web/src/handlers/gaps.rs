//! What the catalogue does not know, and what to ask a supplier.

use axum::extract::{RawQuery, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use indexer::error::StoreError;
use indexer::gaps::{Shoe, letter};

use super::frame::frame;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::gaps_query::{GAPS, GapsQuery};
use crate::owner::{gaps, gaps_list};
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::words;

/// The counts, or the shoes behind one; another spelling of the same state is sent to its one address.
pub async fn page(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let query = query.unwrap_or_default();
    let asked = GapsQuery::parse(&query);
    let canonical = asked.href();
    if canonical.split_once('?').map_or("", |(_, query)| query) != query {
        return Ok(Redirect::permanent(&canonical).into_response());
    }
    Ok(at_store(&state, move |state| view(state, &asked)).await?.into_response())
}

fn view(state: &AppState, asked: &GapsQuery) -> Result<Drawn, StoreError> {
    of_shoes(state, |shoes| {
        let frame = frame(state, &state.snapshot(), Some(GAPS));
        match asked.measure {
            Some(wanted) => gaps_list::page(asked, wanted, shoes).view(&frame),
            None => gaps::page(asked, shoes).view(&frame),
        }
    })
}

/// The letter to a supplier as plain text, ready to be saved and mailed.
pub async fn ask(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let narrowed = GapsQuery::parse(&query.unwrap_or_default()).narrowed;
    let supplier = narrowed.supplier.clone().unwrap_or_default();
    let text = at_store(&state, move |state| {
        of_shoes(state, |shoes| letter(&supplier, &gaps::admitted(&narrowed, shoes), &words::made))
    });
    let Some(text) = text.await? else { return Err(nothing_to_ask()) };
    let headers = [
        (header::CONTENT_TYPE, "text/plain; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"what-we-are-asking-for.txt\""),
    ];
    Ok((headers, text).into_response())
}

/// All shoes with their suppliers, both of the same moment: what is published is what the store holds while it is
/// asked.
fn of_shoes<T>(state: &AppState, look: impl FnOnce(&[Shoe<'_>]) -> T) -> Result<T, StoreError> {
    let (suppliers, snapshot) = state.shop.ask(|store| (store.suppliers(), state.snapshot()));
    let suppliers = suppliers?;
    Ok(look(&Shoe::all(&snapshot, &suppliers)))
}

fn nothing_to_ask() -> Refusal {
    let say = say!(
        "There is nothing to ask this supplier, or no shoe of this supplier is in the catalogue. The gaps list every supplier by name."
    );
    Refusal::new(StatusCode::NOT_FOUND, say!("Nothing to ask"), say).back_to(say!("To the gaps"), GAPS)
}
