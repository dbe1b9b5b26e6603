//! What a sheet would change: its drafts held against what the store holds.
//!
//! Computed, never stored; applying computes it again when the store has moved on, and another digest is a conflict.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, LazyLock};

use sha2::{Digest, Sha256};

use crate::columns::{
    COLOURWAY, COLUMNS, Column, GTIN, Level, MAKER, NAME, PRICE, QUANTITY, SIZE, SIZE_SYSTEM, STYLE_NUMBER,
    WIDTH,
};
use crate::draft::{ReadCell, Reading, RowDraft, StyleDraft, Value};
use crate::finding::{Code, Finding, Holds};
use crate::hash::hex;
use crate::loaded::Seq;
use crate::sheet::Place;

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

/// The two kinds of rows that the store keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Entity {
    /// A style.
    Style,
    /// One size of one colourway.
    Sku,
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
    /// Where it was read.
    pub place: Place,
    /// The text read.
    pub text: Box<str>,
}

/// A row as the store holds it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StoredRow {
    /// Who owns it; empty for a size.
    pub supplier: String,
    /// Its values, in the order of [`Entity::columns`].
    pub values: Vec<Option<Value>>,
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
        }
    }

    /// The columns that the store keeps of it, in the order of the registry.
    pub fn columns(self) -> &'static [&'static Column] {
        static STYLE: LazyLock<Vec<&Column>> = LazyLock::new(|| kept(Level::Style));
        static SKU: LazyLock<Vec<&Column>> = LazyLock::new(|| kept(Level::Sku));
        match self {
            Self::Style => &STYLE,
            Self::Sku => &SKU,
        }
    }

    /// Whether its key is made of this column: printed as first told, for the key never changes.
    pub fn names(self, key: &str) -> bool {
        let columns: &[&Column] = match self {
            Self::Style => &[&MAKER, &STYLE_NUMBER],
            Self::Sku => &[&COLOURWAY, &SIZE_SYSTEM, &SIZE, &WIDTH],
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

    /// Holds a reading against the store, which `stored` looks up row by row.
    pub fn of<E>(
        reading: &Reading,
        base: Seq,
        by_hand: &ByHand,
        stored: impl FnMut(Entity, &str) -> Result<Option<StoredRow>, E>,
    ) -> Result<Self, E> {
        let mut comparison = Comparison {
            reading,
            hands: hands(by_hand),
            stored,
            counts: Counts {
                data_rows: reading.data_rows,
                held: reading.held_rows,
                unchanged: reading.repeated_rows,
                ..Counts::default()
            },
            findings: reading.findings.clone(),
            beside_hands: Vec::new(),
            styles: Changing::default(),
            skus: Changing::default(),
            gtins: HashMap::new(),
            last_style: None,
        };
        for row in &reading.rows {
            comparison.row(row)?;
        }
        Ok(comparison.proposal(base))
    }
}

/// Rows of one entity that the sheet speaks of, in its order.
#[derive(Default)]
struct Changing<'r> {
    rows: Vec<Spoken<'r>>,
    by_key: HashMap<String, usize>,
}

impl Changing<'_> {
    fn is_new(&self, key: &str) -> bool {
        self.by_key.get(key).is_some_and(|at| self.rows[*at].change.new)
    }
}

/// A row of the store that the sheet speaks of.
struct Spoken<'r> {
    stored: Option<StoredRow>,
    change: RowChange,
    /// What the sheet has said so far, held cells included.
    said: HashMap<&'static str, Value>,
    /// Columns that a person has set.
    hands: Vec<&'r str>,
}

struct Comparison<'r, F> {
    reading: &'r Reading,
    hands: HashMap<(Entity, &'r str), Vec<&'r str>>,
    stored: F,
    counts: Counts,
    findings: Vec<Finding>,
    beside_hands: Vec<BesideHand>,
    styles: Changing<'r>,
    skus: Changing<'r>,
    gtins: HashMap<Value, String>,
    /// What the row above said of its style.
    last_style: Option<&'r Arc<StyleDraft>>,
}

