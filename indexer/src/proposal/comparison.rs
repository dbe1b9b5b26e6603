//! The drafts of a sheet held against what the store holds, row by row.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use foldhash::fast::RandomState;

use super::{
    BesideHand, ByHand, CellChange, Counts, Entity, LeftOut, Proposal, RowChange, Standing, StoredRow, digest,
};
use crate::columns::{Column, GTIN, NAME, PRICE, QUANTITY, STATUS};
use crate::draft::{At, Drafts, ReadCell, Reading, RowDraft, StyleDraft, Value};
use crate::finding::{Code, Finding, Holds};
use crate::loaded::Seq;

/// The status of a style that is supplied.
const IN_RANGE: &str = "in range";

/// Rows of one entity that the sheet speaks of, in its order.
#[derive(Default)]
struct Changing<'r> {
    rows: Vec<Spoken<'r>>,
    by_key: HashMap<&'r str, usize, RandomState>,
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
    said: Vec<(&'static Column, Value)>,
    /// Columns that a person has set.
    hands: Vec<&'r str>,
}

impl Spoken<'_> {
    fn said(&self, column: &'static Column) -> Option<&Value> {
        self.said.iter().find(|(own, _)| own.is(column)).map(|(_, value)| value)
    }
}

/// The drafts of a sheet held against the store, row by row.
pub(super) struct Comparison<'r, F> {
    drafts: &'r Drafts,
    reading: &'r Reading,
    hands: HashMap<(Entity, &'r str), Vec<&'r str>, RandomState>,
    not_listed: &'r HashSet<String>,
    /// Styles among them that the sheet lists, with the first row that does.
    listed_again: Vec<(usize, At)>,
    stored: F,
    counts: Counts,
    tells_stock: bool,
    findings: Vec<Finding>,
    beside_hands: Vec<BesideHand>,
    styles: Changing<'r>,
    skus: Changing<'r>,
    gtins: HashMap<i64, &'r str, RandomState>,
    /// What the row above said of its style.
    last_style: Option<&'r Arc<StyleDraft>>,
}

impl<'r, E, F: FnMut(Entity, &str) -> Result<Option<StoredRow>, E>> Comparison<'r, F> {
    pub(super) fn of(drafts: &'r Drafts, standing: &'r Standing, stored: F) -> Self {
        let reading = &drafts.reading;
        Self {
            drafts,
            reading,
            hands: hands(&standing.by_hand),
            not_listed: &standing.not_listed,
            listed_again: Vec::new(),
            stored,
            counts: Counts {
                data_rows: reading.data_rows,
                held: reading.held_rows,
                unchanged: reading.repeated_rows,
                held_cells: drafts.findings.iter().filter(|f| f.code.holds() == Holds::Cell).count(),
                ..Counts::default()
            },
            tells_stock: tells_stock(drafts),
            findings: drafts.findings.clone(),
            beside_hands: Vec::new(),
            styles: Changing::default(),
            skus: Changing::default(),
            gtins: HashMap::default(),
            last_style: None,
        }
    }

    pub(super) fn row(&mut self, row: &'r RowDraft) -> Result<(), E> {
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
        let listed_again = first && self.not_listed.contains(style);
        if listed_again {
            self.listed_again.push((at, At { column: None, ..row.at }));
        }
        let style_changed = listed_again || self.styles.rows[at].change.cells.len() > style_before;
        let (mut new, mut changed) = (row.skus.is_empty() && style_new && first, style_changed);
        for sku in self.drafts.skus_of(row) {
            let at = self.spoken(Entity::Sku, sku.key.as_str(), style)?;
            let cells = self.without_gtin_twice(sku.key.as_str(), self.drafts.sizes.cells_of(sku));
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
    fn spoken(&mut self, entity: Entity, key: &'r str, style: &'r str) -> Result<usize, E> {
        // A style that the store does not hold has no sizes there, so that a first sheet need not ask for each.
        let of_new_style = entity == Entity::Sku && self.styles.is_new(style);
        if let Some(at) = self.changing(entity).by_key.get(key) {
            return Ok(*at);
        }
        let stored = if of_new_style { None } else { (self.stored)(entity, key)? };
        let (key_of, style_of) = (key.into(), style.into());
        let change =
            RowChange { entity, key: key_of, style: style_of, new: stored.is_none(), cells: Vec::new() };
        let hands = self.hands.get(&(entity, key)).cloned().unwrap_or_default();
        let changing = self.changing_mut(entity);
        changing.rows.push(Spoken { stored, change, said: Vec::new(), hands });
        changing.by_key.insert(key, changing.rows.len() - 1);
        Ok(changing.rows.len() - 1)
    }

    /// Sheets speak of styles and of sizes, never of settings.
    fn changing(&self, entity: Entity) -> &Changing<'r> {
        if entity == Entity::Style { &self.styles } else { &self.skus }
    }

    fn changing_mut(&mut self, entity: Entity) -> &mut Changing<'r> {
        if entity == Entity::Style { &mut self.styles } else { &mut self.skus }
    }

