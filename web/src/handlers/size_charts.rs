//! Makers' size charts: read, looked at, kept or taken off.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use indexer::error::ApplyError;
use indexer::loaded::Seq;
use indexer::shop::ImportError;
use indexer::store::ChangeId;

use super::edit::signed;
use super::frame::frame;
use super::sheets::SHEETS;
use crate::app::{App, AppState};
use crate::owner::at_store::at_store;
use crate::owner::sent::Posted;
use crate::owner::size_charts::{self, Kept, SIZE_CHARTS};
use crate::pages::size_charts::SizeChartsPage;
use crate::parts::Drawn;
use crate::parts::problems::Problem;
use crate::refusal::Refusal;
use crate::visit::answers::posted;

/// The charts that are kept, and the form for another.
pub async fn form(State(state): App) -> Result<Drawn, Refusal> {
    Ok(drawn(&state, &page(&state, Posted::default(), Vec::new()).await?))
}

async fn page(
    state: &Arc<AppState>,
    typed: Posted,
    problems: Vec<Problem>,
) -> Result<SizeChartsPage, Refusal> {
    at_store(state, move |state| -> Result<_, ApplyError> {
        let charts = state.shop.ask(|store| store.charts())?;
        Ok(size_charts::page(&charts, &state.snapshot(), &typed, problems))
    })
    .await
}

/// Reads a chart and shows it beside the formula; nothing is kept yet.
pub async fn look(axum::extract::State(state): App, multipart: Multipart) -> Result<Response, Refusal> {
    let _turn = state.waiting.turn().await;
    let sent = Posted::read(multipart, state.config.requests.sheet).await?;
    let problems = sent.problems();
    if !problems.is_empty() {
        let page = page(&state, sent, problems).await?;
        return Ok((StatusCode::BAD_REQUEST, drawn(&state, &page)).into_response());
    }
    let (name, bytes, told) = (sent.name.clone(), sent.bytes.clone(), size_charts::told(&sent));
    let read = at_store(&state, move |state| -> Result<_, ImportError> {
        state.shop.read_chart(&name, &bytes, &told)
    });
    match read.await? {
        Ok(chart) => {
            let preview = size_charts::preview(&chart, &state.snapshot());
            let page = SizeChartsPage { preview: Some(preview), ..page(&state, sent, Vec::new()).await? };
            Ok(drawn(&state, &page).into_response())
        }
        Err(faults) => {
            let page = page(&state, sent, size_charts::problems(&faults)).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, drawn(&state, &page)).into_response())
        }
    }
}

/// Keeps the chart that was looked at, or takes one off; either is a change that can be taken back.
pub async fn keep(State(state): App, body: Bytes) -> Result<Response, Refusal> {
    let answers = posted(&body);
    let kept = size_charts::read(&answers).ok_or_else(no_chart)?;
    let (seen, by) =
        (Seq(answers.get("at").parse().unwrap_or_default()), signed(&state, "page-size-chart", &body));
    let done = at_store(&state, move |state| {
        state.shop.change(|store| match &kept {
            Kept::Chart(chart) => store.set_chart(chart, "", seen, &by),
            Kept::Dropped(maker) => store.drop_chart(maker, say!("taken off"), seen, &by),
        })
    });
    let ChangeId(change) =
        done.await.map_err(|refusal| refusal.back_to(say!("To the size charts"), SIZE_CHARTS))?;
    Ok(Redirect::to(&format!("/changes/{change}")).into_response())
}

fn no_chart() -> Refusal {
    let say = say!("No chart was named. Nothing was changed; send the chart again and press its button.");
    Refusal::new(StatusCode::BAD_REQUEST, say!("No such chart"), say)
        .back_to(say!("To the size charts"), SIZE_CHARTS)
}

fn drawn(state: &AppState, page: &SizeChartsPage) -> Drawn {
    page.view(&frame(state, &state.snapshot(), Some(SHEETS)))
}