impl<'r, E, F: FnMut(Entity, &str) -> Result<Option<StoredRow>, E>> Comparison<'r, F> {
    fn row(&mut self, row: &'r RowDraft) -> Result<(), E> {
        let style = row.style.key.as_str();
        let at = self.spoken(Entity::Style, style, "")?;
        if self.is_nameless(at, row) {
            self.hold(row);
            return Ok(());
        }
        let (style_new, style_before) =
            (self.styles.rows[at].change.new, self.styles.rows[at].change.cells.len());
        let first = self.styles.rows[at].said.is_empty();
        // A row that says of its style what the one above said adds nothing.
        if !self.last_style.is_some_and(|last| Arc::ptr_eq(last, &row.style)) {
            self.say(Entity::Style, at, &row.style.cells);
        }
        self.last_style = Some(&row.style);
        let style_changed = self.styles.rows[at].change.cells.len() > style_before;
        let (mut new, mut changed) = (row.skus.is_empty() && style_new && first, style_changed);
        for sku in &row.skus {
            let at = self.spoken(Entity::Sku, sku.key.as_str(), style)?;
            let cells = self.without_gtin_twice(sku.key.as_str(), &sku.cells);
            self.say(Entity::Sku, at, &cells);
            let sku = &self.skus.rows[at].change;
            new |= sku.new;
            changed |= !sku.cells.is_empty();
        }
        let count = match (new, changed) {
            (true, _) => &mut self.counts.new,
            (false, true) => &mut self.counts.changed,
            (false, false) => &mut self.counts.unchanged,
        };
        *count += 1;
        Ok(())
    }

    /// Finds or begins what the sheet says of one row of the store.
    fn spoken(&mut self, entity: Entity, key: &str, style: &str) -> Result<usize, E> {
        // A style that the store does not hold has no sizes there, so that a first sheet need not ask for each.
        let of_new_style = entity == Entity::Sku && self.styles.is_new(style);
        let changing = match entity {
            Entity::Style => &mut self.styles,
            Entity::Sku => &mut self.skus,
        };
        if let Some(at) = changing.by_key.get(key) {
            return Ok(*at);
        }
        let stored = if of_new_style { None } else { (self.stored)(entity, key)? };
        let change = RowChange {
            entity,
            key: key.to_owned(),
            style: style.to_owned(),
            new: stored.is_none(),
            cells: Vec::new(),
        };
        let hands = self.hands.get(&(entity, key)).cloned().unwrap_or_default();
        changing.rows.push(Spoken { stored, change, said: HashMap::new(), hands });
        changing.by_key.insert(key.to_owned(), changing.rows.len() - 1);
        Ok(changing.rows.len() - 1)
    }

    /// A style that nobody knows needs a name.
    fn is_nameless(&self, at: usize, row: &RowDraft) -> bool {
        let spoken = &self.styles.rows[at];
        let named = |cells: &[ReadCell]| cells.iter().any(|cell| cell.column.key == NAME.key);
        spoken.change.new && !spoken.said.contains_key(NAME.key) && !named(&row.style.cells)
    }

    fn hold(&mut self, row: &RowDraft) {
        self.counts.held += 1;
        self.findings.push(Finding {
            code: Code::StyleUnknown,
            place: self.reading.place(row.at),
            heading: self.reading.heading(row.at).to_owned(),
            text: row.style.key.to_string(),
            say: format!("The catalogue does not hold {} and the row gives no name. Import its range sheet first, or add a column for the name.", row.style.key),
        });
    }

