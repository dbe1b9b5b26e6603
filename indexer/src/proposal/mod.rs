//! What a sheet would change: its drafts held against what the store holds.
//!
//! Computed, never stored; applying computes it again when the store has moved on, and another digest is a conflict.

mod comparison;
mod digest;

use std::collections::HashSet;
use std::sync::LazyLock;

use crate::columns::{COLOURWAY, COLUMNS, Column, Level, MAKER, SIZE, SIZE_SYSTEM, STYLE_NUMBER, WIDTH};
use crate::draft::{At, Drafts, Reading, Value};
use crate::finding::{Finding, Holds};
use crate::loaded::Seq;
use comparison::Comparison;
use digest::digest;

/// What a proposal would do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// The state of the store it was made at.
    pub base: Seq,
    /// The hash of the changes below.
    pub digest: String,
    /// Rows by what becomes of them.
    pub counts: Counts,
    /// Styles first, then sizes, each in the order of the sheet.
    pub changes: Vec<RowChange>,
    /// What the sheet says of cells that a person has set: they stay, and the sheet's word is kept beside them.
    pub beside_hands: Vec<BesideHand>,
    /// Of a full sheet: what it leaves out.
    pub missing: LeftOut,
    /// It counts pairs: applying it renews the age of the stock figures, even where it changes none.
    pub tells_stock: bool,
    /// The reading's findings and those of the comparison.
    pub findings: Vec<Finding>,
}

/// The keys of the supplier's styles and sizes that a full sheet does not list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// Styles.
    pub styles: Vec<String>,
    /// Sizes; empty where the sheet lists no sizes at all.
    pub sizes: Vec<String>,
}

/// What becomes of what a full sheet leaves out. Nothing is ever deleted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Missing {
    /// It stays as it is.
    #[default]
    Keep,
    /// Its sizes hold no pair any more.
    OutOfStock,
    /// Its styles are retired: no longer supplied, still on the wall.
    Retire,
}

/// What a sheet says of a cell that a person has set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BesideHand {
    /// A style or a size.
    pub entity: Entity,
    /// Its key.
    pub key: String,
    /// What it holds, what the sheet says, and where.
    pub cell: CellChange,
}

/// Rows by what becomes of them: new + changed + unchanged + held = data rows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Rows below the headings that hold data.
    pub data_rows: usize,
    /// Rows whose style or size the store does not hold.
    pub new: usize,
    /// Rows that change a value.
    pub changed: usize,
    /// Rows that change nothing.
    pub unchanged: usize,
    /// Rows held back whole.
    pub held: usize,
    /// Cells held back in rows that are taken.
    pub held_cells: usize,
    /// Of a full sheet: styles and sizes of the supplier that it does not list. Nothing becomes of them.
    pub missing: usize,
}

/// The kinds of rows that the store keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Entity {
    /// A style.
    Style,
    /// One size of one colourway.
    Sku,
    /// What the shop has set for itself. It has no columns of sheets: names and values of its own.
    Setting,
}

/// What becomes of one row of the store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowChange {
    /// A style or a size.
    pub entity: Entity,
    /// Its key.
    pub key: String,
    /// For a size, the style it belongs to.
    pub style: String,
    /// The store does not hold it yet.
    pub new: bool,
    /// The cells that change.
    pub cells: Vec<CellChange>,
}

/// What becomes of one cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellChange {
    /// Which column.
    pub column: &'static Column,
    /// What the store holds.
    pub before: Option<Value>,
    /// What it would hold.
    pub after: Option<Value>,
    /// Where it was read; the reading holds the place and the text.
    pub at: At,
}

/// A row as the store holds it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StoredRow {
    /// Who owns it; empty for a size.
    pub supplier: String,
    /// Its values, in the order of [`Entity::columns`].
    pub values: Vec<Option<Value>>,
}

/// What the store holds beside its values, as far as a proposal depends on it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// Cells that a person has set.
    pub by_hand: ByHand,
    /// Styles of the supplier that are retired because a full sheet did not list them, and not by a word of anybody.
    pub not_listed: HashSet<String>,
}

/// Cells that a person has set: entity, key and column.
pub type ByHand = HashSet<(Entity, String, String)>;

impl Missing {
    /// All of them, the gentlest first.
    pub const ALL: [Self; 3] = [Self::Keep, Self::OutOfStock, Self::Retire];

    /// Its word in the history and on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Keep => "keep",
            Self::OutOfStock => "out-of-stock",
            Self::Retire => "retire",
        }
    }

    /// The policy of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|missing| missing.word() == word)
    }
}

impl Entity {
    /// Its word in the ledger.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Style => "style",
            Self::Sku => "sku",
            Self::Setting => "setting",
        }
    }

    /// The columns that the store keeps of it, in the order of the registry.
    pub fn columns(self) -> &'static [&'static Column] {
        static STYLE: LazyLock<Vec<&Column>> = LazyLock::new(|| kept(Level::Style));
        static SKU: LazyLock<Vec<&Column>> = LazyLock::new(|| kept(Level::Sku));
        match self {
            Self::Style => &STYLE,
            Self::Sku => &SKU,
            Self::Setting => &[],
        }
    }

    /// Whether its key is made of this column: printed as first told, for the key never changes.
    pub fn names(self, key: &str) -> bool {
        let columns: &[&Column] = match self {
            Self::Style => &[&MAKER, &STYLE_NUMBER],
            Self::Sku => &[&COLOURWAY, &SIZE_SYSTEM, &SIZE, &WIDTH],
            Self::Setting => &[],
        };
        columns.iter().any(|column| column.key == key)
    }

    /// The place of a column among them.
    pub fn position(self, key: &str) -> Option<usize> {
        self.columns().iter().position(|column| column.key == key)
    }
}

fn kept(level: Level) -> Vec<&'static Column> {
    COLUMNS.iter().copied().filter(|column| column.level == level || column.level == Level::Either).collect()
}

impl StoredRow {
    /// What it holds in a column.
    pub(crate) fn value(&self, entity: Entity, column: &Column) -> Option<&Value> {
        self.values.get(entity.position(column.key)?)?.as_ref()
    }
}

impl CellChange {
    /// The text that was read, in the reading that it is of.
    pub fn text<'r>(&'r self, reading: &'r Reading) -> &'r str {
        reading.text_at(self.at, self.after.as_ref())
    }
}

impl Proposal {
    /// Whether the sheet as a whole is held: nothing of it can be applied.
    pub fn is_refused(&self) -> bool {
        self.findings.iter().any(|finding| finding.code.holds() == Holds::Sheet)
    }

    /// Whether applying it would change a value, or renew the age of the stock figures.
    pub fn is_worth_applying(&self) -> bool {
        !self.changes.is_empty() || !self.beside_hands.is_empty() || self.tells_stock
    }

    /// Notes what a full sheet leaves out.
    pub(crate) fn leave_out(&mut self, missing: LeftOut) {
        self.counts.missing = missing.styles.len() + missing.sizes.len();
        self.digest = digest(&self.changes, &missing);
        self.missing = missing;
    }

    /// Holds the drafts of a sheet against the store, which `stored` looks up row by row.
    pub fn of<E>(
        drafts: &Drafts,
        base: Seq,
        standing: &Standing,
        stored: impl FnMut(Entity, &str) -> Result<Option<StoredRow>, E>,
    ) -> Result<Self, E> {
        let mut comparison = Comparison::of(drafts, standing, stored);
        for row in &drafts.rows {
            comparison.row(row)?;
        }
        Ok(comparison.proposal(base))
    }
}
