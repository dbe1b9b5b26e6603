//! One reason for and one against, in words: what a row of the list says.

use std::fmt;

use super::explanation::{Explanation, MeasureLine};
use crate::measures::Measure;
use crate::rules::Verdict;

/// What speaks for a shoe and what against it, each the weightiest.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reasons {
    /// For it.
    pub plus: Option<Reason>,
    /// Against it.
    pub minus: Option<Reason>,
}

/// A reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// What it says.
    pub say: Say,
    /// It comes from a rule that speaks of an injury.
    pub caution: bool,
}

/// What a reason says. Displayed as an English sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Say {
    /// A sentence of a rule or of a measure.
    Sentence(&'static str),
    /// These measures lie where they are looked for.
    AsLookedFor(Vec<Measure>),
    /// These measures are not given.
    NotGiven(Vec<Measure>),
}

/// A measure takes this much of its line, in thousandths, before it counts as a reason against.
const FAR: i32 = 700;

impl Explanation {
    /// The weightiest reasons: rules before measures, since a rule speaks of this runner.
    pub fn reasons(&self) -> Reasons {
        Reasons {
            plus: self.rule_for().or_else(|| self.measures_for()),
            minus: self.rule_against().or_else(|| self.measure_against()).or_else(|| self.not_given()),
        }
    }

    fn rule_for(&self) -> Option<Reason> {
        let (line, _) = self.rules().filter(|(_, p)| p.at > 0).max_by_key(|(_, p)| p.at)?;
        said(line.verdict, false)
    }

    fn rule_against(&self) -> Option<Reason> {
        let (line, _) = self.rules().filter(|(_, p)| p.at < 0).min_by_key(|(_, p)| p.at)?;
        said(line.verdict, line.rule.is_injury_rule())
    }

    /// Names the known measures that lie inside their bands.
    fn measures_for(&self) -> Option<Reason> {
        Some(Reason { say: Say::AsLookedFor(self.named(is_inside)?), caution: false })
    }

    /// The measures that pass a test, if any.
    fn named(&self, test: fn(&MeasureLine) -> bool) -> Option<Vec<Measure>> {
        let named: Vec<_> = self.measures().filter(|(m, _)| test(m)).map(|(m, _)| m.band.measure).collect();
        (!named.is_empty()).then_some(named)
    }

    /// The measure that costs most, when it lies well outside its band.
    fn measure_against(&self) -> Option<Reason> {
        let far = self.measures().filter(|(m, _)| m.nearness.is_known() && m.nearness.at < FAR);
        let (line, _) = far.max_by_key(|(m, p)| i32::from(m.band.measure.weight()) * 7 - p.at)?;
        Some(Reason { say: Say::Sentence(line.beyond()?), caution: false })
    }

    fn not_given(&self) -> Option<Reason> {
        let unknown = self.named(|line| !line.nearness.is_known())?;
        Some(Reason { say: Say::NotGiven(unknown), caution: false })
    }
}

fn said(verdict: Verdict, caution: bool) -> Option<Reason> {
    match verdict {
        Verdict::Share(_, say) | Verdict::Printed(say) => Some(Reason { say: Say::Sentence(say), caution }),
        Verdict::Silent | Verdict::Missed(..) => None,
    }
}

fn is_inside(line: &MeasureLine) -> bool {
    line.nearness.value.is_some_and(|v| v >= line.band.from && v <= line.band.to)
}

fn name(measure: Measure) -> &'static str {
    match measure {
        Measure::Drop => "drop",
        Measure::LandingStack => "landing stack",
        Measure::Mass => "weight",
        Measure::Bending => "bending",
    }
}

/// On which side of its band a measure lies, in words.
pub(super) fn beyond(measure: Measure, above: bool) -> &'static str {
    match (measure, above) {
        (Measure::Drop, true) => "More drop than looked for.",
        (Measure::Drop, false) => "Less drop than looked for.",
        (Measure::LandingStack, true) => "Taller underfoot than looked for.",
        (Measure::LandingStack, false) => "Lower underfoot than looked for.",
        (Measure::Mass, true) => "Heavier than looked for.",
        (Measure::Mass, false) => "Lighter than looked for.",
        (Measure::Bending, true) => "Stiffer than looked for.",
        (Measure::Bending, false) => "More flexible than looked for.",
    }
}

impl fmt::Display for Say {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sentence(say) => f.write_str(say),
            Self::AsLookedFor(measures) => write!(f, "{} as looked for.", listed(measures)),
            Self::NotGiven(measures) => write!(f, "{} not given.", listed(measures)),
        }
    }
}

/// `Drop, weight and bending`: as one speaks.
fn listed(measures: &[Measure]) -> String {
    let names: Vec<&str> = measures.iter().map(|measure| name(*measure)).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => capital(one),
        [most @ .., last] => format!("{} and {last}", capital(&most.join(", "))),
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use crate::measures::Measures;
    use crate::policy::HousePolicy;
    use crate::rank::Ranker;
    use crate::runner::Runner;

    #[test]
    fn what_is_not_given_is_listed_as_one_speaks() {
        let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).unwrap();
        let reasons = ranker.explain(&Measures::UNKNOWN).reasons();
        assert_eq!(reasons.plus, None);
        assert_eq!(
            reasons.minus.unwrap().say.to_string(),
            "Drop, landing stack, weight and bending not given."
        );
    }
}