    /// Takes cells in: what differs from the store becomes a change, what may not is a finding.
    fn say(&mut self, entity: Entity, at: usize, cells: &[ReadCell]) {
        for cell in cells {
            let spoken = match entity {
                Entity::Style => &self.styles.rows[at],
                Entity::Sku => &self.skus.rows[at],
            };
            let refused = match spoken.said.get(cell.column.key) {
                Some(said) if *said == cell.value || entity.names(cell.column.key) => continue,
                _ if is_printed(spoken, cell.column.key) => continue,
                Some(_) => Some(Code::CellsDiffer),
                None => self.may_not(spoken, cell),
            };
            self.keep_beside_hand(entity, at, cell);
            match refused {
                Some(code) => {
                    if code == Code::CellsDiffer {
                        self.take_back(entity, at, cell);
                    }
                    self.refuse(cell, code);
                }
                None => self.take(entity, at, cell),
            }
        }
    }

    /// Whether something stands above the sheet: a hand, or another supplier who owns the style.
    fn may_not(&self, spoken: &Spoken<'_>, cell: &ReadCell) -> Option<Code> {
        let entity = &spoken.change.entity;
        let stored = spoken.stored.as_ref()?;
        let before = stored.values.get(entity.position(cell.column.key)?)?.as_ref();
        // Pairs change by the hour: the newest word on them is the true one, whoever says it.
        if before == Some(&cell.value) || cell.column.key == QUANTITY.key {
            return None;
        }
        // That a value is not known can be said by hand too.
        if spoken.hands.contains(&cell.column.key) {
            return Some(Code::HandWins);
        }
        let another = *entity == Entity::Style
            && before.is_some()
            && cell.column.key != PRICE.key
            && stored.supplier != self.reading.supplier;
        another.then_some(Code::OwnerWins)
    }

    /// Keeps the owner's word on a cell that a person has set, so that it can be taken later.
    fn keep_beside_hand(&mut self, entity: Entity, at: usize, cell: &ReadCell) {
        let spoken = match entity {
            Entity::Style => &self.styles.rows[at],
            Entity::Sku => &self.skus.rows[at],
        };
        let owned = |stored: &StoredRow| entity == Entity::Sku || stored.supplier == self.reading.supplier;
        let key = &spoken.change.key;
        let said = |said: &BesideHand| said.key == *key && said.cell.column == cell.column;
        if spoken.hands.contains(&cell.column.key)
            && cell.column.key != QUANTITY.key
            && spoken.stored.as_ref().is_some_and(owned)
            && !self.beside_hands.iter().rev().any(said)
        {
            let position = entity.position(cell.column.key);
            let holds =
                spoken.stored.as_ref().zip(position).and_then(|(stored, at)| stored.values[at].clone());
            let said = CellChange {
                column: cell.column,
                before: holds,
                after: Some(cell.value.clone()),
                place: self.reading.place(cell.at),
                text: self.reading.text(cell).into(),
            };
            self.beside_hands.push(BesideHand { entity, key: key.clone(), cell: said });
        }
    }

    fn refuse(&mut self, cell: &ReadCell, code: Code) {
        if code.holds() == Holds::Cell {
            self.counts.held_cells += 1;
        }
        self.findings.push(Finding {
            code,
            place: self.reading.place(cell.at),
            heading: self.reading.heading(cell.at).to_owned(),
            text: self.reading.text(cell).to_owned(),
            say: format!("{} Say it by hand if the sheet is right.", code.says()),
        });
    }

    /// What an earlier row said of the same is not taken either: never the first wins, never the last.
    fn take_back(&mut self, entity: Entity, at: usize, cell: &ReadCell) {
        let changing = if entity == Entity::Style { &mut self.styles } else { &mut self.skus };
        let cells = &mut changing.rows[at].change.cells;
        let Some(first) = cells.iter().position(|own| own.column.key == cell.column.key) else { return };
        let CellChange { place, text, .. } = cells.remove(first);
        self.counts.held_cells += 1;
        let heading = self.reading.heading(cell.at).to_owned();
        let say = "A later row says something else of the same style; neither is taken.".to_owned();
        self.findings.push(Finding { code: Code::CellsDiffer, place, heading, text: text.into(), say });
    }

