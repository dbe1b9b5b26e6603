//! A scan or words inside a fitting.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use indexer::words::WordsError;

use super::fitting::{Opened, no_words, order_if_any};
use super::fitting_on_foot::shelf;
use super::frame::fitting_frame;
use super::scan::code;
use crate::app::App;
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::visit::narrow::Narrowed;
use crate::visit::{capital, scan};

/// `?code=`: the shoe, where it stands in this order, its pairs in the working sizes, or which filter hides it.
pub async fn look(
    State(state): App,
    Path(id): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let visit = opened.visit();
    let shown = order_if_any(&state, &visit)?;
    let narrowed = shown.as_ref().map(|shown| Narrowed::of(&visit, &shown.list)).transpose();
    let narrowed = narrowed.map_err(|_| no_words())?;
    let scanned = scan::read(&code(query), &opened.snapshot);
    let meant = scan::meant(&scanned, &opened.snapshot).map_err(|fault| match fault {
        WordsError::Refused(why) => {
            let say = format!("{}.", capital(&why.to_string()));
            Refusal::new(StatusCode::BAD_REQUEST, say!("Too many words"), say)
                .back_to(say!("To the order"), visit.href(""))
        }
        _ => no_words(),
    })?;
    let mut frame = fitting_frame(&state, &opened, "Stock in order");
    if let Some(scan) = frame.fitting.as_mut().and_then(|bar| bar.scan.as_mut()) {
        scan.focus = true;
    }
    let shelf = shelf(&state);
    let order = shown.as_ref().zip(narrowed.as_ref()).map(|(shown, narrowed)| (shown, narrowed, &shelf));
    Ok(scan::page(&visit, order, &scanned, &meant).view(&frame))
}
