//! How the cells of one column are to be read: what the heading, the other cells and the owner have said.

use catalogue::policy::Currency;
use catalogue::size::SizeSystem;
use catalogue::style::Audience;

use crate::columns::Language;
use crate::heading::Unit;

/// How the cells of one column are to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Manner {
    pub(super) mark: Mark,
    pub(super) unit: Option<Unit>,
    pub(super) typed: bool,
    pub(super) kind: Option<StiffnessKind>,
    pub(super) blank: RunMark,
    pub(super) dash: RunMark,
    pub(super) cross: RunMark,
    pub(super) currency: Currency,
    pub(super) language: Option<Language>,
    pub(super) audience: Option<Audience>,
}

/// The decimal mark of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A point; the comma parts thousands.
    Point,
    /// A comma; the point parts thousands.
    Comma,
    /// Nobody knows: a number that can be read in two ways is asked.
    Unknown,
}

/// What a column headed *stiffness* measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StiffnessKind {
    /// How hard the shoe is to bend lengthwise.
    Bending,
    /// How hard the midsole is to press.
    Compression,
    /// How hard the shoe is to wring.
    Torsion,
}

/// What a blank, a dash or an `x` means where pairs are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunMark {
    /// Nothing is said.
    Nothing,
    /// No pairs.
    None,
    /// In stock, the number unknown.
    InStock,
}

impl Manner {
    /// Numbers with `decimal` as the mark (a point or a comma), in `unit` unless a cell says another.
    pub const fn new(decimal: char, unit: Option<Unit>) -> Self {
        let mark = if decimal == ',' { Mark::Comma } else { Mark::Point };
        Self::unmarked(unit).mark(mark)
    }

    /// Numbers whose decimal mark nobody knows.
    pub const fn unmarked(unit: Option<Unit>) -> Self {
        Self {
            mark: Mark::Unknown,
            unit,
            typed: false,
            kind: None,
            blank: RunMark::Nothing,
            dash: RunMark::Nothing,
            cross: RunMark::InStock,
            currency: Currency { code: "EUR", decimals: 2 },
            language: None,
            audience: None,
        }
    }

    /// With this decimal mark.
    pub const fn mark(self, mark: Mark) -> Self {
        Self { mark, ..self }
    }

    /// The workbook keeps the cell as a number: a point is its decimal mark, whatever the texts of the column use.
    pub const fn typed_number(self, typed: bool) -> Self {
        Self { typed, ..self }
    }

    /// What a bare stiffness measures, when the owner has said.
    pub const fn kind(self, kind: Option<StiffnessKind>) -> Self {
        Self { kind, ..self }
    }

    /// What a blank cell means where pairs are counted.
    pub const fn blank(self, means: RunMark) -> Self {
        Self { blank: means, ..self }
    }

    /// What a dash means where pairs are counted.
    pub const fn dash(self, means: RunMark) -> Self {
        Self { dash: means, ..self }
    }

    /// What `x` means where pairs are counted.
    pub const fn cross(self, means: RunMark) -> Self {
        Self { cross: means, ..self }
    }

    /// The shop's currency; EUR unless said.
    pub const fn currency(self, currency: Currency) -> Self {
        Self { currency, ..self }
    }

    /// The language of the heading, when plain: it decides what a bare `H`, `D`, `M` or `U` stands for.
    pub const fn language(self, language: Option<Language>) -> Self {
        Self { language, ..self }
    }

    /// For whom the style of the row is: two sizes in one cell are compared for them.
    pub const fn audience(self, audience: Option<Audience>) -> Self {
        Self { audience, ..self }
    }

    /// The size system that the heading names.
    pub(super) const fn system(self) -> Option<SizeSystem> {
        match self.unit {
            Some(Unit::System(system)) => Some(system),
            _ => None,
        }
    }

    /// The mark of this cell.
    pub(super) const fn mark_here(self) -> Mark {
        if self.typed { Mark::Point } else { self.mark }
    }
}

impl StiffnessKind {
    /// The kind that a word of a mapping names.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "bending" => Some(Self::Bending),
            "compression" => Some(Self::Compression),
            "torsion" => Some(Self::Torsion),
            _ => None,
        }
    }

    /// The word for it in mapping files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bending => "bending",
            Self::Compression => "compression",
            Self::Torsion => "torsion",
        }
    }
}
