//! A mapping as the owner keeps it: TOML, one line a heading, that makes an import repeatable.

use std::collections::BTreeMap;

use catalogue::size::SizeSystem;
use serde::{Deserialize, Serialize};

use super::{
    Answers, Feeds, MappedColumn, Mapping, Mark, MarkSeen, Means, ReadSaid, RunMeans, SheetKind, TabMapping,
    Undecided,
};
use crate::columns::{BENDING, COMPRESSION, Column, STIFFNESS, TORSION};
use crate::heading::{Heading, Unit, system_of, unit_of};
use crate::sheet::Tab;

/// The word for a heading that is left out.
pub const IGNORE: &str = "ignore";

/// A mapping as the owner keeps it. What is left out is guessed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MappingFile {
    /// Who sends such sheets.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supplier: Option<String>,
    /// Full or partial.
    #[serde(default)]
    pub kind: SheetKind,
    /// The maker of every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub maker: Option<String>,
    /// `.` or `,` in every column.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_mark: Option<char>,
    /// The character between two cells of a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub delimiter: Option<char>,
    /// The encoding of a text, by its name in the WHATWG Encoding Standard.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub encoding: Option<String>,
    /// `bending`, `compression` or `torsion`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stiffness: Option<String>,
    /// The system of sizes that do not name theirs: EU, UK, US, MP or CM.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_system: Option<String>,
    /// What a blank cell in a run of sizes means: `says nothing`, `none` or `in stock`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run_blank: Option<String>,
    /// What a dash means there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run_dash: Option<String>,
    /// What a zero means there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run_zero: Option<String>,
    /// What an x means there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run_x: Option<String>,
    /// For each heading the key of a column, or `ignore`; or a table with column, unit and decimal mark.
    #[serde(default)]
    pub headings: BTreeMap<String, HeadingSaid>,
    /// What is said of single tabs, by their names; a table of text has the name `text`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub tabs: BTreeMap<String, TabSaid>,
}

/// What the owner says of one heading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum HeadingSaid {
    /// The column it feeds, or `ignore`.
    Key(String),
    /// The column and how its cells are written.
    Full(HeadingDetail),
}

/// What the owner says of one heading, in full.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadingDetail {
    /// The column it feeds, or `ignore`.
    pub column: String,
    /// The unit of numbers without one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// `.` or `,`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_mark: Option<char>,
}

/// What the owner says of one tab.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TabSaid {
    /// The row of headings, as the spreadsheet numbers it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heading_row: Option<u32>,
    /// Nothing is read from it.
    #[serde(default)]
    pub leave_out: bool,
}

/// A mapping file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MappingFault {
    /// It is no TOML of this shape.
    #[error(
        "the mapping file cannot be read: {0}. Write one with `lastbench import --check --mapping-out FILE` and change that."
    )]
    Unreadable(String),
    /// It names a column that does not exist.
    #[error(
        "the mapping file says that heading \"{heading}\" feeds \"{key}\", which is no column. `lastbench columns` lists them; `ignore` leaves a heading out."
    )]
    NoSuchColumn {
        /// The heading.
        heading: String,
        /// The key it names.
        key: String,
    },
    /// It says something of a setting that cannot be.
    #[error("the mapping file says {key} = \"{value}\". It may say {may}.")]
    NoSuchAnswer {
        /// The setting.
        key: String,
        /// What it says.
        value: String,
        /// What it may say.
        may: &'static str,
    },
}

const MARKS: &str = "\".\" or \",\"";
const MEANS: &str = "\"says nothing\", \"none\" or \"in stock\"";

impl HeadingSaid {
    /// The column with its unit and mark, in the shortest form.
    pub fn new(column: &str, unit: Option<String>, decimal_mark: Option<char>) -> Self {
        if unit.is_none() && decimal_mark.is_none() {
            return Self::Key(column.to_owned());
        }
        Self::Full(HeadingDetail { column: column.to_owned(), unit, decimal_mark })
    }

    /// The key of the column, or `ignore`.
    pub fn key(&self) -> &str {
        match self {
            Self::Key(key) => key,
            Self::Full(detail) => &detail.column,
        }
    }

    /// The decimal mark said.
    pub fn decimal_mark(&self) -> Option<char> {
        self.detail().and_then(|detail| detail.decimal_mark)
    }

