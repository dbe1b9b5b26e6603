//! The owner's day.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use indexer::error::StoreError;
use indexer::gaps::Shoe;
use indexer::store::Counted;

use super::fitting::see_other;
use super::frame::frame;
use crate::app::App;
use crate::owner::at_store::at_store;
use crate::owner::day::{COUNTED, DAY, Day, KEY};
use crate::parts::Drawn;
use crate::refusal::Refusal;
use crate::visit::answers::posted;

/// Changes that are looked through for the last sheet and for what is new.
const LATEST: usize = 200;

/// The page.
pub async fn page(State(state): App) -> Result<Drawn, Refusal> {
    let drawn = at_store(&state, |state| -> Result<Drawn, StoreError> {
        let (known, snapshot) = state.shop.ask(|store| {
            let known = store
                .suppliers()
                .and_then(|suppliers| Ok((suppliers, store.history(LATEST)?, store.tallies()?)));
            (known, state.snapshot())
        });
        let (suppliers, changes, tallies) = known?;
        let keeping = state.shop.keeping();
        let day = Day {
            snapshot: &snapshot,
            shoes: &Shoe::all(&snapshot, &suppliers),
            changes: &changes,
            tallies: &tallies,
            keeping: keeping.as_ref(),
            now: state.clock.now().unix_seconds,
        };
        Ok(day.page().view(&frame(state, &snapshot, Some(DAY))))
    });
    drawn.await
}

/// Takes a line of the tally off the list.
pub async fn settle(State(state): App, body: Bytes) -> Result<Response, Refusal> {
    let said = posted(&body);
    let counted = Counted::from_word(said.get(COUNTED)).ok_or_else(no_such_line)?;
    let key = said.get(KEY).to_owned();
    at_store(&state, move |state| state.shop.settle(counted, &key)).await?;
    Ok(see_other(DAY))
}

fn no_such_line() -> Refusal {
    let say =
        say!("The request names no line of the owner's day. Nothing was changed; go back and press again.");
    Refusal::new(StatusCode::BAD_REQUEST, say!("Which line?"), say).back_to(say!("To the day"), DAY)
}
