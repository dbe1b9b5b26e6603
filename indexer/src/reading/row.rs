//! One row: which style and sizes it speaks of, and what it says of them.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

use catalogue::key::StyleKey;
use catalogue::size::SizeSystem;
use catalogue::style::Audience;
use foldhash::fast::RandomState;

use super::faults::RowFault;
use super::identity::{Found, Identity, Names};
use super::merged::{MergedDown, merged_downwards};
use super::plan::{Plan, Planned};
use super::run::Marks;
use super::size::inferred_system;
use crate::cells::{says_nothing, trimmed};
use crate::columns::{AUDIENCE, Column, GTIN, Level, MAKER, REPLACES, SIZE, STIFFNESS};
use crate::draft::{At, Join, ReadCell, RowDraft, Sizes, StyleDraft, Value};
use crate::finding::{Code, Finding, Holds};
use crate::mapping::{Mapping, TabMapping};
use crate::sheet::{Row, Sheet, Tab};

/// Reads the rows of one tab.
pub(super) struct RowReader<'s> {
    pub(super) tab: &'s Tab,
    pub(super) mapping: &'s TabMapping,
    pub(super) whole: &'s Mapping,
    pub(super) marks: Marks,
    /// The tab's place in the sheet.
    at: u16,
    pub(super) identity: &'s Identity<'s>,
    pub(super) plan: Plan<'s>,
    /// The last row whose style cells gave no finding, with what it said: most rows of a stock sheet repeat it.
    last: RefCell<Option<Rc<OfStyle>>>,
    /// What stands behind the style in the keys of sizes, by colourway, system, size and width as printed.
    pub(super) tails: RefCell<HashMap<[&'s str; 4], Box<str>, RandomState>>,
    /// Cells of the heading rows.
    pub(super) width: usize,
    /// Most rows end in blank cells beyond the headings: that is how the sheet is written, and moves nothing.
    pub(super) ends_blank: bool,
    /// The system of the sizes, where nobody says it and the numbers leave no other.
    pub(super) inferred: Option<SizeSystem>,
    /// Blocks of cells merged downwards, by column.
    merged: HashMap<u16, Vec<MergedDown<'s>>>,
}

/// What a row says of its style, and where.
struct OfStyle {
    row: u32,
    found: Found,
    draft: Arc<StyleDraft>,
}

impl<'s> RowReader<'s> {
    pub(super) fn new(sheet: &'s Sheet, at: u16, whole: &'s Mapping, identity: &'s Identity<'s>) -> Self {
        let (tab, mapping) = (&sheet.tabs[usize::from(at)], &whole.tabs[usize::from(at)]);
        let headings = mapping.headings.map_or(&[][..], |rows| &tab.rows[rows.first..=rows.last]);
        let width = headings.iter().map(|row| row.cells.len()).max().unwrap_or(0);
        let rows = mapping.data_rows(tab);
        let wider = rows.iter().filter(|row| row.cells.len() > width).count();
        Self {
            tab,
            mapping,
            whole,
            marks: Marks::default(),
            at,
            identity,
            plan: Plan::of(mapping, identity.currency()),
            last: RefCell::default(),
            tails: RefCell::default(),
            width,
            ends_blank: wider >= 3 && wider * 2 > rows.len(),
            inferred: inferred_system(mapping, rows),
            merged: merged_downwards(tab),
        }
    }

    /// What is to be said of the tab as a whole before its rows are read.
    pub(super) fn of_tab(&self) -> Option<Finding> {
        let of_run = self.mapping.run().find(|(_, size)| size.inferred);
        let (mapped, system) = match of_run {
            Some((mapped, size)) => (mapped, size.label.system()?),
            None => (self.mapping.of(&SIZE)?, self.inferred?),
        };
        let row = &self.tab.rows[self.mapping.headings?.own];
        let say = format!(
            "Nobody says the system of these sizes. Their numbers are only {} sizes, so they are taken for that. If they are not, say the system in the mapping.",
            system.word()
        );
        let place = self.tab.cell_place(row, mapped.at);
        let heading = mapped.heading.clone();
        Some(Finding { code: Code::SizeSystemInferred, place, heading, text: String::new(), say })
    }

    /// The draft of a row, or `None` when the row is held; its sizes go to `sizes`, findings to `findings`.
    pub(super) fn read(&self, at: u32, sizes: &mut Sizes, findings: &mut Vec<Finding>) -> Option<RowDraft> {
        let row = &self.tab.rows[at as usize];
        match self.draft(at, row, sizes, findings) {
            Ok(draft) => Some(draft),
            Err(fault) => {
                findings.push(self.row_finding(row, fault));
                None
            }
        }
    }

