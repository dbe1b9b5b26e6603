//! Filters that the fitter adds to a list. They live in the fitting and only narrow: the order is not made anew.

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use indexer::search::{Counts, Results, Search};
use indexer::snapshot::Group;
use indexer::words::WordsError;

use super::fitting::{Opened, change, no_words, see_other};
use crate::app::App;
use crate::parts::form::Answers;
use crate::refusal::Refusal;
use crate::request::shoes::ShoesQuery;
use crate::visit::answers::posted;
use crate::visit::capital;
use crate::visit::narrow::may_be_added;
use crate::words;

/// `toggle` with its `value` puts a value in or takes it out; words and both ends of a range stand for themselves.
pub async fn narrow(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let added = edited(&opened.fitting.added, &posted(&body));
    let here = opened.visit().href("");
    if let Some(say) = unreadable(&added) {
        return Err(refused(&say).back_to(say!("To the order"), here));
    }
    let results = opened.snapshot.search(&Search { counts: Counts::None, ..added.search() }, None);
    if let Some(say) = unheard_of(results)? {
        return Err(refused(&say).back_to(say!("To the order"), here));
    }
    change(&state, &opened.id, |fitting| {
        fitting.added = added;
        fitting.changed = None;
    })?;
    Ok(see_other(&format!("{here}?narrow=yes#narrow")))
}

fn edited(added: &ShoesQuery, said: &Answers) -> ShoesQuery {
    let toggled = said.get("toggle");
    let added = match Group::from_key(toggled).filter(|_| may_be_added(toggled)) {
        Some(group) if !said.get("value").is_empty() => added.toggled(group.key(), said.get("value")),
        _ => added.clone(),
    };
    // A key with values is toggled, never set as a whole.
    let single = |key: &str| may_be_added(key) && Group::from_key(key).is_none();
    let said = said.0.iter().filter(|(key, _)| single(key));
    said.fold(added, |added, (key, value)| added.with(key, value))
}

/// What is wrong with the ends of a range.
fn unreadable(added: &ShoesQuery) -> Option<String> {
    let (group, typed) = added.ends_that_are_no_numbers().first().copied()?;
    Some(say!(
        "{group}: “{typed}” is no number. Type one such as 8 or 8.5.",
        group = words::of(group.label()),
        typed
    ))
}

/// What is wrong with words or values.
fn unheard_of(results: Result<Results, WordsError>) -> Result<Option<String>, Refusal> {
    match results {
        Ok(results) => Ok(results.warnings.iter().map(|w| format!("{}.", capital(&w.to_string()))).next()),
        Err(WordsError::Refused(why)) => Ok(Some(format!("{}.", capital(&why.to_string())))),
        Err(_) => Err(no_words()),
    }
}

fn refused(say: &str) -> Refusal {
    let say = say!("{say} Nothing was changed.", say);
    Refusal::new(StatusCode::UNPROCESSABLE_ENTITY, say!("This filter was not added"), say)
}
