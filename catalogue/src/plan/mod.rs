//! The plan for a change of shoe: which kind, how far in each week, when to hold, and what moves where.
//!
//! Only a prepared [`Ranker`] makes a plan, so that no red flag is planned past. In reading order: the [`change`]
//! that decides, the [`exposure`] it allows, what is said about it ([`advice`]), and the way there through shoes in
//! stock ([`stepping`]).

pub mod advice;
pub mod change;
pub mod exposure;
pub mod stepping;

pub use advice::Advice;
pub use change::{Change, Decides, Why};
pub use exposure::{Exposure, Schedule};

use crate::measures::Measures;
use crate::rank::Ranker;
use crate::runner::{Heading, Now, OldPair};
use crate::slow::{SlowSign, slow_signs};
use crate::style::words;

words! {
    /// What kind of plan it is.
    Kind {
        /// To a minimal-type shoe: 26 weeks.
        Minimal => "minimal",
        /// A large step down: six weeks.
        LargeStep => "large-step",
        /// Up again, or more shoe wished: the two pairs in turn, without a schedule.
        Rotate => "rotate",
        /// None.
        None => "none",
    }
}

/// The plan for one change of shoe.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Whether the change needs weeks; `None` while an unknown measure decides.
    pub needed: Option<bool>,
    /// The kind; while it is undecided, the least that is certain.
    pub kind: Kind,
    /// Why it is that kind.
    pub why: Vec<Why>,
    /// The measures that would decide it and are not known of both shoes.
    pub unknown: Vec<Decides>,
    /// Nobody knows the pair worn now: not even a guess is possible.
    pub worn_is_unknown: bool,
    /// The pair worn now is known by feel only; a shoe of the house policy stands in for it.
    pub worn_is_guessed: bool,
    /// Signs for going slowly; each alone doubles the weeks. Empty where no weeks are needed.
    pub slow: Vec<SlowSign>,
    /// Week by week; empty where none are needed.
    pub weeks: Vec<Week>,
    /// The weeks after which runner and fitter look again.
    pub reviews: Vec<u16>,
    /// The old pair is finished although the plan needs it beside the new one: a smaller step or a second pair.
    pub lacks_old_pair: bool,
    /// What is said about it.
    pub advice: Advice,
}

/// One week of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Week {
    /// From 1.
    pub week: u16,
    /// The most of the weekly distance in the new shoe.
    pub share: Exposure,
    /// The most whole km in the new shoe and the rest in the old one; `None` when the distance was not asked.
    pub km: Option<(u16, u16)>,
}

impl Ranker {
    /// The plan for going from the pair worn now to `chosen`.
    pub fn plan(&self, chosen: &Measures) -> Plan {
        let case = self.case();
        let worn = case.worn.map(|worn| worn.measures);
        let change = Change::between(&worn.unwrap_or(Measures::UNKNOWN), chosen, self.landing());
        let steps = case.policy.largest_step;
        let more = case.runner.stage.heading == Some(Heading::More);
        let Decided { needed, kind, why, unknown } = decide(&change, steps, more);
        let slow = if needed == Some(true) { slow_signs(&case.runner) } else { Vec::new() };
        let weeks = weeks(kind, needed, !slow.is_empty(), case.runner.weekly_km);
        Plan {
            needed,
            kind,
            why,
            unknown,
            worn_is_unknown: worn.is_none(),
            worn_is_guessed: matches!(case.runner.now.shoe, Now::Feels(_)),
            lacks_old_pair: needed != Some(false) && case.runner.now.old_pair == Some(OldPair::Finished),
            reviews: reviews(kind, needed, weeks.len() as u16),
            advice: advice::of(case, &change, chosen, needed, kind),
            slow,
            weeks,
        }
    }
}

struct Decided {
    needed: Option<bool>,
    kind: Kind,
    why: Vec<Why>,
    unknown: Vec<Decides>,
}

/// The kind of plan; the first that holds, and nothing is decided past a measure that is not known.
fn decide(change: &Change, largest_step: (i32, i32), more: bool) -> Decided {
    let falls = change.falls(largest_step);
    let missing = change.unknown();
    let open = change.is_minimal().is_none() || falls.is_empty() && !missing.is_empty();
    let (needed, kind, why) = match change.is_minimal() {
        Some(true) => (Some(true), Kind::Minimal, [vec![Why::MinimalType], falls].concat()),
        _ if !falls.is_empty() => ((!open).then_some(true), Kind::LargeStep, falls),
        _ if open => (None, Kind::None, Vec::new()),
        _ => {
            let wish = more.then_some(Why::HeadingMore);
            let why: Vec<Why> = wish.into_iter().chain(change.rises(largest_step)).collect();
            (Some(false), if why.is_empty() { Kind::None } else { Kind::Rotate }, why)
        }
    };
    Decided { needed, kind, why, unknown: if needed.is_none() { missing } else { Vec::new() } }
}

fn weeks(kind: Kind, needed: Option<bool>, slowly: bool, weekly_km: Option<u16>) -> Vec<Week> {
    let schedule = match kind {
        Kind::Minimal => Schedule::Minimal,
        Kind::LargeStep if needed == Some(true) => Schedule::LargeStep,
        Kind::LargeStep | Kind::Rotate | Kind::None => return Vec::new(),
    };
    let week = |week| {
        let share = schedule.ceiling(week, slowly);
        Week { week, share, km: weekly_km.map(|km| share.split(km)) }
    };
    (1..=schedule.weeks(slowly)).map(week).collect()
}

/// Two weeks in, then every six, and at the end. *House view*: no study says when to look again.
fn reviews(kind: Kind, needed: Option<bool>, weeks: u16) -> Vec<u16> {
    match (kind, needed) {
        (Kind::Rotate, _) => vec![4],
        (_, Some(true)) => {
            let every_six = (1..).map(|n| 6 * n).take_while(|week| week + 2 < weeks);
            [2].into_iter().chain(every_six).chain([weeks]).collect()
        }
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests;
