//! What is asked of the shoes: words, choices, ranges, working sizes, and how much of the answer.

use std::collections::BTreeMap;
use std::fmt;

use catalogue::size::{FootLength, SizeLabel, SizeSystem};

use crate::snapshot::Group;

/// The most hits in one answer that asks for a part.
pub const MOST_HITS: usize = 100;
/// The furthest hit that an answer may begin after.
pub const MOST_OFFSET: usize = 1_000;

/// One search. The default asks for everything.
///
/// A style is found when all its own groups accept it and, if any group of SKUs is narrowed, one and the same SKU
/// of it is accepted by all of these.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Search {
    /// Free words, as typed.
    pub words: String,
    /// The words are looked for exactly as typed: no letter is taken to be wrong, none is left out, none means more.
    pub exactly: bool,
    /// The values chosen in each group.
    pub choices: BTreeMap<Group, Choice>,
    /// Numbers from and to, for groups with numbers; other groups are not narrowed by them.
    pub ranges: BTreeMap<Group, Range>,
    /// The feet of the working sizes: a pair in stock must be made for one of them. Empty: any.
    pub feet: Vec<FootLength>,
    /// Filters that stand whatever is chosen here.
    pub within: Within,
    /// Which facets are counted.
    pub counts: Counts,
    /// How many hits; `None` is all, as a ranked list is shown whole.
    pub limit: Option<usize>,
    /// How many hits to leave out first.
    pub offset: usize,
}

/// Filters that stand whatever is chosen beside them: a facet is counted without its own choice, never without these.
/// A choice can so only narrow what they leave, in a group that they narrow too.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Within {
    /// Values that are let in, by group.
    pub choices: BTreeMap<Group, Choice>,
    /// Ranges of numbers.
    pub ranges: BTreeMap<Group, Range>,
    /// The feet of the working sizes.
    pub feet: Vec<FootLength>,
}

/// Values of one group; any of them will do. No value narrows nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// The values that were chosen.
    pub values: Vec<String>,
    /// Values that are let in beside them without being marked: unisex with men, daily with long, and
    /// [`crate::snapshot::NOT_GIVEN`] where a shoe that does not say is kept.
    pub admitted: Vec<String>,
}

/// A range of numbers, both ends included: tenths of mm and g, minor units of money.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Range {
    /// The least.
    pub from: Option<i64>,
    /// The greatest.
    pub to: Option<i64>,
    /// A shoe that does not say is kept.
    pub keep_unknown: bool,
}

/// Which facets are counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Counts {
    /// All groups.
    #[default]
    All,
    /// The groups of styles, not those of SKUs.
    StylesOnly,
    /// None: only hits, totals and what each filter hides.
    None,
}

/// What was asked otherwise than it is answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Warning {
    /// The limit was out of bounds.
    Limit {
        /// As asked.
        asked: usize,
        /// As answered.
        taken: usize,
    },
    /// The offset was out of bounds.
    Offset {
        /// As asked.
        asked: usize,
        /// As answered.
        taken: usize,
    },
    /// No shoe has this value now, so it finds none.
    NoSuchValue {
        /// The group.
        group: Group,
        /// The value as asked.
        value: String,
    },
    /// The words hold no letter and no digit, so they narrow nothing.
    NoWords,
}

impl Choice {
    /// These values and no others.
    pub fn of(values: &[&str]) -> Self {
        Self { values: values.iter().map(ToString::to_string).collect(), admitted: Vec::new() }
    }

    /// The same, with values let in beside them.
    #[must_use]
    pub fn admitting(mut self, values: &[&str]) -> Self {
        self.admitted.extend(values.iter().map(ToString::to_string));
        self
    }

    /// Every value that is let in; none when nothing was chosen.
    pub(super) fn accepted(&self) -> impl Iterator<Item = &str> {
        let admitted = if self.values.is_empty() { &[][..] } else { &self.admitted };
        self.values.iter().chain(admitted).map(String::as_str)
    }
}

impl Counts {
    /// Whether this group is counted.
    pub(super) fn hold(self, group: Group) -> bool {
        match self {
            Self::All => true,
            Self::StylesOnly => !group.is_of_sku(),
            Self::None => false,
        }
    }
}

impl Range {
    /// Whether it narrows anything.
    pub(super) fn is_open(&self) -> bool {
        self.from.is_none() && self.to.is_none()
    }

    pub(super) fn accepts(&self, number: Option<i64>) -> bool {
        match number {
            None => self.keep_unknown,
            Some(n) => self.from.is_none_or(|from| from <= n) && self.to.is_none_or(|to| n <= to),
        }
    }
}

impl Search {
    /// Everything inside what these filters leave.
    pub fn inside(filters: &Self) -> Self {
        let Self { choices, ranges, feet, .. } = filters.clone();
        Self { within: Within { choices, ranges, feet }, ..Self::default() }
    }

    /// The hits to leave out and the hits to give, within bounds, with a warning for each end that was not.
    pub(super) fn window(&self, warnings: &mut Vec<Warning>) -> (usize, Option<usize>) {
        let limit = self.limit.map(|asked| asked.clamp(1, MOST_HITS));
        if let (Some(asked), Some(taken)) = (self.limit, limit)
            && asked != taken
        {
            warnings.push(Warning::Limit { asked, taken });
        }
        let offset = self.offset.min(MOST_OFFSET);
        if offset != self.offset {
            warnings.push(Warning::Offset { asked: self.offset, taken: offset });
        }
        (offset, limit)
    }
}

/// A size value of the size group read back: `EU 42 2/3`.
pub fn size_label(value: &str) -> Option<SizeLabel> {
    let (system, printed) = value.split_once(' ')?;
    SizeLabel::parse(Some(SizeSystem::from_word(system)?), printed)
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Limit { asked, taken } => write!(f, "limit {asked} was taken as {taken}"),
            Self::Offset { asked, taken } => write!(f, "offset {asked} was taken as {taken}"),
            Self::NoSuchValue { group, value } => {
                write!(f, "no shoe has the value \"{value}\" under {}", group.key())
            }
            Self::NoWords => f.write_str("the words hold no letter and no digit and were left out"),
        }
    }
}