    fn draft(
        &self,
        at: u32,
        row: &'s Row,
        sizes: &mut Sizes,
        findings: &mut Vec<Finding>,
    ) -> Result<RowDraft, RowFault> {
        let first = sizes.skus.len() as u32;
        let from = sizes.cells.len();
        self.not_too_wide(row)?;
        let of_style = self.style(at, row, findings)?;
        self.cells(at, row, &self.plan.sku, &of_style.found, &mut sizes.cells, findings)?;
        self.gtin_is_of_this_size(&of_style.found, sizes.cells_from(from))?;
        let draft = Arc::clone(&of_style.draft);
        self.skus(at, row, &of_style.found, from, sizes, findings);
        let sized = sizes.skus.len() as u32 > first;
        let style = if sized { draft } else { self.without_size(row, draft, sizes.cells.split_off(from))? };
        let at = self.at(at, self.plan.names(style.join));
        Ok(RowDraft { at, style, skus: first..sizes.skus.len() as u32 })
    }

    /// What a row says of its style: what the last row said, where all its cells of styles are the same.
    fn style(&self, at: u32, row: &'s Row, findings: &mut Vec<Finding>) -> Result<Rc<OfStyle>, RowFault> {
        if let Some(last) = &*self.last.borrow()
            && self.says_the_same(last.row, row)
        {
            return Ok(Rc::clone(last));
        }
        let before = findings.len();
        let names = self.names(row);
        let found = self.identity.find(&names).map_err(|why| self.unfound(row, &names, why))?;
        let cells = self.style_cells(at, row, &found, findings)?;
        let draft = Arc::new(StyleDraft { key: found.style.clone(), join: found.join, cells });
        self.identity.meet(&names, &found);
        let of_style = Rc::new(OfStyle { row: at, found, draft });
        // A GTIN alone names another style in every row, and a finding is due at every row.
        if findings.len() == before && of_style.found.join != Join::Gtin {
            *self.last.borrow_mut() = Some(Rc::clone(&of_style));
        }
        Ok(of_style)
    }

    /// Whether all cells of styles in a row are those of an earlier one.
    fn says_the_same(&self, last: u32, row: &Row) -> bool {
        let last = &self.tab.rows[last as usize];
        self.merged.is_empty()
            && self.plan.style_columns.iter().all(|columns| last.cells.alike(&row.cells, columns.clone()))
    }

    fn style_cells(
        &self,
        at: u32,
        row: &'s Row,
        found: &Found,
        findings: &mut Vec<Finding>,
    ) -> Result<Vec<ReadCell>, RowFault> {
        let mut cells = Vec::with_capacity(self.plan.style.len() + 1);
        self.cells(at, row, &self.plan.style, found, &mut cells, findings)?;
        if let Some(maker) = found.maker.as_deref().filter(|_| self.text(row, self.plan.maker).is_empty()) {
            cells.insert(
                0,
                ReadCell { column: &MAKER, value: Value::Text(maker.into()), at: self.at(at, None) },
            );
        }
        findings.extend(self.drop_disagrees(row, &cells));
        Ok(cells)
    }

    /// A row without a size: pairs would be lost, and a price holds for the style; colours and places have nothing to
    /// stand on.
    fn without_size(
        &self,
        row: &Row,
        style: Arc<StyleDraft>,
        cells: Vec<ReadCell>,
    ) -> Result<Arc<StyleDraft>, RowFault> {
        self.no_pairs_without_size(row, &cells)?;
        let mut of_style = cells.into_iter().filter(|cell| cell.column.level == Level::Either).peekable();
        if of_style.peek().is_none() {
            return Ok(style);
        }
        let mut own = StyleDraft::clone(&style);
        own.cells.extend(of_style);
        Ok(Arc::new(own))
    }

