//! The ranking: one runner prepared once, then a score for any shoe, and the explanation of it.
//!
//! `score` and `explain` come from the same lines; a test says they agree on every sample shoe and runner.
//! Integers throughout, in tenths of a point.

mod aim;
mod beside;
mod brief;
mod case;
mod comfort;
mod evidence;
mod explanation;
mod groups;
mod openness;
mod points;
mod reasons;
mod score;

pub use aim::{Band, Nearness, Origin};
pub use beside::{Beside, Decided, decided};
pub use brief::{Brief, Closed, Row, Step};
pub use case::Case;
pub use comfort::{Tried, Turn, Verdict, by_comfort};
pub use evidence::{Clash, RuleInForce};
pub use explanation::{Explanation, Line, MeasureLine, RuleLine, What};
pub use groups::{Group, Grouping, Placed};
pub use openness::{Need, Needs, Opening};
pub use points::Points;
pub use reasons::{Reason, Reasons, Say};
pub use score::{OrderKey, RANKED_FROM_WEIGHT, Score};

use crate::flags::Stopped;
use crate::measures::{Landing, Measure, Measures, Worn};
use crate::minimalism::MinimalDegree;
use crate::policy::HousePolicy;
use crate::rules::Rule;
use crate::runner::Runner;
use evidence::{InForce, Tally};

/// What every shoe starts from, in tenths of a point.
const BASE: i32 = 150;

/// The rules and bands of one runner, worked out once.
#[derive(Clone, Debug)]
pub struct Ranker {
    case: Case,
    brief: Brief,
    rules: InForce,
}

/// Why a shoe may not be brought out first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NotFirst {
    /// Drop or landing stack is not known.
    TooLittleKnown,
    /// Drop or landing stack lies beyond the reach of its band.
    OutOfReach,
    /// An injury rule speaks against it, or could for want of a measure.
    Caution,
    /// It goes against the heading: taller although less is wished, or lower although more is.
    AgainstHeading,
    /// The step to it would need the minimal plan, although the same again is wished.
    MinimalStep,
}

impl Ranker {
    /// Prepares a runner. A red flag stops the ranking here: there is no other door.
    pub fn prepare(runner: &Runner, now: Option<&Worn>, policy: &HousePolicy) -> Result<Self, Stopped> {
        if let Some(stopped) = Stopped::by(runner) {
            return Err(stopped);
        }
        let case = Case::of(runner, now, policy);
        let rules = InForce::of(&case);
        let brief = Brief::of(&case, &rules);
        Ok(Self { case, brief, rules })
    }

    /// What the order rests on.
    pub fn brief(&self) -> &Brief {
        &self.brief
    }

    /// The prepared case.
    pub fn case(&self) -> &Case {
        &self.case
    }

    /// Rules that are in force, in reading order, lost ones included.
    pub fn rules_in_force(&self) -> &[RuleInForce] {
        self.rules.all()
    }

    /// Rules that speak of this runner, printed once.
    pub fn notes(&self) -> &[&'static Rule] {
        self.rules.notes()
    }

    /// How one shoe suits the runner.
    pub fn score(&self, shoe: &Measures) -> Score {
        let (tally, _) = self.tally(shoe, &mut |_| {});
        let mut total = Points::exactly(BASE) + tally.total();
        let mut known_weight = 0;
        for band in &self.brief.bands {
            let nearness = self.nearness(band, shoe);
            total += nearness.line(band.measure);
            known_weight += if nearness.is_known() { band.measure.weight() as u8 } else { 0 };
        }
        Score {
            suitability: total.at as i16,
            low: total.low as i16,
            high: total.high as i16,
            known_weight,
            may_lead: self.keeps_from_first(shoe, &tally).is_none(),
        }
    }

    /// The lines that add up to the score of one shoe.
    pub fn explain(&self, shoe: &Measures) -> Explanation {
        let mut lines = vec![Line { what: What::Base, points: Points::exactly(BASE) }];
        for band in &self.brief.bands {
            let nearness = self.nearness(band, shoe);
            let points = nearness.line(band.measure);
            lines.push(Line { what: What::Measure(MeasureLine { band: *band, nearness }), points });
        }
        let (tally, printed) = self.tally(shoe, &mut |line| lines.push(line));
        lines.extend(printed);
        lines.extend(tally.caps());
        Explanation { lines, caution: tally.is_cautioned() }
    }

    /// Why this shoe may not be brought out first; `None` when it may.
    pub fn why_not_first(&self, shoe: &Measures) -> Option<NotFirst> {
        self.keeps_from_first(shoe, &self.tally(shoe, &mut |_| {}).0)
    }

    /// Judges the shoe by every rule; each line goes to `note`, lines without points come back.
    fn tally(&self, shoe: &Measures, note: &mut dyn FnMut(Line)) -> (Tally, Vec<Line>) {
        self.rules.judge(&self.case, shoe, note)
    }

    fn nearness(&self, band: &Band, shoe: &Measures) -> Nearness {
        let value = self.comparable(band, shoe);
        band.nearness(value)
    }

    /// The value of the shoe as this band compares it, in tenths.
    fn comparable(&self, band: &Band, shoe: &Measures) -> Option<i32> {
        match band.measure {
            Measure::Drop => shoe.drop().map(|d| self.brief.drop_as_ranked(d.in_tenths())),
            Measure::LandingStack => shoe.landing_stack(self.brief.landing).map(|s| s.in_tenths()),
            Measure::Mass => self.brief.mass_as_ranked(band, shoe, &self.case.policy),
            Measure::Bending => shoe.bending().map(|word| i32::from(word.step()) * 10),
        }
    }

    fn keeps_from_first(&self, shoe: &Measures, tally: &Tally) -> Option<NotFirst> {
        let decisive = [&self.brief.bands[0], &self.brief.bands[1]].map(|band| self.nearness(band, shoe));
        if decisive.iter().any(|nearness| !nearness.is_known()) {
            Some(NotFirst::TooLittleKnown)
        } else if decisive.iter().any(|nearness| nearness.at == 0) {
            Some(NotFirst::OutOfReach)
        } else if tally.is_cautioned() {
            Some(NotFirst::Caution)
        } else {
            self.against_the_row(shoe)
        }
    }

    fn against_the_row(&self, shoe: &Measures) -> Option<NotFirst> {
        let worn = self.case.worn?.measures;
        let landing = |m: &Measures| m.landing_stack(self.brief.landing);
        let (of_shoe, of_worn) = (landing(shoe), landing(&worn));
        let both = of_shoe.zip(of_worn);
        match self.brief.row {
            Row::Less if both.is_some_and(|(s, w)| s > w) => Some(NotFirst::AgainstHeading),
            Row::More if both.is_some_and(|(s, w)| s < w) => Some(NotFirst::AgainstHeading),
            Row::Same if MinimalDegree::of(shoe).is_minimal_step_from(MinimalDegree::of(&worn)) => {
                Some(NotFirst::MinimalStep)
            }
            _ => None,
        }
    }

    /// Which stack this runner lands on.
    pub fn landing(&self) -> Landing {
        self.brief.landing
    }
}
