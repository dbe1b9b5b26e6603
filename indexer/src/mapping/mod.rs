//! Which heading feeds which column: guessed from evidence, shown with it, confirmed or changed by the owner, and kept
//! as a small file.
//!
//! In reading order: [`guess_mapping`] finds the rows of headings of each tab (`headings`), says what each heading
//! feeds (`feeds`), finds a run with a column a size (`runs`) and decides the decimal mark of each column
//! (`decimal`). What stands between a mapping and a change is in `findings`; what the owner says is a [`MappingFile`].

mod decimal;
mod feeds;
mod file;
mod findings;
mod headings;
mod runs;
mod units;

use std::collections::BTreeMap;

use catalogue::size::SizeSystem;
use serde::{Deserialize, Serialize};

pub use decimal::{Mark, MarkSeen};
pub use feeds::{Feeds, Undecided};
pub use file::{HeadingSaid, IGNORE, MappingFault, MappingFile, TEXT, TabSaid};
pub use headings::HeadingRows;
pub(crate) use runs::system_of_numbers;
pub use runs::{Means, RunMeans, RunSize};
pub(crate) use units::unit_of_cell;

use crate::characters::legible;
use crate::columns::{Column, Level};
use crate::heading::{Heading, Suggestion, Unit, suggest_by_values};
use crate::sheet::{Row, Sheet, Tab};

/// The heading of the column that the workbook of rows to mend adds: known, and read by people alone.
pub const PROBLEM: &str = "Problem";

/// Whether a sheet lists all that its supplier has, or a part of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SheetKind {
    /// All of it: what the sheet does not list is missing.
    Full,
    /// A part: what it does not list is not spoken of.
    #[default]
    Partial,
}

/// How one file is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mapping {
    /// Who sent the sheet.
    pub supplier: String,
    /// Full or partial.
    pub kind: SheetKind,
    /// The maker of every row, where the sheet has no column for it and the owner has said.
    pub maker: Option<String>,
    /// What the owner has answered for all sheets of this supplier.
    pub answers: Answers,
    /// One a tab of the sheet, in its order.
    pub tabs: Vec<TabMapping>,
    /// What the owner said of how the file is read.
    pub read_as: ReadSaid,
}

/// What the owner said of how a file is read; what nobody said is decided from evidence, each sheet anew.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadSaid {
    /// The character between two cells of a text.
    pub delimiter: Option<char>,
    /// The encoding of a text.
    pub encoding: Option<String>,
    /// Rows of headings and tabs left out, by the names of the tabs.
    pub tabs: BTreeMap<String, TabSaid>,
}

/// Answers to questions that a sheet leaves open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Answers {
    /// What the supplier's "stiffness" is: the column for bending, compression or torsion.
    pub stiffness: Option<&'static Column>,
    /// The system of sizes that do not name theirs.
    pub size_system: Option<SizeSystem>,
    /// What the marks in a run of sizes mean.
    pub run: RunMeans,
}

/// How one tab is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TabMapping {
    /// The rows of headings; `None`: none were found, and the tab is left out.
    pub headings: Option<HeadingRows>,
    /// The owner leaves the tab out.
    pub left_out: bool,
    /// One a heading, from the left.
    pub columns: Vec<MappedColumn>,
}

/// One heading and what it feeds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MappedColumn {
    /// The column of the sheet, from 0.
    pub at: u16,
    /// The heading as printed, its parts joined by ` / ` where it spans rows.
    pub heading: String,
    /// The name of it in a mapping file: the heading, with a number behind it from the second of the same on.
    pub name: String,
    /// The unit or size system it names, or the owner has said.
    pub unit: Option<Unit>,
    /// A unit that some cells name, while heading and owner name none: a bare number beside them may be in either.
    pub other_unit: Option<Unit>,
    /// The decimal mark of its numbers.
    pub mark: Mark,
    /// What it feeds.
    pub feeds: Feeds,
    /// The first different texts below it, at most three.
    pub samples: Vec<String>,
}

/// Guesses how a sheet is to be read; what `file` says wins over the guess.
pub fn guess_mapping(sheet: &Sheet, supplier: &str, file: Option<&MappingFile>) -> Mapping {
    let answers = file.map(MappingFile::answers).unwrap_or_default();
    Mapping {
        supplier: file.and_then(|f| f.supplier.clone()).unwrap_or_else(|| supplier.to_owned()),
        kind: file.map_or(SheetKind::Partial, |f| f.kind),
        maker: file.and_then(|f| f.maker.clone()),
        tabs: sheet.tabs.iter().map(|tab| guess_tab(tab, &answers, file)).collect(),
        answers,
        read_as: file.map(MappingFile::read_as).unwrap_or_default(),
    }
}

