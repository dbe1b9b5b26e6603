//! From the pair worn now to the chosen shoe: how far each deciding measure moves, and which plan that calls for.

use std::fmt;

use crate::measures::{Landing, Measures};
use crate::minimalism::MinimalDegree;
use crate::units::Tenths;

/// The differences that decide, chosen less worn, in tenths of mm; `None` where either shoe does not say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Change {
    /// Heel stack.
    pub heel: Option<i32>,
    /// The stack the runner lands on.
    pub landing: Option<i32>,
    /// Drop.
    pub drop: Option<i32>,
    minimal: Option<bool>,
}

/// A measure that decides which plan it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decides {
    /// Heel stack.
    Heel,
    /// The stack the runner lands on.
    Landing,
    /// Drop.
    Drop,
}

/// Why a plan is what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The chosen shoe is minimal-type, and clearly more so than the worn one.
    MinimalType,
    /// A measure falls by so much, tenths of mm.
    Lower(Decides, i32),
    /// A measure rises by so much, tenths of mm.
    Higher(Decides, i32),
    /// More shoe is what is wished.
    HeadingMore,
}

impl Decides {
    /// All of them, in reading order.
    pub const ALL: [Self; 3] = [Self::Heel, Self::Landing, Self::Drop];

    /// In words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Heel => "heel stack",
            Self::Landing => "landing stack",
            Self::Drop => "drop",
        }
    }
}

impl Change {
    /// The change from one shoe to another for a runner who lands so.
    pub fn between(worn: &Measures, chosen: &Measures, landing: Landing) -> Self {
        let less =
            |of: fn(&Measures, Landing) -> Option<i32>| Some(of(chosen, landing)? - of(worn, landing)?);
        Self {
            heel: less(|shoe, _| shoe.heel_stack().map(|mm| mm.in_tenths())),
            landing: less(|shoe, landing| shoe.landing_stack(landing).map(|mm| mm.in_tenths())),
            drop: less(|shoe, _| shoe.drop().map(|mm| mm.in_tenths())),
            minimal: is_minimal_step(MinimalDegree::of(worn), MinimalDegree::of(chosen)),
        }
    }

    /// Whether it is a step to a minimal shoe; `None` while a missing measure could make it one.
    pub const fn is_minimal(&self) -> Option<bool> {
        self.minimal
    }

    /// One of the differences.
    pub const fn of(&self, measure: Decides) -> Option<i32> {
        match measure {
            Decides::Heel => self.heel,
            Decides::Landing => self.landing,
            Decides::Drop => self.drop,
        }
    }

    /// The measures that fall by the largest step or more; a landing that is the heel is not told twice.
    pub fn falls(&self, (drop, stack): (i32, i32)) -> Vec<Why> {
        self.moved(|measure, by| -by >= limit(measure, drop, stack))
            .map(|(m, by)| Why::Lower(m, -by))
            .collect()
    }

    /// The measures that rise by the largest step or more.
    pub fn rises(&self, (drop, stack): (i32, i32)) -> Vec<Why> {
        self.moved(|measure, by| by >= limit(measure, drop, stack))
            .map(|(m, by)| Why::Higher(m, by))
            .collect()
    }

    /// The differences that nobody can tell.
    pub fn unknown(&self) -> Vec<Decides> {
        Decides::ALL.into_iter().filter(|measure| self.of(*measure).is_none()).collect()
    }

    fn moved(&self, far: impl Fn(Decides, i32) -> bool) -> impl Iterator<Item = (Decides, i32)> {
        let told_twice = move |measure| measure == Decides::Landing && self.landing == self.heel;
        Decides::ALL
            .into_iter()
            .filter(move |measure| !told_twice(*measure))
            .filter_map(|measure| self.of(measure).map(|by| (measure, by)))
            .filter(move |(measure, by)| far(*measure, *by))
    }
}

const fn limit(measure: Decides, drop: i32, stack: i32) -> i32 {
    match measure {
        Decides::Drop => drop,
        Decides::Heel | Decides::Landing => stack,
    }
}

/// Known to be one, known not to be one, or open for want of a measure.
const fn is_minimal_step(worn: MinimalDegree, chosen: MinimalDegree) -> Option<bool> {
    if chosen.is_minimal_step_from(worn) {
        Some(true)
    } else if chosen.high < 500 || chosen.high - worn.low < 250 {
        Some(false)
    } else {
        None
    }
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::MinimalType => f.write_str("a minimal-type shoe, clearly more so than the pair worn now"),
            Self::Lower(measure, by) => write!(f, "{} mm less {}", Tenths(*by), measure.word()),
            Self::Higher(measure, by) => write!(f, "{} mm more {}", Tenths(*by), measure.word()),
            Self::HeadingMore => f.write_str("back to more shoe is wished"),
        }
    }
}
