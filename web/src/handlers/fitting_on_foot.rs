//! The shoes on the foot: what is typed is kept whichever button is pressed, then the button does its own.

use std::sync::Arc;
use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use catalogue::key::{SkuKey, StyleKey};
use indexer::ranked::NoOrder;
use indexer::store::Counted;

use super::fitting::{Opened, change, no_words, order, see_other};
use super::fitting_stock::no_order;
use super::frame::fitting_frame;
use crate::app::{App, AppState};
use crate::fittings::FittingId;
use crate::labels::HOLDS;
use crate::owner::at_store::at_store;
use crate::pages::on_foot::DO;
use crate::parts::Drawn;
use crate::parts::form::Answers;
use crate::refusal::Refusal;
use crate::request::on_foot::{field, read, typed};
use crate::shelf::Shelf;
use crate::tries::Tries;
use crate::visit::answers::posted;
use crate::visit::meanwhile::{joined, of_the_shoes};
use crate::visit::on_foot::{Refused, page};

/// The shoes that were brought out, with what was said of each.
pub async fn on_foot(State(state): App, Path(id): Path<String>) -> Result<Drawn, Refusal> {
    let opened = Opened::of(&state, &id)?;
    drawn(&state, &opened, None)
}

/// Keeps what was typed; then chooses, holds, misses or counts, as the button says. A red flag leads to its page. What
/// another window has said meanwhile is kept beside it; where both differ, the page comes back and says so.
pub async fn keep(State(state): App, Path(id): Path<String>, body: Bytes) -> Result<Response, Refusal> {
    let opened = Opened::of(&state, &id)?;
    let (answers, differs) = joined(&typed(&opened.fitting.tries), posted(&body));
    let problems = of_the_shoes(&opened.visit(), &answers, &differs);
    if !problems.is_empty() {
        let page = drawn(&state, &opened, Some(Refused { answers, problems }))?;
        return Ok((StatusCode::CONFLICT, page).into_response());
    }
    let tries = match read(&answers, &opened.fitting.shortlist, &opened.snapshot) {
        Ok(tries) => tries,
        Err(problems) => {
            let page = drawn(&state, &opened, Some(Refused { answers, problems }))?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    change(&state, &opened.id, |fitting| fitting.tries = in_turn(&fitting.tries, tries))?;
    if opened.snapshot.ranker(&opened.fitting.runner).is_err() {
        return Ok(see_other(&opened.visit().href("")));
    }
    let here = opened.visit().href("/on-foot");
    match Pressed::of(&answers, &opened.fitting.shortlist) {
        Pressed::Keep => Ok(see_other(&here)),
        Pressed::Choose(style) => {
            change(&state, &opened.id, |fitting| fitting.chosen = Some(style))?;
            Ok(see_other(&opened.visit().href("/plan")))
        }
        Pressed::Box(act, sku) => {
            of_a_box(&state, act, sku).await?;
            Ok(see_other(&here))
        }
        Pressed::Wanted(style, size) => {
            want(&state, &opened.id, &style, &size).await?;
            Ok(see_other(&here))
        }
    }
}

/// What was typed, in the order in which shoes were first put on.
fn in_turn(before: &Tries, mut now: Tries) -> Tries {
    let place =
        |style: &StyleKey| before.shoes.iter().position(|shoe| shoe.style == *style).unwrap_or(usize::MAX);
    now.shoes.sort_by_key(|shoe| place(&shoe.style));
    now
}

/// The button that was pressed.
enum Pressed {
    Keep,
    Choose(StyleKey),
    Box(BoxAct, SkuKey),
    Wanted(StyleKey, String),
}

/// What is done with a box.
enum BoxAct {
    Missing,
    Hold(u64),
    Release,
}

impl Pressed {
    /// A button that is none of these, or whose field holds nothing of the kind, keeps what was typed and no more.
    fn of(answers: &Answers, shortlist: &[StyleKey]) -> Self {
        Self::read(answers, shortlist).unwrap_or(Self::Keep)
    }

    fn read(answers: &Answers, shortlist: &[StyleKey]) -> Option<Self> {
        let (act, style) = answers.get(DO).split_once(':')?;
        let style = StyleKey::parse(style).filter(|style| shortlist.contains(style))?;
        let sku = || {
            let sku = SkuKey::parse(answers.get(&field("box", &style)))?;
            sku.as_str().starts_with(&format!("{style}/")).then_some(sku)
        };
        match act {
            "choose" => Some(Self::Choose(style)),
            "missing" => Some(Self::Box(BoxAct::Missing, sku()?)),
            "release" => Some(Self::Box(BoxAct::Release, sku()?)),
            "hold" => {
                let hours = answers.get(&field("hold", &style));
                let hours = HOLDS.iter().find(|(value, _)| *value == hours)?.0.parse().ok()?;
                Some(Self::Box(BoxAct::Hold(hours), sku()?))
            }
            "wanted" => {
                let size = answers.get(&field("wanted", &style)).trim();
                is_size(size).then(|| Self::Wanted(style.clone(), size.to_owned()))
            }
            _ => None,
        }
    }
}

/// Whether a text could be the size that somebody asked for: short, and of letters and digits.
pub(super) fn is_size(text: &str) -> bool {
    !text.is_empty() && text.len() <= 20 && !text.chars().any(char::is_control)
}

/// Counts a size that was asked for and is not there: once a fitting, however often the button is pressed.
pub(super) async fn want(
    state: &Arc<AppState>,
    id: &FittingId,
    style: &StyleKey,
    size: &str,
) -> Result<(), Refusal> {
    let wanted = format!("{style} {size}");
    if change(state, id, |fitting| fitting.wanted.insert(wanted.clone()))? {
        count(state, Counted::Wanted, wanted).await?;
    }
    Ok(())
}

async fn of_a_box(state: &Arc<AppState>, act: BoxAct, sku: SkuKey) -> Result<(), Refusal> {
    match act {
        BoxAct::Missing => count(state, Counted::NotOnShelf, sku.to_string()).await,
        BoxAct::Release => {
            state.held.release(&sku);
            let key = sku.to_string();
            at_store(state, move |state| state.shop.settle(Counted::NotOnShelf, &key)).await
        }
        BoxAct::Hold(hours) => {
            let long = Duration::from_hours(hours);
            let has_room = state.held.hold(sku, long, state.clock.now());
            if has_room { Ok(()) } else { Err(too_many_held()) }
        }
    }
}

async fn count(state: &Arc<AppState>, counted: Counted, key: String) -> Result<(), Refusal> {
    let now = state.clock.now().unix_seconds;
    at_store(state, move |state| state.shop.tally(&[(counted, key)], now)).await
}

/// What is true of the boxes for the moment.
pub(super) fn shelf(state: &AppState) -> Shelf {
    let now = state.clock.now();
    let (out, missing) = (state.fittings.boxes_out(now.instant), state.shop.not_on_shelf());
    Shelf::of(out, &state.held, &missing, now.instant)
}

fn drawn(state: &AppState, opened: &Opened, refused: Option<Refused>) -> Result<Drawn, Refusal> {
    let visit = opened.visit();
    let frame = fitting_frame(state, opened, "On the foot");
    match order(state, &visit) {
        Ok(shown) => Ok(page(&visit, &shown, &shelf(state), refused).view(&frame)),
        Err(NoOrder::Stopped(stopped)) => Ok(no_order(&visit, &stopped).view(&frame)),
        Err(NoOrder::Words(_)) => Err(no_words()),
    }
}

fn too_many_held() -> Refusal {
    let say = say!("As many boxes are held as are kept at a time. Let one go, then hold this one.");
    Refusal::new(StatusCode::CONFLICT, say!("Too many boxes held"), say)
}
