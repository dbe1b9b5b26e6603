//! The reply of the twin of "why this place": one shoe's lines as `rank --json` writes them, and what is open.

use catalogue::rank::{Beside, Line, Need, Needs, Opening, What};
use indexer::snapshot::StyleCard;
use serde::Serialize;
use utoipa::ToSchema;

use super::rank::{LineReply, tenths};
use crate::visit::Visit;
use crate::visit::order::Shown;
use crate::visit::why::pair::{Pair, Side};

/// The explanation of one shoe for one fitting.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct WhyReply {
    style: String,
    maker: String,
    name: String,
    /// The row of the policy in force.
    row: &'static str,
    /// Its group in the order; `null` where a filter hides it.
    group: Option<&'static str>,
    /// Its place among the ranked shoes of the order, from 1.
    place: Option<usize>,
    suitability: f64,
    low: f64,
    high: f64,
    known_weight: u8,
    lines: Vec<LineReply>,
    /// What this runner's bands and rules need of a shoe.
    needed: Vec<&'static str>,
    /// What of it this shoe does not give.
    missing: Vec<&'static str>,
    opens: Vec<OpenReply>,
    beside: Option<BesideReply>,
}

/// What one missing measure would settle: the interval were it known and did it count as it counts now.
#[derive(Clone, Debug, Serialize, ToSchema)]
struct OpenReply {
    measures: Vec<&'static str>,
    low: f64,
    high: f64,
    settles: f64,
}

/// Two shoes of the order line by line; the differences add up to that of the suitabilities.
#[derive(Clone, Debug, Serialize, ToSchema)]
struct BesideReply {
    upper: SideReply,
    lower: SideReply,
    /// What of the order decided; `group` where only one may be brought out first, `null` where one has no place.
    decided: Option<&'static str>,
    lines: Vec<DifferenceReply>,
    difference: f64,
}

#[derive(Clone, Debug, Serialize, ToSchema)]
struct SideReply {
    style: String,
    suitability: f64,
    low: f64,
    high: f64,
    pairs: u32,
}

#[derive(Clone, Debug, Default, Serialize, ToSchema)]
struct DifferenceReply {
    kind: &'static str,
    measure: Option<&'static str>,
    rule: Option<&'static str>,
    tissue: Option<&'static str>,
    upper: f64,
    lower: f64,
    difference: f64,
}

impl WhyReply {
    /// The reply for one shoe, with another one beside it where that was asked for.
    pub fn of(visit: &Visit<'_>, shown: &Shown, card: &StyleCard<'_>, pair: Option<&Pair<'_>>) -> Self {
        let (ranker, key) = (&shown.list.ranker, &card.style.key);
        let score = ranker.score(&card.measures);
        let (needed, given) = (ranker.needs(), Needs::given_by(&card.measures));
        Self {
            style: key.to_string(),
            maker: card.style.maker.to_string(),
            name: card.style.name.to_string(),
            row: ranker.brief().row.word(),
            group: shown.standing_of(key, visit.snapshot).map(|place| place.word()),
            place: shown.place_of(key, visit.snapshot),
            suitability: tenths(score.suitability.into()),
            low: tenths(score.low.into()),
            high: tenths(score.high.into()),
            known_weight: score.known_weight,
            lines: ranker.explain(&card.measures).lines.iter().map(LineReply::of).collect(),
            needed: needed.iter().map(word).collect(),
            missing: needed.without(given).iter().map(word).collect(),
            opens: ranker.openings(&card.measures).iter().map(OpenReply::of).collect(),
            beside: pair.map(BesideReply::of),
        }
    }
}

/// A measure by its word in replies: `heel_stack`, and `mass` as in the lines.
fn word(need: Need) -> &'static str {
    match need {
        Need::HeelStack => "heel_stack",
        Need::ForefootStack => "forefoot_stack",
        other => other.word(),
    }
}

impl OpenReply {
    fn of(opening: &Opening) -> Self {
        Self {
            measures: opening.by.iter().map(word).collect(),
            low: tenths(opening.then.low),
            high: tenths(opening.then.high),
            settles: tenths(opening.settles()),
        }
    }
}

impl BesideReply {
    fn of(pair: &Pair<'_>) -> Self {
        let lines = pair.lines();
        Self {
            upper: SideReply::of(&pair.upper),
            lower: SideReply::of(&pair.lower),
            decided: pair.decided().map(|d| d.word()).or(pair.is_by_group().then_some("group")),
            difference: tenths(lines.iter().map(Beside::difference).sum()),
            lines: lines.iter().map(DifferenceReply::of).collect(),
        }
    }
}

impl SideReply {
    fn of(side: &Side<'_>) -> Self {
        Self {
            style: side.card.style.key.to_string(),
            suitability: tenths(side.score.suitability.into()),
            low: tenths(side.score.low.into()),
            high: tenths(side.score.high.into()),
            pairs: side.pairs,
        }
    }
}

impl DifferenceReply {
    fn of(line: &Beside) -> Self {
        let at = |line: Option<Line>| tenths(line.map_or(0, |line| line.points.at));
        let points = Self {
            upper: at(line.this),
            lower: at(line.other),
            difference: tenths(line.difference()),
            ..Self::default()
        };
        match &line.what {
            What::Base => Self { kind: "base", ..points },
            What::Measure(of) => Self { kind: "measure", measure: Some(of.band.measure.word()), ..points },
            What::Rule(of) => {
                let tissue = Some(of.rule.tissue.word());
                Self { kind: "rule", rule: Some(of.rule.id), tissue, ..points }
            }
            What::Cap(tissue) => Self { kind: "cap", tissue: tissue.map(|tissue| tissue.word()), ..points },
        }
    }
}
