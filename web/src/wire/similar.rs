//! The reply of `/shoes/{style}/similar.json`: what replaces a style, and the styles in stock that are like it.

use catalogue::measures::{Landing, Measure};
use catalogue::similar::{Apart, Kind};
use indexer::similar::Similar;
use indexer::snapshot::{Group, Snapshot, StyleCard};
use serde::Serialize;
use utoipa::ToSchema;

use super::rank::tenths;

/// What replaces a style, and what is like it.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SimilarReply {
    style: String,
    /// One after the other, oldest first.
    replaced_by: Vec<String>,
    /// In stock, nearest first.
    similar: Vec<StyleReply>,
}

/// A style in stock. The ends of its lines add up to `low` and `high`.
#[derive(Clone, Debug, Serialize, ToSchema)]
#[schema(as = SimilarStyleReply)]
struct StyleReply {
    style: String,
    maker: String,
    name: String,
    /// The least distance it can have, 0 to 100.
    low: f64,
    /// The most.
    high: f64,
    /// The stack that was compared; `null` where none is known of both.
    stack: Option<&'static str>,
    lines: Vec<LineReply>,
    /// Of audience, surface and purpose, what it does not say.
    not_given: Vec<&'static str>,
    pairs: u32,
}

/// One measure: this style less the one that was asked for.
#[derive(Clone, Copy, Debug, Serialize, ToSchema)]
#[schema(as = SimilarLineReply)]
struct LineReply {
    measure: &'static str,
    difference: Option<f64>,
    unit: &'static str,
    weight: u16,
    low: f64,
    high: f64,
}

impl SimilarReply {
    /// The reply for a style, with at most so many like it.
    pub fn of(card: &StyleCard<'_>, snapshot: &Snapshot, most: usize) -> Self {
        let key = &card.style.key;
        Self {
            style: key.to_string(),
            replaced_by: snapshot.successors(key).iter().map(|card| card.style.key.to_string()).collect(),
            similar: snapshot.similar(key, most).iter().map(StyleReply::of).collect(),
        }
    }
}

impl StyleReply {
    fn of(similar: &Similar<'_>) -> Self {
        let (style, distance) = (similar.card.style, &similar.distance);
        Self {
            style: style.key.to_string(),
            maker: style.maker.to_string(),
            name: style.name.to_string(),
            low: tenths(distance.low),
            high: tenths(distance.high),
            stack: distance.landing.map(stack),
            lines: distance.lines.iter().map(LineReply::of).collect(),
            not_given: not_given(Kind::of(style)),
            pairs: similar.pairs,
        }
    }
}

impl LineReply {
    fn of(line: &Apart) -> Self {
        Self {
            measure: line.measure.word(),
            difference: line.difference.map(tenths),
            unit: unit(line.measure),
            weight: line.measure.weight(),
            low: tenths(line.low),
            high: tenths(line.high),
        }
    }
}

const fn unit(measure: Measure) -> &'static str {
    match measure {
        Measure::Drop | Measure::LandingStack => "mm",
        Measure::Mass => "g",
        Measure::Bending => "steps",
    }
}

const fn stack(landing: Landing) -> &'static str {
    match landing {
        Landing::Heel => "heel",
        Landing::Forefoot => "forefoot",
        Landing::Mean => "mean",
    }
}

fn not_given(kind: Kind) -> Vec<&'static str> {
    let silent = [
        (Group::Audience, kind.audience.is_none()),
        (Group::Surface, kind.surfaces.is_empty()),
        (Group::Purpose, kind.purposes.is_empty()),
    ];
    silent.into_iter().filter(|(_, silent)| *silent).map(|(group, _)| group.key()).collect()
}