    /// A style that nobody knows needs a name.
    fn is_nameless(&self, at: usize, row: &RowDraft) -> bool {
        let spoken = &self.styles.rows[at];
        let named = |cells: &[ReadCell]| cells.iter().any(|cell| cell.column.is(&NAME));
        spoken.change.new && spoken.said(&NAME).is_none() && !named(&row.style.cells)
    }

    fn hold(&mut self, row: &RowDraft) {
        self.counts.held += 1;
        self.findings.push(Finding {
            code: Code::StyleUnknown,
            place: self.reading.place(row.at),
            heading: self.reading.heading(row.at).to_owned(),
            text: self.reading.text_at(row.at, None).to_owned(),
            say: format!("The catalogue does not hold {} and the row gives no name. Import its range sheet first, or add a column for the name.", row.style.key),
        });
    }

    /// Takes cells in: what differs from the store becomes a change, what may not is a finding.
    fn say(&mut self, entity: Entity, at: usize, cells: &[ReadCell]) {
        self.make_room(entity, at, cells.len());
        for cell in cells {
            let spoken = &self.changing(entity).rows[at];
            let refused = match spoken.said(cell.column) {
                Some(said) if *said == cell.value || entity.names(cell.column.key) => continue,
                _ if is_printed(spoken, cell.column) => continue,
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

    /// Room for as many cells as can change: a large sheet brings hundreds of thousands of new rows, and room that
    /// doubles as they fill would stay half empty.
    fn make_room(&mut self, entity: Entity, at: usize, cells: usize) {
        let changing = if entity == Entity::Style { &mut self.styles } else { &mut self.skus };
        let change = &mut changing.rows[at].change;
        if change.new && change.cells.is_empty() {
            change.cells.reserve_exact(cells);
        }
    }

    /// A style that was retired for not being listed is in the range again once it is, unless the sheet says its status.
    fn list_again(&mut self) {
        for (style, at) in std::mem::take(&mut self.listed_again) {
            if self.styles.rows[style].said(&STATUS).is_none() {
                let value = Value::Text(IN_RANGE.into());
                self.take(Entity::Style, style, &ReadCell { column: &STATUS, value, at });
            }
        }
    }

    /// Whether something stands above the sheet: a hand, or another supplier who owns the style.
    fn may_not(&self, spoken: &Spoken<'_>, cell: &ReadCell) -> Option<Code> {
        let entity = spoken.change.entity;
        let stored = spoken.stored.as_ref()?;
        entity.position(cell.column.key)?;
        let before = stored.value(entity, cell.column);
        // Pairs change by the hour: the newest word on them is the true one, whoever says it.
        if before == Some(&cell.value) || cell.column.is(&QUANTITY) {
            return None;
        }
        // That a value is not known can be said by hand too.
        if spoken.hands.contains(&cell.column.key) {
            return Some(Code::HandWins);
        }
        let another = entity == Entity::Style
            && before.is_some()
            && !cell.column.is(&PRICE)
            && stored.supplier != self.reading.supplier;
        another.then_some(Code::OwnerWins)
    }

    /// Keeps the owner's word on a cell that a person has set, so that it can be taken later.
    fn keep_beside_hand(&mut self, entity: Entity, at: usize, cell: &ReadCell) {
        let spoken = &self.changing(entity).rows[at];
        let owned = |stored: &StoredRow| entity == Entity::Sku || stored.supplier == self.reading.supplier;
        let key = &spoken.change.key;
        let said = |said: &BesideHand| said.key == *key && said.cell.column.is(cell.column);
        if spoken.hands.contains(&cell.column.key)
            && !cell.column.is(&QUANTITY)
            && spoken.stored.as_ref().is_some_and(owned)
            && !self.beside_hands.iter().rev().any(said)
        {
            let holds = spoken.stored.as_ref().and_then(|stored| stored.value(entity, cell.column).cloned());
            let said = CellChange {
                column: cell.column,
                before: holds,
                after: Some(cell.value.clone()),
                at: cell.at,
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
        let Some(first) = cells.iter().position(|own| own.column.is(cell.column)) else { return };
        let first = cells.remove(first);
        let (place, text) = (self.reading.place(first.at), first.text(self.reading).to_owned());
        self.counts.held_cells += 1;
        let heading = self.reading.heading(cell.at).to_owned();
        let say = "A later row says something else of the same style; neither is taken.".to_owned();
        self.findings.push(Finding { code: Code::CellsDiffer, place, heading, text, say });
    }

    fn take(&mut self, entity: Entity, at: usize, cell: &ReadCell) {
        let spoken = &mut self.changing_mut(entity).rows[at];
        // Reading holds rows of one size that differ, so that only a style is spoken of more than once.
        if entity == Entity::Style {
            spoken.said.push((cell.column, cell.value.clone()));
        }
        let before = spoken.stored.as_ref().and_then(|stored| stored.value(entity, cell.column).cloned());
        if before.as_ref() != Some(&cell.value) {
            spoken.change.cells.push(CellChange {
                column: cell.column,
                before,
                after: Some(cell.value.clone()),
                at: cell.at,
            });
        }
    }

    /// One trade item number names one size: a second one is held.
    fn without_gtin_twice(&mut self, key: &'r str, cells: &'r [ReadCell]) -> Cow<'r, [ReadCell]> {
        let twice = cells.iter().find(|cell| {
            cell.column.is(&GTIN)
                && cell.value.int().is_some_and(|gtin| *self.gtins.entry(gtin).or_insert(key) != key)
        });
        let Some(cell) = twice else { return Cow::Borrowed(cells) };
        self.refuse(cell, Code::GtinTwice);
        cells.iter().filter(|cell| !cell.column.is(&GTIN)).cloned().collect::<Vec<_>>().into()
    }

    pub(super) fn proposal(mut self, base: Seq) -> Proposal {
        self.list_again();
        let spoken = self.styles.rows.into_iter().chain(self.skus.rows);
        // A style of which every row was held leaves nothing behind.
        let speaks = |change: &RowChange| !change.cells.is_empty();
        let changes: Vec<_> = spoken.map(|spoken| spoken.change).filter(speaks).collect();
        Proposal {
            base,
            digest: digest(&changes, &LeftOut::default()),
            counts: self.counts,
            changes,
            beside_hands: self.beside_hands,
            missing: LeftOut::default(),
            tells_stock: self.tells_stock,
            findings: self.findings,
        }
    }
}

/// Whether the store prints this part of the key already.
fn is_printed(spoken: &Spoken<'_>, column: &Column) -> bool {
    let entity = spoken.change.entity;
    let printed = |stored: &StoredRow| entity.names(column.key) && stored.value(entity, column).is_some();
    spoken.stored.as_ref().is_some_and(printed)
}

/// The columns that a person has set, by row.
fn hands(by_hand: &ByHand) -> HashMap<(Entity, &str), Vec<&str>, RandomState> {
    let mut hands: HashMap<_, Vec<_>, _> = HashMap::default();
    for (entity, key, column) in by_hand {
        hands.entry((*entity, key.as_str())).or_default().push(column.as_str());
    }
    hands
}

/// Whether a sheet counts the pairs of any size.
fn tells_stock(drafts: &Drafts) -> bool {
    let counts = |row: &RowDraft| {
        drafts
            .skus_of(row)
            .iter()
            .any(|sku| drafts.sizes.cells_of(sku).iter().any(|cell| cell.column.is(&QUANTITY)))
    };
    drafts.rows.iter().any(counts)
}
