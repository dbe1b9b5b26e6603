//! The reply of `plan --json`.

use catalogue::evidence::Claim;
use catalogue::flags::Stopped;
use catalogue::plan::stepping::Gap;
use catalogue::plan::{Plan, Week};
use catalogue::units::Mm;
use indexer::planned::{Planned, Stepping};
use indexer::snapshot::Snapshot;
use serde::Serialize;

use super::rank::StoppedReply;

/// The plan for one change of shoe.
#[derive(Clone, Debug, Serialize)]
pub struct PlanReply {
    /// Red flags; with any there is no plan.
    stopped: Option<Vec<StoppedReply>>,
    /// Whether weeks are needed; `null` while an unknown measure decides.
    needed: Option<bool>,
    kind: Option<&'static str>,
    why: Vec<String>,
    unknown: Vec<&'static str>,
    slow: Vec<&'static str>,
    weeks: Vec<WeekReply>,
    review_weeks: Vec<u16>,
    stop_signs: Vec<&'static str>,
    advice: Vec<ClaimReply>,
    steps: Vec<StepReply>,
    blocked: Option<GapReply>,
}

/// One week.
#[derive(Clone, Copy, Debug, Serialize)]
struct WeekReply {
    week: u16,
    share_percent: f64,
    km_new: Option<u16>,
    km_old: Option<u16>,
}

/// What is said about the plan, with what it rests on.
#[derive(Clone, Debug, Serialize)]
struct ClaimReply {
    id: &'static str,
    grade: &'static str,
    say: &'static str,
    studied: &'static str,
    sources: Vec<&'static str>,
}

/// A shoe on the way; the last one is the wish.
#[derive(Clone, Debug, Serialize)]
struct StepReply {
    style: String,
    drop_mm: Option<f64>,
    landing_stack_mm: Option<f64>,
}

/// A gap that no style in stock bridges, mm.
#[derive(Clone, Copy, Debug, Serialize)]
struct GapReply {
    measure: &'static str,
    from: f64,
    to: f64,
}

impl PlanReply {
    /// The reply of a runner whom a red flag stops.
    pub fn stopped(stopped: &Stopped) -> Self {
        Self {
            stopped: Some(StoppedReply::all(stopped)),
            needed: None,
            kind: None,
            why: Vec::new(),
            unknown: Vec::new(),
            slow: Vec::new(),
            weeks: Vec::new(),
            review_weeks: Vec::new(),
            stop_signs: Vec::new(),
            advice: Vec::new(),
            steps: Vec::new(),
            blocked: None,
        }
    }

    /// The reply of a plan.
    pub fn of(planned: &Planned, snapshot: &Snapshot) -> Self {
        let Plan { needed, kind, why, unknown, slow, weeks, reviews, advice, .. } = &planned.plan;
        let said = [&advice.schedule, &advice.strength, &advice.moves, &advice.pairs];
        Self {
            stopped: None,
            needed: *needed,
            kind: Some(kind.word()),
            why: why.iter().map(ToString::to_string).collect(),
            unknown: unknown.iter().map(|measure| measure.word()).collect(),
            slow: slow.iter().map(|sign| sign.word()).collect(),
            weeks: weeks.iter().map(WeekReply::of).collect(),
            review_weeks: reviews.clone(),
            stop_signs: advice.signs.iter().map(|claim| claim.says).collect(),
            advice: said.into_iter().flatten().map(|claim| ClaimReply::of(claim)).collect(),
            steps: steps(planned, snapshot),
            blocked: match planned.stepping {
                Stepping::Blocked(gap) => Some(GapReply::of(gap)),
                Stepping::Steps(_) | Stepping::Unmeasured => None,
            },
        }
    }
}

impl WeekReply {
    fn of(week: &Week) -> Self {
        Self {
            week: week.week,
            share_percent: week.share.as_percent(),
            km_new: week.km.map(|(new, _)| new),
            km_old: week.km.map(|(_, old)| old),
        }
    }
}

impl ClaimReply {
    fn of(claim: &Claim) -> Self {
        let evidence = &claim.evidence;
        Self {
            id: claim.id,
            grade: evidence.grade.word(),
            say: claim.says,
            studied: evidence.studied,
            sources: evidence.sources.iter().map(|source| source.id).collect(),
        }
    }
}

fn steps(planned: &Planned, snapshot: &Snapshot) -> Vec<StepReply> {
    let Stepping::Steps(keys) = &planned.stepping else { return Vec::new() };
    let mm = |mm: Mm| f64::from(mm.in_tenths()) / 10.0;
    let step = |key| {
        let measures = snapshot.style(key)?.measures;
        Some(StepReply {
            style: key.to_string(),
            drop_mm: measures.drop().map(mm),
            landing_stack_mm: measures.landing_stack(planned.ranker.landing()).map(mm),
        })
    };
    keys.iter().filter_map(step).collect()
}

impl GapReply {
    fn of(gap: Gap) -> Self {
        let mm = |tenths: i32| f64::from(tenths) / 10.0;
        Self { measure: gap.measure.word(), from: mm(gap.from), to: mm(gap.to) }
    }
}
