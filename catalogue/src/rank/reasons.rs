//! One reason for and one against, in words: what a row of the list says.

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

/// A reason in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The sentence.
    pub say: String,
    /// It comes from a rule that speaks of an injury.
    pub caution: bool,
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
        let inside: Vec<&str> =
            self.measures().filter(|(m, _)| is_inside(m)).map(|(m, _)| name(m.band.measure)).collect();
        let say = match inside.as_slice() {
            [] => return None,
            [one] => format!("{} as looked for.", capital(one)),
            [most @ .., last] => format!("{} and {last} as looked for.", capital(&most.join(", "))),
        };
        Some(Reason { say, caution: false })
    }

    /// The measure that costs most, when it lies well outside its band.
    fn measure_against(&self) -> Option<Reason> {
        let far = self.measures().filter(|(m, _)| m.nearness.is_known() && m.nearness.at < FAR);
        let (line, _) = far.max_by_key(|(m, p)| i32::from(m.band.measure.weight()) * 7 - p.at)?;
        let above = line.nearness.value.is_some_and(|v| v > line.band.to);
        Some(Reason { say: beyond(line.band.measure, above).to_owned(), caution: false })
    }

    fn not_given(&self) -> Option<Reason> {
        let missing: Vec<&str> = self
            .measures()
            .filter(|(m, _)| !m.nearness.is_known())
            .map(|(m, _)| name(m.band.measure))
            .collect();
        let say = match missing.as_slice() {
            [] => return None,
            names => format!("{} not given.", capital(&names.join(" and "))),
        };
        Some(Reason { say, caution: false })
    }
}

fn said(verdict: Verdict, caution: bool) -> Option<Reason> {
    match verdict {
        Verdict::Share(_, say) | Verdict::Printed(say) => Some(Reason { say: say.to_owned(), caution }),
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

fn beyond(measure: Measure, above: bool) -> &'static str {
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

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
