//! What a sheet was understood to say: one draft a row, every value with the place it was read from.

use catalogue::key::{SkuKey, StyleKey};

use crate::columns::Column;
use crate::finding::Finding;
use crate::mapping::SheetKind;
use crate::sheet::Place;

/// A value as the store keeps it: tenths, minor units, 0 and 1 as integers; everything else as canonical text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Value {
    /// Tenths of mm, g or N/mm; minor units of the currency; 0 or 1; a count; a trade item number.
    Int(i64),
    /// A word, a name, a list of words joined by commas, a size or a quantity.
    Text(String),
}

/// A value with where it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadCell {
    /// Which column it feeds.
    pub column: &'static Column,
    /// What it says.
    pub value: Value,
    /// Where it stands; the column of the place is set.
    pub place: Place,
    /// The text read.
    pub text: Box<str>,
}

/// One row of a sheet, understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowDraft {
    /// Where the row stands.
    pub place: Place,
    /// The style it speaks of.
    pub style: StyleKey,
    /// How that style was found.
    pub join: Join,
    /// What it says of the style: the maker always, the rest as far as given. A blank cell says nothing.
    pub style_cells: Vec<ReadCell>,
    /// The sizes it speaks of: none, one, or a whole run with a column a size.
    pub skus: Vec<SkuDraft>,
}

/// How a row was joined to its style.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Join {
    /// By the maker's number.
    Number,
    /// By the GTIN of one of its sizes.
    Gtin,
    /// By the maker and the name.
    Name,
}

/// What a row says of one size of one colourway.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SkuDraft {
    /// The SKU.
    pub key: SkuKey,
    /// What it says of it: colourway, size system, size and width as far as given, and the rest.
    pub cells: Vec<ReadCell>,
}

/// A whole sheet, understood: never an error, since odd data gives findings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The file's name.
    pub sheet: String,
    /// Who sent it.
    pub supplier: String,
    /// Whether it lists all that the supplier has, or a part.
    pub kind: SheetKind,
    /// Rows below the heading that hold data; drafts and held rows and repeated rows add up to it.
    pub data_rows: usize,
    /// The rows understood, in the order of the sheet.
    pub rows: Vec<RowDraft>,
    /// Rows held back whole.
    pub held_rows: usize,
    /// Rows repeated word for word: counted unchanged.
    pub repeated_rows: usize,
    /// What the owner should look at, in the order of the sheet.
    pub findings: Vec<Finding>,
}

impl Reading {
    /// How many rows were joined to their styles in this way.
    pub fn joined(&self, join: Join) -> usize {
        self.rows.iter().filter(|row| row.join == join).count()
    }
}