fn guess_tab(tab: &Tab, answers: &Answers, file: Option<&MappingFile>) -> TabMapping {
    let said = file.and_then(|f| f.tab(tab));
    let headings = headings::find(tab, file, said.and_then(|s| s.heading_row));
    let mut columns = headings.map_or_else(Vec::new, |rows| headings::columns(tab, rows));
    feeds::decide(&mut columns, answers, file);
    runs::find(&mut columns, answers, file);
    feeds::mark_undecided(&mut columns);
    let data = headings.map_or(&[][..], |rows| &tab.rows[rows.last + 1..]);
    for column in &mut columns {
        column.samples = samples(data, column.at);
    }
    decimal::decide(&mut columns, data, file);
    units::decide(&mut columns, data);
    TabMapping { headings, left_out: said.is_some_and(|s| s.leave_out), columns }
}

fn samples(rows: &[Row], at: u16) -> Vec<String> {
    let mut samples: Vec<String> = Vec::new();
    for text in rows.iter().map(|row| row.cell(at).trim()).filter(|text| !text.is_empty()) {
        if !samples.iter().any(|known| known == text) {
            samples.push(legible(text));
        }
        if samples.len() == 3 {
            break;
        }
    }
    samples
}

impl MappedColumn {
    /// A heading of which nothing is known yet.
    fn new(at: u16, heading: &str, unit: Option<Unit>) -> Self {
        let heading = legible(heading);
        let name = heading.clone();
        let (mark, feeds, samples) = (Mark::default(), Feeds::Unknown, Vec::new());
        Self { at, heading, name, unit, other_unit: None, mark, feeds, samples }
    }

    /// The column it feeds, if any.
    pub fn column(&self) -> Option<&'static Column> {
        match self.feeds {
            Feeds::Column(column) => Some(column),
            _ => None,
        }
    }

    /// Columns it could feed, the likeliest first: by its words, else by the look of what stands below it.
    pub fn suggestions(&self) -> Vec<Suggestion> {
        let parts: Vec<&str> = self.heading.split(" / ").collect();
        let mut suggestions = Heading::of_parts(&parts).suggestions();
        let samples: Vec<&str> = self.samples.iter().map(String::as_str).collect();
        let by_look = suggest_by_values(&samples);
        suggestions.extend(by_look.filter(|new| !suggestions.iter().any(|own| own.column == new.column)));
        suggestions
    }
}

impl TabMapping {
    /// Whether rows are read from the tab.
    pub fn is_taken(&self) -> bool {
        self.headings.is_some() && !self.left_out
    }

    /// The mapped column that feeds `column`.
    pub fn of(&self, column: &Column) -> Option<&MappedColumn> {
        self.columns.iter().find(|mapped| mapped.column().is_some_and(|c| c.key == column.key))
    }

    /// The columns of a run of sizes.
    pub fn run(&self) -> impl Iterator<Item = (&MappedColumn, &RunSize)> {
        self.columns.iter().filter_map(|mapped| match &mapped.feeds {
            Feeds::Size(size) => Some((mapped, size)),
            _ => None,
        })
    }

    /// The rows below the headings.
    pub fn data_rows<'s>(&self, tab: &'s Tab) -> &'s [Row] {
        self.headings.and_then(|rows| tab.rows.get(rows.last + 1..)).unwrap_or_default()
    }

    /// Whether it speaks of sizes.
    pub fn has_stock(&self) -> bool {
        let of_sku = |column: &MappedColumn| column.column().is_some_and(|c| c.level == Level::Sku);
        self.columns.iter().any(of_sku) || self.run().next().is_some()
    }
}

impl Mapping {
    /// The tabs that are read, each with how.
    pub fn taken<'s>(&'s self, sheet: &'s Sheet) -> impl Iterator<Item = (&'s Tab, &'s TabMapping)> {
        sheet.tabs.iter().zip(&self.tabs).filter(|(_, mapping)| mapping.is_taken())
    }

    /// Whether any tab speaks of sizes.
    pub fn has_stock(&self) -> bool {
        self.tabs.iter().any(|tab| tab.is_taken() && tab.has_stock())
    }

    /// The name under which a mapping is remembered: the headings of all tabs, in any order.
    pub fn fingerprint(&self) -> String {
        let columns = self.tabs.iter().flat_map(|tab| &tab.columns);
        let mut words: Vec<String> = columns
            .filter(|column| !matches!(column.feeds, Feeds::Size(_)) && column.heading != PROBLEM)
            .map(|column| Heading::of(&column.heading).words)
            .collect();
        words.sort_unstable();
        words.join("|")
    }
}

#[cfg(test)]
mod tests;
