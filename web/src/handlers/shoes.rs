//! The list of shoes, as a page and as JSON, and one shoe.

use axum::extract::{Path, Query, RawQuery, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use catalogue::key::StyleKey;
use indexer::error::StoreError;
use indexer::search::{Results, Search};
use indexer::snapshot::Snapshot;
use indexer::store::Store;
use indexer::words::WordsError;
use serde::Deserialize;

use super::frame::frame;
use super::pool::worked;
use crate::app::App;
use crate::browse::narrow::SHOES;
use crate::browse::{list, shoe};
use crate::metrics;
use crate::owner::at_store::at_store;
use crate::owner::shoe_origins::Told;
use crate::pages::shoe::{Done, ShoePage};
use crate::parts::{Drawn, Link};
use crate::refusal::Refusal;
use crate::request::shoes::ShoesQuery;
use crate::visit::{pairs, scan};
use crate::wire::shoes::ShoesReply;

/// The list; another spelling of the same state is sent to its one address.
pub async fn shoes(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let query = query.unwrap_or_default();
    let asked = ShoesQuery::parse(&query);
    let snapshot = state.snapshot();
    // What words mean depends on what is in stock: another day the same words may lead elsewhere.
    if let Some(meant) = asked.as_meant(&snapshot) {
        return Ok(Redirect::to(&meant.href(SHOES)).into_response());
    }
    let canonical = asked.href(SHOES);
    if canonical.split_once('?').map_or("", |(_, query)| query) != query {
        return Ok(Redirect::permanent(&canonical).into_response());
    }
    let frame = frame(&state, &snapshot, Some(SHOES));
    let drawn = worked(snapshot.styles().len(), move || {
        let results = search(&asked, &snapshot)?;
        Ok::<_, Refusal>(list::page(&asked, &results, &snapshot).view(&frame))
    });
    Ok(drawn.await??.into_response())
}

/// Room for the reply of a shop's first page.
const USUAL_REPLY: usize = 32 * 1024;

/// The same list for machines.
pub async fn shoes_json(State(state): App, RawQuery(query): RawQuery) -> Result<Response, Refusal> {
    let snapshot = state.snapshot();
    let asked = ShoesQuery::parse(&query.unwrap_or_default()).meant(&snapshot);
    let found = worked(snapshot.styles().len(), move || {
        let results = search(&asked, &snapshot)?;
        written(&ShoesReply::of(&asked, &results, &snapshot))
    });
    Ok(([(header::CONTENT_TYPE, "application/json")], found.await??).into_response())
}

/// A reply as it is sent, written where the catalogue is looked into: its texts are not copied before.
fn written(reply: &ShoesReply<'_>) -> Result<Vec<u8>, Refusal> {
    let mut text = Vec::with_capacity(USUAL_REPLY);
    serde_json::to_writer(&mut text, reply).map_err(|fault| {
        tracing::error!(%fault, "a reply could not be written");
        Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR)
    })?;
    Ok(text)
}

fn search(asked: &ShoesQuery, snapshot: &Snapshot) -> Result<Results, Refusal> {
    answered(snapshot, &asked.search())
}

/// The answer of the catalogue, or why it will not look for these words.
pub(super) fn answered(snapshot: &Snapshot, search: &Search) -> Result<Results, Refusal> {
    metrics::searched(|| snapshot.search(search, None)).map_err(|fault| match fault {
        WordsError::Refused(why) => Refusal::new(
            StatusCode::BAD_REQUEST,
            say!("Too many words"),
            format!("{}.", crate::visit::capital(&why.to_string())),
        )
        .back_to(say!("All shoes"), SHOES),
        other => {
            tracing::error!(%other, "words could not be looked up");
            Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR)
        }
    })
}

/// What is asked of one shoe's page.
#[derive(Clone, Default, Deserialize)]
pub struct Asked {
    /// The change that has just been made.
    done: Option<i64>,
    /// What a scan of its box read.
    scanned: Option<String>,
}

/// One shoe, retired ones included.
pub async fn one(
    State(state): App,
    Path(key): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Drawn, Refusal> {
    let snapshot = state.snapshot();
    let key = StyleKey::parse(&key).ok_or_else(no_such_shoe)?;
    let card = snapshot.style(&key).ok_or_else(no_such_shoe)?;
    let asked_for = key.clone();
    let read = at_store(&state, move |state| state.shop.ask(|store| told(store, &asked_for))).await;
    // The shoe itself is in memory: its page is shown while the disk fails, and says what is missing on it.
    let (unread, told) = (read.is_err(), read.unwrap_or_default());
    let frame = frame(&state, &snapshot, Some(SHOES));
    let done = asked.done.filter(|done| told.lines.iter().any(|line| line.change.0 == *done));
    let scanned = asked.scanned.map_or_else(Vec::new, |raw| boxes(&raw, &key, &snapshot));
    let page = ShoePage { done: done.map(kept), scanned, unread, ..shoe::page(&card, &snapshot, &told) };
    Ok(page.view(&frame))
}

/// What was read on the box, where it is one of this shoe's.
fn boxes(raw: &str, key: &StyleKey, snapshot: &Snapshot) -> Vec<String> {
    let scanned = scan::read(raw, snapshot);
    let skus = scanned.gtin.iter().flat_map(|gtin| snapshot.by_gtin(*gtin));
    let own: Vec<String> = skus.filter(|sku| sku.style == *key).map(pairs::boxed).collect();
    if own.is_empty() { own } else { scan::said(&scanned).into_iter().chain(own).collect() }
}

fn kept(change: i64) -> Done {
    Done {
        say: say!("Kept.").to_owned(),
        change: Link::new(say!("Change {change}, which can be undone", change), format!("/changes/{change}")),
    }
}

/// All that the store holds of one shoe beside its values.
pub fn told(store: &Store, key: &StyleKey) -> Result<Told, StoreError> {
    Ok(Told { lines: store.ledger_of(key)?, by_hand: store.set_by_hand(key)?, seq: store.seq()?.0 })
}

/// There is no shoe at this address.
pub fn no_such_shoe() -> Refusal {
    let say =
        say!("The catalogue holds no shoe at this address. It may have been taken back with its sheet.");
    Refusal::new(StatusCode::NOT_FOUND, say!("No such shoe"), say).back_to(say!("All shoes"), SHOES)
}
