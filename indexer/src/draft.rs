//! What a sheet was understood to say: one draft a row, every value with the place it was read from.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use catalogue::key::{SkuKey, StyleKey};

use crate::columns::Column;
use crate::finding::Finding;
use crate::mapping::SheetKind;
use crate::sheet::{Place, Sheet};

/// A value as the store keeps it: tenths, minor units, 0 and 1 as integers; everything else as canonical text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Value {
    /// Tenths of mm, g or N/mm; minor units of the currency; 0 or 1; a count; a trade item number.
    Int(i64),
    /// A word, a name, a list of words joined by commas, a size or a quantity.
    /// Shared: a sheet says the same few words many thousand times.
    Text(Arc<str>),
}

impl Value {
    /// The number, if it is one.
    pub fn int(&self) -> Option<i64> {
        match self {
            Self::Int(int) => Some(*int),
            Self::Text(_) => None,
        }
    }

    /// The text, if it is one.
    pub fn text(&self) -> Option<&str> {
        match self {
            Self::Int(_) => None,
            Self::Text(text) => Some(text),
        }
    }
}

/// Where in a sheet a value was read, as places among its tabs, rows and columns: small, for there are many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct At {
    /// The tab.
    pub tab: u16,
    /// The row among those of the tab.
    pub row: u32,
    /// The column; `None` for what holds for a whole row and stands in no cell of it.
    pub column: Option<u16>,
}

/// A value with where it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadCell {
    /// Which column it feeds.
    pub column: &'static Column,
    /// What it says.
    pub value: Value,
    /// Where it stands.
    pub at: At,
}

/// One row of a sheet, understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowDraft {
    /// Where the row stands, and the column that names its style.
    pub at: At,
    /// What it says of its style; shared by the rows below that say the same of it, word for word.
    pub style: Arc<StyleDraft>,
    /// The sizes it speaks of, as places in [`Sizes::skus`]: none, one, or a whole run with a column a size.
    pub skus: Range<u32>,
}

/// What a row says of a style.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StyleDraft {
    /// The style.
    pub key: StyleKey,
    /// How it was found.
    pub join: Join,
    /// The maker, unless a GTIN has told the style, and the rest as far as given. A blank cell says nothing.
    pub cells: Vec<ReadCell>,
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
    /// What it says of it, as places in [`Sizes::cells`]: colourway, size system, size and width as far as given, and
    /// the rest.
    pub cells: Range<u32>,
}

/// What all rows say of sizes. Both lists are one piece of memory each: a sheet has some hundred thousand rows, and a
/// list of cells a row would ask for as many pieces.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sizes {
    /// The sizes, in the order of the rows; those of a row that is held later stay behind.
    pub skus: Vec<SkuDraft>,
    /// The cells of all of them, in the same order.
    pub cells: Vec<ReadCell>,
}

impl Sizes {
    /// The cells that speak of a size.
    pub fn cells_of(&self, sku: &SkuDraft) -> &[ReadCell] {
        &self.cells[sku.cells.start as usize..sku.cells.end as usize]
    }

    /// The cells read since there were `from` of them, which belong to no size yet.
    pub(crate) fn cells_from(&self, from: usize) -> &[ReadCell] {
        &self.cells[from..]
    }

    /// Gives the cells read since there were `from` of them to a size.
    pub(crate) fn push(&mut self, key: SkuKey, from: usize) {
        self.skus.push(SkuDraft { key, cells: from as u32..self.cells.len() as u32 });
    }
}

/// A whole sheet, understood: never an error, since odd data gives findings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drafts {
    /// What stays of it when the drafts are let go.
    pub reading: Reading,
    /// The rows understood, in the order of the sheet. They take more memory than the sheet, and nobody asks for them
    /// once a proposal is made.
    pub rows: Vec<RowDraft>,
    /// What the rows say of sizes.
    pub sizes: Sizes,
    /// What the owner should look at, in the order of the sheet.
    pub findings: Vec<Finding>,
}

/// A sheet that was read: what became of its rows, and where places and texts are looked up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The file's name.
    pub sheet: String,
    /// The sheet that was read: places and texts are looked up in it.
    pub source: Arc<Sheet>,
    /// The headings of each tab, by column.
    pub headings: Vec<BTreeMap<u16, String>>,
    /// Who sent it.
    pub supplier: String,
    /// Whether it lists all that the supplier has, or a part.
    pub kind: SheetKind,
    /// Rows below the heading that hold data; drafts and held rows and repeated rows add up to it.
    pub data_rows: usize,
    /// Rows held back whole.
    pub held_rows: usize,
    /// Rows repeated word for word: counted unchanged.
    pub repeated_rows: usize,
    /// Rows understood, by how they were joined to their styles.
    pub joined: BTreeMap<Join, usize>,
}

impl Drafts {
    /// The sizes that a row speaks of.
    pub fn skus_of(&self, row: &RowDraft) -> &[SkuDraft] {
        &self.sizes.skus[row.skus.start as usize..row.skus.end as usize]
    }
}

impl Reading {
    /// How many rows were joined to their styles in this way.
    pub fn joined(&self, join: Join) -> usize {
        self.joined.get(&join).copied().unwrap_or_default()
    }

    /// The address of a place, as the owner finds it again.
    pub fn place(&self, at: At) -> Place {
        let tab = &self.source.tabs[usize::from(at.tab)];
        Place { column: at.column, ..tab.row_place(&tab.rows[at.row as usize]) }
    }

    /// The heading above a place; blank where there is none.
    pub fn heading(&self, at: At) -> &str {
        let headings = self.headings.get(usize::from(at.tab));
        headings.zip(at.column).and_then(|(tab, column)| tab.get(&column)).map_or("", String::as_str)
    }

    /// The text that a value was read from; what stands in no cell is its own text.
    pub fn text<'r>(&'r self, cell: &'r ReadCell) -> &'r str {
        self.text_at(cell.at, Some(&cell.value))
    }

    /// The text that a value was read from here.
    pub(crate) fn text_at<'r>(&'r self, at: At, value: Option<&'r Value>) -> &'r str {
        match at.column {
            Some(column) => self.source.tabs[usize::from(at.tab)].rows[at.row as usize].cell(column).trim(),
            None => value.and_then(Value::text).unwrap_or_default(),
        }
    }
}