    fn take(&mut self, entity: Entity, at: usize, cell: &ReadCell) {
        let spoken = match entity {
            Entity::Style => &mut self.styles.rows[at],
            Entity::Sku => &mut self.skus.rows[at],
        };
        // Reading holds rows of one size that differ, so that only a style is spoken of more than once.
        if entity == Entity::Style {
            spoken.said.insert(cell.column.key, cell.value.clone());
        }
        let position = entity.position(cell.column.key);
        let before = spoken.stored.as_ref().zip(position).and_then(|(stored, at)| stored.values[at].clone());
        if before.as_ref() != Some(&cell.value) {
            spoken.change.cells.push(CellChange {
                column: cell.column,
                before,
                after: Some(cell.value.clone()),
                place: self.reading.place(cell.at),
                text: self.reading.text(cell).into(),
            });
        }
    }

    /// One trade item number names one size: a second one is held.
    fn without_gtin_twice<'c>(&mut self, key: &str, cells: &'c [ReadCell]) -> Cow<'c, [ReadCell]> {
        let twice = cells.iter().find(|cell| {
            cell.column.key == GTIN.key
                && self.gtins.entry(cell.value.clone()).or_insert_with(|| key.to_owned()) != key
        });
        let Some(cell) = twice else { return Cow::Borrowed(cells) };
        self.refuse(cell, Code::GtinTwice);
        cells.iter().filter(|cell| cell.column.key != GTIN.key).cloned().collect::<Vec<_>>().into()
    }

    fn proposal(self, base: Seq) -> Proposal {
        let held_by_reading = self.reading.findings.iter().filter(|f| f.code.holds() == Holds::Cell).count();
        let counts = Counts { held_cells: self.counts.held_cells + held_by_reading, ..self.counts };
        let spoken = self.styles.rows.into_iter().chain(self.skus.rows);
        // A style of which every row was held leaves nothing behind.
        let speaks = |change: &RowChange| !change.cells.is_empty();
        let changes: Vec<_> = spoken.map(|spoken| spoken.change).filter(speaks).collect();
        Proposal {
            base,
            digest: digest(&changes, &LeftOut::default()),
            counts,
            changes,
            beside_hands: self.beside_hands,
            missing: LeftOut::default(),
            tells_stock: tells_stock(self.reading),
            findings: self.findings,
        }
    }
}

/// Whether the store prints this part of the key already.
fn is_printed(spoken: &Spoken<'_>, column: &str) -> bool {
    let entity = spoken.change.entity;
    let value = |stored: &StoredRow| stored.values.get(entity.position(column)?)?.clone();
    entity.names(column) && spoken.stored.as_ref().and_then(value).is_some()
}

/// The columns that a person has set, by row.
fn hands(by_hand: &ByHand) -> HashMap<(Entity, &str), Vec<&str>> {
    let mut hands: HashMap<_, Vec<_>> = HashMap::new();
    for (entity, key, column) in by_hand {
        hands.entry((*entity, key.as_str())).or_default().push(column.as_str());
    }
    hands
}

/// Whether a sheet counts the pairs of any size.
fn tells_stock(reading: &Reading) -> bool {
    let counts = |row: &RowDraft| {
        row.skus.iter().any(|sku| sku.cells.iter().any(|cell| cell.column.key == QUANTITY.key))
    };
    reading.rows.iter().any(counts)
}

fn digest(changes: &[RowChange], missing: &LeftOut) -> String {
    let mut hash = Sha256::new();
    for change in changes {
        hash.update(format!("{}\u{1}{}\u{1}{}\u{2}", change.entity.word(), change.key, change.new));
        for cell in &change.cells {
            hash.update(format!("{}\u{1}{:?}\u{1}{:?}\u{2}", cell.column.key, cell.before, cell.after));
        }
    }
    for key in missing.styles.iter().chain(&missing.sizes) {
        hash.update(format!("missing\u{1}{key}\u{2}"));
    }
    hex(&hash.finalize()[..16])
}