    /// What the row says of its identity. The maker is its cell, else what the owner said, else the supplier when it
    /// is known as a maker.
    fn names(&self, row: &'s Row) -> Names<'s> {
        let cell = self.text(row, self.plan.maker);
        let supplier = || self.identity.maker_called(&self.whole.supplier);
        let maker =
            if cell.is_empty() { self.whole.maker.clone().or_else(supplier) } else { Some(cell.to_owned()) };
        Names {
            maker,
            number: self.text(row, self.plan.number),
            name: self.text(row, self.plan.name),
            audience: self.audience(row),
            gtin: self.gtin(row),
        }
    }

    /// What the planned cells of a row say, added to `cells`; a row that is held may leave some behind.
    fn cells(
        &self,
        at: u32,
        row: &'s Row,
        plan: &[Planned<'s>],
        found: &Found,
        cells: &mut Vec<ReadCell>,
        findings: &mut Vec<Finding>,
    ) -> Result<(), RowFault> {
        for planned in plan {
            let text = trimmed(row.cell(planned.at));
            let (text, from) = if text.is_empty() { self.merged_text(row, planned.at) } else { (text, None) };
            if text.is_empty() {
                continue;
            }
            let heard = match planned.heard(row, text) {
                Ok(heard) => heard,
                Err(fault) if fault.code.holds() == Holds::Row => {
                    let (code, say) = (fault.code, fault.say);
                    return Err(RowFault { code, column: Some(planned.at), text: text.to_owned(), say });
                }
                Err(fault) => {
                    findings.push(self.finding(row, planned.mapped, fault.code, fault.say));
                    continue;
                }
            };
            let notes = heard.notes.iter();
            findings.extend(notes.map(|note| self.finding(row, planned.mapped, note.code, note.say.clone())));
            if planned.column.is(&STIFFNESS) && !heard.said.is_empty() {
                let say = "A stiffness can be bending, compression or torsion. It is kept and not used until the mapping says which.";
                findings.push(self.finding(row, planned.mapped, Code::KindUnknown, say.to_owned()));
            }
            let at = self.at(from.unwrap_or(at), Some(planned.at));
            for (column, value) in &heard.said {
                if column.is(&REPLACES) {
                    let value = found.maker.as_deref().and_then(|maker| replaced(maker, value));
                    cells.extend(value.map(|value| ReadCell { column, value, at }));
                } else {
                    cells.push(ReadCell { column, value: value.clone(), at });
                }
            }
        }
        Ok(())
    }

    pub(super) fn at(&self, row: u32, column: Option<u16>) -> At {
        At { tab: self.at, row, column }
    }

    /// What a row says under one column, if it can be read.
    fn value(&self, column: &'static Column, row: &'s Row) -> Option<Value> {
        let planned = self.plan.column(column)?;
        let heard = planned.heard(row, self.cell_text(row, planned.at)).ok()?;
        heard.said.iter().find(|(own, _)| own.is(column)).map(|(_, value)| value.clone())
    }

    fn audience(&self, row: &'s Row) -> Option<Audience> {
        match self.value(&AUDIENCE, row)? {
            Value::Text(word) => Audience::from_word(&word),
            Value::Int(_) => None,
        }
    }

    fn gtin(&self, row: &'s Row) -> Option<i64> {
        match self.value(&GTIN, row)? {
            Value::Int(gtin) => Some(gtin),
            Value::Text(_) => None,
        }
    }

    /// The trimmed text of a cell; blank where it says nothing or there is no such column.
    pub(super) fn text(&self, row: &'s Row, at: Option<u16>) -> &'s str {
        let text = at.map_or("", |at| self.cell_text(row, at));
        if says_nothing(text) { "" } else { text }
    }

    /// The trimmed text of a cell, or that of the block it is merged into downwards.
    pub(super) fn cell_text<'r>(&self, row: &'r Row, at: u16) -> &'r str
    where
        's: 'r,
    {
        let own = trimmed(row.cell(at));
        if own.is_empty() { self.merged_text(row, at).0 } else { own }
    }

    /// The text of the block that a cell is merged into downwards, and the row where it stands.
    fn merged_text(&self, row: &Row, at: u16) -> (&'s str, Option<u32>) {
        if self.merged.is_empty() {
            return ("", None);
        }
        let blocks = self.merged.get(&at).map_or(&[][..], Vec::as_slice);
        let block = blocks.iter().find(|block| (block.first..=block.last).contains(&row.number));
        block.map_or(("", None), |block| (block.text, Some(block.row)))
    }
}

/// The cell of a column, among those of a row.
pub(super) fn cell_of<'c>(cells: &'c [ReadCell], column: &'static Column) -> Option<&'c ReadCell> {
    cells.iter().find(|cell| cell.column.is(column))
}

/// The key of the style that is replaced: a number of the same maker.
fn replaced(maker: &str, value: &Value) -> Option<Value> {
    match value {
        Value::Text(number) => StyleKey::of_number(maker, number).map(|key| Value::Text(key.as_str().into())),
        Value::Int(_) => None,
    }
}