    /// The unit or size system said.
    pub fn unit(&self) -> Option<Unit> {
        self.unit_word().and_then(|word| unit_of(&word.to_lowercase()))
    }

    fn unit_word(&self) -> Option<&str> {
        self.detail().and_then(|detail| detail.unit.as_deref())
    }

    fn detail(&self) -> Option<&HeadingDetail> {
        match self {
            Self::Key(_) => None,
            Self::Full(detail) => Some(detail),
        }
    }
}

/// What a key says of a heading.
pub(super) fn said_feeds(key: &str) -> Feeds {
    Column::find(key).map_or(Feeds::Ignored, Feeds::Column)
}

impl MappingFile {
    /// Reads a mapping file.
    ///
    /// # Errors
    /// It is no such file, or says what cannot be.
    pub fn parse(text: &str) -> Result<Self, MappingFault> {
        let file: Self = toml::from_str(text)
            .map_err(|e| MappingFault::Unreadable(e.to_string().trim().replace('\n', " ")))?;
        for (heading, said) in &file.headings {
            if said.key() != IGNORE && Column::find(said.key()).is_none() {
                return Err(MappingFault::NoSuchColumn {
                    heading: heading.clone(),
                    key: said.key().to_owned(),
                });
            }
        }
        file.faulty_answer().map_or(Ok(file), Err)
    }

    fn faulty_answer(&self) -> Option<MappingFault> {
        let fault = |key: &str, value: &str, may| {
            Some(MappingFault::NoSuchAnswer { key: key.to_owned(), value: value.to_owned(), may })
        };
        let mark = |mark: &char| !matches!(mark, '.' | ',');
        if let Some(odd) = self.decimal_mark.filter(mark) {
            return fault("decimal_mark", &odd.to_string(), MARKS);
        }
        for said in self.headings.values() {
            if let Some(odd) = said.decimal_mark().filter(mark) {
                return fault("decimal_mark", &odd.to_string(), MARKS);
            }
            if let Some(odd) = said.unit_word().filter(|_| said.unit().is_none()) {
                return fault("unit", odd, "mm, cm, in, g, kg, oz, lb, or EU, UK, US, MP, CM for sizes");
            }
        }
        if let Some(odd) = self.stiffness.as_deref().filter(|word| stiffness(word).is_none()) {
            return fault("stiffness", odd, "\"bending\", \"compression\" or \"torsion\"");
        }
        if let Some(odd) = self.size_system.as_deref().filter(|word| system_of(word).is_none()) {
            return fault("size_system", odd, "EU, UK, US, MP or CM");
        }
        let odd = self
            .run_words()
            .into_iter()
            .find_map(|(key, said)| Some((key, said.filter(|w| Means::from_words(w).is_none())?)));
        odd.and_then(|(key, odd)| fault(key, odd, MEANS))
    }

