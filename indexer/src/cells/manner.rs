//! How the cells of one column are to be read: what the heading, the other cells and the owner have said.

use catalogue::policy::Currency;
use catalogue::size::SizeSystem;

use crate::columns::Language;
use crate::heading::Unit;

/// How the cells of one column are to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Manner {
    pub(super) mark: Mark,
    pub(super) unit: Option<Unit>,
    pub(super) typed: bool,
    pub(super) currency: Currency,
    pub(super) language: Option<Language>,
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

/// What a shop's prices are in as long as it has said nothing else.
const EURO: Currency = Currency { code: "EUR", decimals: 2 };

impl Manner {
    /// Numbers with `decimal` as the mark (a point or a comma), in `unit` unless a cell says another.
    pub const fn new(decimal: char, unit: Option<Unit>) -> Self {
        let mark = if decimal == ',' { Mark::Comma } else { Mark::Point };
        Self::unmarked(unit).mark(mark)
    }

    /// Numbers whose decimal mark nobody knows.
    pub const fn unmarked(unit: Option<Unit>) -> Self {
        Self { mark: Mark::Unknown, unit, typed: false, currency: EURO, language: None }
    }

    /// With this decimal mark.
    pub const fn mark(self, mark: Mark) -> Self {
        Self { mark, ..self }
    }

    /// The workbook keeps the cell as a number: a point is its decimal mark, whatever the texts of the column use.
    pub const fn typed_number(self, typed: bool) -> Self {
        Self { typed, ..self }
    }

    /// The shop's currency; EUR unless said.
    pub const fn currency(self, currency: Currency) -> Self {
        Self { currency, ..self }
    }

    /// The language of the heading, when plain: it decides what a bare `H`, `D`, `M` or `U` stands for.
    pub const fn language(self, language: Option<Language>) -> Self {
        Self { language, ..self }
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
