//! Why a shoe stands where it stands: lines that add up.

use super::aim::{Band, Nearness};
use super::points::Points;
use super::reasons::beyond;
use crate::rules::{Rule, Tissue, Verdict};

/// The lines of one shoe.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// In reading order: the base, the measures, the rules, the caps.
    pub lines: Vec<Line>,
    /// An injury rule speaks against the shoe, or could for want of a measure.
    pub caution: bool,
}

/// One line.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    /// What it is about.
    pub what: What,
    /// What it adds, with its interval.
    pub points: Points,
}

/// What a line is about.
#[derive(Clone, Copy, Debug)]
pub enum What {
    /// What every shoe starts from.
    Base,
    /// A measure and its band.
    Measure(MeasureLine),
    /// A rule.
    Rule(RuleLine),
    /// What a cap took: of a tissue, or of all rules together.
    Cap(Option<Tissue>),
}

/// A measure against its band.
#[derive(Clone, Copy, Debug)]
pub struct MeasureLine {
    /// The band.
    pub band: Band,
    /// How near the shoe is to it.
    pub nearness: Nearness,
}

/// A rule and what it says.
#[derive(Clone, Copy, Debug)]
pub struct RuleLine {
    /// The rule.
    pub rule: &'static Rule,
    /// What it says of this shoe.
    pub verdict: Verdict,
    /// The rule it lost a conflict to, or with; it counts 0.
    pub lost_to: Option<&'static Rule>,
}

impl Explanation {
    /// The sum of the lines, in tenths of a point.
    pub fn total(&self) -> Points {
        self.lines.iter().fold(Points::default(), |sum, line| sum + line.points)
    }

    /// The lines of rules.
    pub fn rules(&self) -> impl Iterator<Item = (&RuleLine, Points)> {
        self.lines.iter().filter_map(|line| match &line.what {
            What::Rule(rule) => Some((rule, line.points)),
            _ => None,
        })
    }

    /// The lines of measures.
    pub fn measures(&self) -> impl Iterator<Item = (&MeasureLine, Points)> {
        self.lines.iter().filter_map(|line| match &line.what {
            What::Measure(measure) => Some((measure, line.points)),
            _ => None,
        })
    }
}

impl MeasureLine {
    /// On which side of its band the shoe lies, in words: `More drop than looked for.`; `None` inside the band, and
    /// when the measure is not given.
    pub fn beyond(&self) -> Option<&'static str> {
        let value = self.nearness.value?;
        let (below, above) = (value < self.band.from, value > self.band.to);
        (below || above).then(|| beyond(self.band.measure, above))
    }
}