    fn run_words(&self) -> [(&'static str, Option<&str>); 4] {
        [
            ("run_blank", self.run_blank.as_deref()),
            ("run_dash", self.run_dash.as_deref()),
            ("run_zero", self.run_zero.as_deref()),
            ("run_x", self.run_x.as_deref()),
        ]
    }

    /// Its answers, those left out as is common.
    pub fn answers(&self) -> Answers {
        let [blank, dash, zero, x] = self.run_words().map(|(_, said)| said.and_then(Means::from_words));
        let common = RunMeans::default();
        Answers {
            stiffness: self.stiffness.as_deref().and_then(stiffness),
            size_system: self.size_system.as_deref().and_then(system_of),
            run: RunMeans {
                blank: blank.unwrap_or(common.blank),
                dash: dash.unwrap_or(common.dash),
                zero: zero.unwrap_or(common.zero),
                x: x.unwrap_or(common.x),
            },
        }
    }

    /// What it answers for every sheet of the supplier, without a word on headings and tabs.
    pub fn answers_alone(&self) -> Self {
        Self {
            supplier: self.supplier.clone(),
            maker: self.maker.clone(),
            stiffness: self.stiffness.clone(),
            size_system: self.size_system.clone(),
            run_blank: self.run_blank.clone(),
            run_dash: self.run_dash.clone(),
            run_zero: self.run_zero.clone(),
            run_x: self.run_x.clone(),
            ..Self::default()
        }
    }

    /// What it says of how the file is read.
    pub fn read_as(&self) -> ReadSaid {
        ReadSaid { delimiter: self.delimiter, encoding: self.encoding.clone(), tabs: self.tabs.clone() }
    }

    /// The same without what it says of how the file is read.
    pub fn read_plainly(self) -> Self {
        Self { delimiter: None, encoding: None, tabs: BTreeMap::new(), ..self }
    }

    /// Whether it says that a file is read otherwise than its own evidence has it.
    pub fn reads_otherwise(&self) -> bool {
        self.read_as() != ReadSaid::default()
    }

    /// Whether it answers anything beside who the supplier is.
    pub fn says_something(&self) -> bool {
        *self != Self { supplier: self.supplier.clone(), ..Self::default() }
    }

    /// What it says of a heading: by its name, else by the heading alone, where only one has it.
    pub(super) fn heading(&self, mapped: &MappedColumn) -> Option<&HeadingSaid> {
        self.headings.get(&mapped.name)
    }

    /// What it says of a tab.
    pub(super) fn tab(&self, tab: &Tab) -> Option<&TabSaid> {
        self.tabs.get(tab.title.as_deref().unwrap_or(TEXT))
    }

    /// Writes it.
    pub fn to_toml(&self) -> String {
        toml::to_string(self).unwrap_or_default()
    }
}

/// The name of the one tab of a table of text.
pub const TEXT: &str = "text";

fn stiffness(word: &str) -> Option<&'static Column> {
    [&BENDING, &COMPRESSION, &TORSION].into_iter().find(|column| column.key == word)
}

impl Mapping {
    /// The mapping as a file that repeats it.
    pub fn to_file(&self) -> MappingFile {
        let run = self.answers.run;
        let common = RunMeans::default();
        let words = |own: Means, common: Means| (own != common).then(|| own.words().to_owned());
        let columns = self.tabs.iter().flat_map(|tab| &tab.columns);
        MappingFile {
            supplier: Some(self.supplier.clone()),
            kind: self.kind,
            maker: self.maker.clone(),
            stiffness: self.answers.stiffness.map(|column| column.key.to_owned()),
            size_system: self.answers.size_system.map(SizeSystem::word).map(str::to_owned),
            run_blank: words(run.blank, common.blank),
            run_dash: words(run.dash, common.dash),
            run_zero: words(run.zero, common.zero),
            run_x: words(run.x, common.x),
            headings: columns.filter_map(|mapped| Some((mapped.name.clone(), mapped.said()?))).collect(),
            delimiter: self.read_as.delimiter,
            encoding: self.read_as.encoding.clone(),
            tabs: self.read_as.tabs.clone(),
            ..MappingFile::default()
        }
    }
}

impl MappedColumn {
    /// What a file says to repeat this; `None` for a size of a run, which is found again.
    fn said(&self) -> Option<HeadingSaid> {
        let key = match &self.feeds {
            Feeds::Size(_) => return None,
            Feeds::Column(column) if self.is_stiffness_said(column) => STIFFNESS.key,
            Feeds::Column(column) | Feeds::Undecided(Undecided::Another(column)) => column.key,
            Feeds::Undecided(_) | Feeds::Unknown | Feeds::LeftOut(_) | Feeds::Ignored => IGNORE,
        };
        let own_unit = Heading::of(&self.heading).unit;
        let unit = self.unit.filter(|unit| Some(*unit) != own_unit).map(|unit| unit.word().to_owned());
        let said_mark = |mark: Mark| mark.decimal.filter(|_| mark.seen == MarkSeen::Said);
        Some(HeadingSaid::new(key, unit, said_mark(self.mark)))
    }

    /// A heading that says stiffness and feeds another column: the answer stands once, not at the heading.
    fn is_stiffness_said(&self, column: &Column) -> bool {
        let by_words = Heading::of(&self.heading).column();
        by_words.is_some_and(|own| own.key == STIFFNESS.key) && column.key != STIFFNESS.key
    }
}

impl TabMapping {
    /// The mapped column of this name.
    pub fn named(&self, name: &str) -> Option<&MappedColumn> {
        self.columns.iter().find(|mapped| mapped.name == name)
    }
}
