//! The stock in order, for machines: the runner file's tables as one JSON object.

use std::collections::BTreeSet;

use axum::Json;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use indexer::ranked::NoOrder;

use super::pool::worked;
use crate::app::App;
use crate::metrics;
use crate::refusal::{PlacedError, Refusal};
use crate::request::runner::{RunnerFault, RunnerForm};
use crate::wire::rank::RankReply;

/// The order of a runner; a stop is an answer.
pub async fn rank(State(state): App, body: Bytes) -> Result<Json<RankReply>, Refusal> {
    let snapshot = state.snapshot();
    let form = RunnerForm::from_json(&body).map_err(unread)?;
    let runner = form.to_runner(&|key| snapshot.style(key).is_some()).map_err(unread)?;
    let ranked = worked(snapshot.styles().len(), move || {
        match metrics::searched(|| snapshot.ranked(&runner, &BTreeSet::new())) {
            Ok(list) => Ok(RankReply::of(&list, &snapshot)),
            Err(NoOrder::Stopped(stopped)) => Ok(RankReply::stopped(&stopped)),
            Err(NoOrder::Words(_)) => Err(Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR)),
        }
    });
    Ok(Json(ranked.await??))
}

fn unread(faults: Vec<RunnerFault>) -> Refusal {
    Refusal::unread_answers(faults.into_iter().map(PlacedError::from).collect())
}
