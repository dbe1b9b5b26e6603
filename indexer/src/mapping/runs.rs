//! A run of sizes: one column a size label, the pairs in the cells.

use catalogue::size::{SizeLabel, SizeSystem};

use super::{Answers, Feeds, MappedColumn, MappingFile};
use crate::cells::is_cross;
use crate::columns::SIZE;
use crate::heading::{Heading, Unit};

/// Fewer columns headed by sizes are no run.
const SHORTEST: usize = 3;
/// EU labels of adults and no other system's, in twelfths. *Common practice*: UK and US stop below 20.
const PLAINLY_EU: std::ops::RangeInclusive<u16> = 34 * 12..=52 * 12;

/// One size of a run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunSize {
    /// The label with its system, where that is known.
    pub label: SizeLabel,
    /// Nobody says the system: it is taken from the numbers.
    pub inferred: bool,
}

/// What the marks in the cells of a run mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RunMeans {
    /// A blank cell.
    pub blank: Means,
    /// A dash.
    pub dash: Means,
    /// A zero.
    pub zero: Means,
    /// An `x`.
    pub x: Means,
}

/// What a mark means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Means {
    /// Nothing is said of this size.
    Nothing,
    /// There are none.
    None,
    /// There are some, the number unknown.
    Some,
}

impl Default for RunMeans {
    /// As is common: blank and dash say nothing, 0 is none, x is in stock.
    fn default() -> Self {
        Self { blank: Means::Nothing, dash: Means::Nothing, zero: Means::None, x: Means::Some }
    }
}

impl RunMeans {
    /// What a cell means that holds a mark; `None` for a number.
    pub fn of(&self, text: &str) -> Option<Means> {
        match text {
            "" => Some(self.blank),
            "-" | "–" | "—" => Some(self.dash),
            "0" => Some(self.zero),
            _ if is_cross(text) => Some(self.x),
            _ => None,
        }
    }
}

impl Means {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Nothing, Self::None, Self::Some];

    /// Its words in a mapping file.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Nothing => "says nothing",
            Self::None => "none",
            Self::Some => "in stock",
        }
    }

    /// The one with these words.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|means| means.words() == words)
    }
}

/// Finds the run: headings nobody knows that are size labels, where no column holds the sizes.
pub(super) fn find(columns: &mut [MappedColumn], answers: &Answers, file: Option<&MappingFile>) {
    if columns.iter().any(|mapped| mapped.column().is_some_and(|column| column.key == SIZE.key)) {
        return;
    }
    let open = |mapped: &MappedColumn| {
        mapped.feeds == Feeds::Unknown && file.is_none_or(|f| f.heading(mapped).is_none())
    };
    let found: Vec<(usize, Option<SizeSystem>, String)> = columns
        .iter()
        .enumerate()
        .filter(|(_, mapped)| open(mapped))
        .filter_map(|(at, mapped)| size_of(&mapped.heading).map(|(system, label)| (at, system, label)))
        .collect();
    if found.len() < SHORTEST {
        return;
    }
    let bare: Vec<u16> =
        found.iter().filter_map(|(_, _, text)| SizeLabel::parse(None, text)).map(|l| l.twelfths()).collect();
    let by_numbers = system_of_numbers(&bare);
    for (at, named, text) in found {
        let said = named.or(answers.size_system);
        if let Some(label) = SizeLabel::parse(said.or(by_numbers), &text) {
            columns[at].feeds =
                Feeds::Size(RunSize { label, inferred: said.is_none() && by_numbers.is_some() });
        }
    }
}

/// The system that these labels, in twelfths, can only be of.
pub(crate) fn system_of_numbers(labels: &[u16]) -> Option<SizeSystem> {
    let all_eu = !labels.is_empty() && labels.iter().all(|label| PLAINLY_EU.contains(label));
    all_eu.then_some(SizeSystem::Eu)
}

/// The size that a heading is: `42`, `EU 42 2/3`, `Pairs EU / 42`.
fn size_of(heading: &str) -> Option<(Option<SizeSystem>, String)> {
    let (group, own) = heading.rsplit_once(" / ").unwrap_or(("", heading));
    let (system, text) = match own.trim().split_once(|c: char| c.is_ascii_digit()) {
        Some((word, _)) => (crate::heading::system_of(word.trim()), own.trim()[word.len()..].to_owned()),
        None => return None,
    };
    let bare = own.trim().starts_with(|c: char| c.is_ascii_digit());
    let text = text.trim().to_owned();
    if (!bare && system.is_none()) || SizeLabel::parse(system, &text).is_none() {
        return None;
    }
    let of_group = match Heading::of(&format!("size {group}")).unit {
        Some(Unit::System(system)) => Some(system),
        _ => None,
    };
    Some((system.or(of_group), text))
}
