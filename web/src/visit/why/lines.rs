//! The lines of an explanation in words: value, band, points, and what each rests on.

use catalogue::measures::Measure;
use catalogue::rank::{Band, Line, MeasureLine, Nearness, Origin, Points, Ranker, Row, RuleLine, What};
use catalogue::rules::Verdict;
use indexer::snapshot::StyleCard;

use super::measure;
use crate::labels::NOT_GIVEN;
use crate::pages::why::WhyLine;
use crate::parts::Link;
use crate::visit::brief::{origin, range_in_words};
use crate::visit::said::rule_name;
use crate::visit::shoe::{self, plain};
use crate::visit::{Visit, capital};
use crate::words;

/// Where the base and the caps are told of.
const GRADES: &str = "/rules#grades";

/// Writes the lines of one shoe.
pub(super) struct Lines<'a> {
    /// The fitting, for what was asked for.
    pub(super) visit: &'a Visit<'a>,
    /// The prepared runner.
    pub(super) ranker: &'a Ranker,
    /// The shoe.
    pub(super) card: &'a StyleCard<'a>,
}

impl Lines<'_> {
    /// One line.
    pub(super) fn line(&self, line: &Line) -> WhyLine {
        let said = match &line.what {
            What::Base => WhyLine::of(self.label(&line.what)),
            What::Measure(of) => self.measure(of, line.points),
            What::Rule(of) => self.rule(of, line.points),
            What::Cap(_) => WhyLine { range: open(line.points), ..WhyLine::of(self.label(&line.what)) },
        };
        WhyLine { rests: Some(self.rests(&line.what)), points: signed(line.points.at), ..said }
    }

    /// What a line is about.
    pub(super) fn label(&self, what: &What) -> String {
        match what {
            What::Base => say!("Where every shoe starts").to_owned(),
            What::Measure(of) if of.band.measure == Measure::LandingStack => {
                say!("Landing stack, {landing}", landing = shoe::landing_place(self.ranker.landing()))
            }
            What::Measure(of) => capital(measure(of.band.measure)),
            What::Rule(of) => rule_name(of.rule),
            What::Cap(Some(tissue)) => {
                say!(
                    "Held at the most that rules on one tissue count ({tissue})",
                    tissue = words::of(tissue.word())
                )
            }
            What::Cap(None) => say!("Held at the most that all rules count together").to_owned(),
        }
    }

    /// The shoe's value of a line; empty where it has none.
    pub(super) fn value(&self, what: &What) -> String {
        match what {
            What::Measure(of) => self.measured(of.band.measure, of.nearness),
            What::Rule(of) => match of.verdict {
                Verdict::Missed(measure, ..) => format!("{} {}", words::of(measure), words::of(NOT_GIVEN)),
                _ => String::new(),
            },
            What::Base | What::Cap(_) => String::new(),
        }
    }

    /// A measure as it is compared; where that is not as it was weighed, both.
    fn measured(&self, measure: Measure, nearness: Nearness) -> String {
        let Some(tenths) = nearness.value else { return words::of(NOT_GIVEN).to_owned() };
        let compared = range_in_words(measure, tenths, tenths);
        let weighed = self.card.measures.mass().filter(|mass| mass.in_tenths() != tenths);
        match weighed.filter(|_| measure == Measure::Mass) {
            Some(weighed) => say!("{compared} at one size, {weighed} as weighed", compared, weighed),
            None => compared,
        }
    }

    /// What a line rests on: a study by way of its rule, the shop's policy, or what somebody asked for.
    pub(super) fn rests(&self, what: &What) -> Link {
        match what {
            What::Measure(of) => self.band(&of.band),
            What::Rule(of) => {
                let grade = words::of(of.rule.evidence.grade.word());
                Link::new(say!("studies: {grade}", grade), format!("/rules#{}", of.rule.id))
            }
            What::Base | What::Cap(_) => Link::new(say!("house view"), GRADES),
        }
    }

    fn band(&self, band: &Band) -> Link {
        let row = self.ranker.brief().row;
        let racing = matches!(row, Row::Race | Row::NewRace);
        let anchor = match band.origin {
            Origin::AskedFor => {
                return Link::new(say!("asked for"), self.visit.href("/runner?open=wishes#wishes"));
            }
            Origin::Worn => row.word(),
            Origin::Absolute | Origin::Guessed if racing => Row::NewRace.word(),
            Origin::Absolute | Origin::Guessed => Row::New.word(),
        };
        Link::new(say!("house policy"), format!("/policy#{anchor}"))
    }

    fn measure(&self, of: &MeasureLine, counted: Points) -> WhyLine {
        let band = &of.band;
        let range = range_in_words(band.measure, band.from, band.to);
        let most = plain(7 * i32::from(band.measure.weight()));
        let what = What::Measure(*of);
        WhyLine {
            value: self.value(&what),
            value_href: of.nearness.is_known().then(|| format!("{}#measures", shoe::href(self.card.style))),
            band: origin(band).map_or_else(|| range.clone(), |origin| format!("{range}, {origin}")),
            range: if counted.low == counted.high {
                say!("of {most} at the most", most)
            } else {
                say!(
                    "from {low} to {high}: {value}",
                    low = plain(counted.low),
                    high = plain(counted.high),
                    value = words::of(NOT_GIVEN)
                )
            },
            ..WhyLine::of(self.label(&what))
        }
    }

    fn rule(&self, of: &RuleLine, counted: Points) -> WhyLine {
        let against = |other| say!("left out: pulls against “{other}”", other = rule_name(other));
        let what = What::Rule(*of);
        WhyLine {
            value: self.value(&what),
            band: of.lost_to.map_or(String::new(), against),
            range: open(counted),
            ..WhyLine::of(self.label(&what))
        }
    }
}

/// What a line could still be; empty when nothing is open. A cap takes less the lower the rest is, so that its own
/// ends can stand the other way about.
fn open(points: Points) -> String {
    let (least, most) = (points.low.min(points.high), points.low.max(points.high));
    if least == most {
        String::new()
    } else {
        say!("from {least} to {most}", least = signed(least), most = signed(most))
    }
}

/// Tenths of a point without a sign of plus: `57.0`, `−1.5`.
pub(super) fn points(tenths: i32) -> String {
    signed(tenths).trim_start_matches('+').to_owned()
}

/// Tenths of a point with their sign and one decimal: `+24.3`, `−1.5`, `0.0`.
pub(super) fn signed(tenths: i32) -> String {
    let sign = match tenths {
        0 => "",
        1.. => "+",
        _ => "−",
    };
    let magnitude = tenths.unsigned_abs();
    words::number(format!("{sign}{}.{}", magnitude / 10, magnitude % 10))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_line_could_be_is_told_from_the_least_to_the_most() {
        assert_eq!(open(Points { at: 0, low: 10, high: 0 }), "from 0.0 to +1.0");
        assert_eq!(open(Points::exactly(30)), "");
    }

    #[test]
    fn points_carry_their_sign_and_one_decimal() {
        assert_eq!([243, -15, 0].map(signed), ["+24.3", "−1.5", "0.0"]);
        assert_eq!([570, -15, 0].map(points), ["57.0", "−1.5", "0.0"]);
    }
}
