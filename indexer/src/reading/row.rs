//! One row: which style and sizes it speaks of, and what it says of them.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

use catalogue::key::{SkuKey, StyleKey};
use catalogue::measures::DROP_TOLERANCE;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::Audience;

use super::identity::{Found, Identity, Names, Unfound};
use super::plan::{Plan, Planned};
use super::run::Marks;
use crate::cells::says_nothing;
use crate::columns::{
    AUDIENCE, Column, DROP, FOREFOOT_STACK, GTIN, HEEL_STACK, Level, MAKER, NAME, QUANTITY, REPLACES, SIZE,
    SIZE_SYSTEM, STIFFNESS, STYLE_NUMBER,
};
use crate::draft::{At, Join, ReadCell, RowDraft, SkuDraft, StyleDraft, Value};
use crate::finding::{Code, Finding, Holds};
use crate::heading::Unit;
use crate::mapping::{MappedColumn, Mapping, TabMapping, system_of_numbers};
use crate::sheet::{Merged, Row, Sheet, Tab};

/// Reads the rows of one tab.
pub(super) struct RowReader<'s> {
    pub(super) tab: &'s Tab,
    pub(super) mapping: &'s TabMapping,
    pub(super) whole: &'s Mapping,
    pub(super) marks: Marks,
    /// The tab's place in the sheet.
    at: u16,
    identity: &'s Identity<'s>,
    plan: Plan<'s>,
    /// The last row whose style cells gave no finding, with what it said: most rows of a stock sheet repeat it.
    last: RefCell<Option<Rc<OfStyle>>>,
    /// What stands behind the style in the keys of sizes, by colourway, system, size and width as printed.
    tails: RefCell<HashMap<[&'s str; 4], Box<str>>>,
    /// Cells of the heading rows.
    width: usize,
    /// Most rows end in blank cells beyond the headings: that is how the sheet is written, and moves nothing.
    ends_blank: bool,
    /// The system of the sizes, where nobody says it and the numbers leave no other.
    inferred: Option<SizeSystem>,
    /// Blocks of cells merged downwards, by column.
    merged: HashMap<u16, Vec<MergedDown<'s>>>,
}

/// What a row says of its style, and where.
struct OfStyle {
    row: u32,
    found: Found,
    draft: Arc<StyleDraft>,
}

/// A block of cells merged downwards in one column: from row to row by number, the place of the first among the rows of
/// the tab, and its text.
struct MergedDown<'s> {
    first: u32,
    last: u32,
    row: u32,
    text: &'s str,
}

/// What is wrong with a row as a whole.
struct RowFault {
    code: Code,
    column: Option<u16>,
    text: String,
    say: String,
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
            plan: Plan::of(mapping),
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

    /// The draft of a row, or `None` when the row is held; findings go to `findings`.
    pub(super) fn read(&self, at: u32, findings: &mut Vec<Finding>) -> Option<RowDraft> {
        let row = &self.tab.rows[at as usize];
        match self.draft(at, row, findings) {
            Ok(draft) => Some(draft),
            Err(fault) => {
                findings.push(self.row_finding(row, fault));
                None
            }
        }
    }

    fn draft(&self, at: u32, row: &'s Row, findings: &mut Vec<Finding>) -> Result<RowDraft, RowFault> {
        self.not_too_wide(row)?;
        let of_style = self.style(at, row, findings)?;
        let cells = self.cells(at, row, &self.plan.sku, &of_style.found, findings)?;
        self.gtin_is_of_this_size(&of_style.found, &cells)?;
        let draft = Arc::clone(&of_style.draft);
        let (style, skus) = match self.skus(at, row, &of_style.found, cells, findings) {
            Ok(skus) => (draft, skus),
            Err(cells) => (self.without_size(row, draft, cells)?, Vec::new()),
        };
        Ok(RowDraft { at: self.at(at, self.plan.names(style.join)), style, skus })
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
            && self.plan.style.iter().all(|planned| last.cell(planned.at) == row.cell(planned.at))
    }

    fn style_cells(
        &self,
        at: u32,
        row: &'s Row,
        found: &Found,
        findings: &mut Vec<Finding>,
    ) -> Result<Vec<ReadCell>, RowFault> {
        let mut cells = self.cells(at, row, &self.plan.style, found, findings)?;
        if let Some(maker) = found.maker.as_deref().filter(|_| self.text(row, self.plan.maker).is_empty()) {
            cells.insert(
                0,
                ReadCell { column: &MAKER, value: Value::Text(maker.to_owned()), at: self.at(at, None) },
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

    /// A cell beyond the headings: a separator inside a cell has moved the others, and nothing says from where.
    fn not_too_wide(&self, row: &Row) -> Result<(), RowFault> {
        let beyond = row.cells.get(self.width..).unwrap_or_default();
        let filled = beyond.iter().position(|cell| !cell.trim().is_empty());
        let Some(at) = filled.or_else(|| (!self.ends_blank && !beyond.is_empty()).then_some(0)) else {
            return Ok(());
        };
        Err(RowFault {
            code: Code::RowTooWide,
            column: u16::try_from(self.width + at).ok(),
            text: beyond[at].trim().to_owned(),
            say: "The row goes on beyond the last heading. If one of its cells holds the character that parts the \
                  columns, put that cell in quotes; else give the column a heading."
                .to_owned(),
        })
    }

    /// A row that is joined by its GTIN and names a size beside it must mean the same size.
    fn gtin_is_of_this_size(&self, found: &Found, cells: &[ReadCell]) -> Result<(), RowFault> {
        let Some(sku) = &found.sku else { return Ok(()) };
        let Some(label) = self.other_size(sku, cells) else { return Ok(()) };
        Err(RowFault {
            code: Code::GtinOfAnotherSize,
            column: self.plan.size.map(|mapped| mapped.at),
            text: label.to_string(),
            say: format!(
                "The row says {label}, and the catalogue knows this GTIN for {sku}. Find out which is right."
            ),
        })
    }

    /// The size that a row names, where it is not that of this SKU. A label of another system is another name for it,
    /// and no contradiction.
    fn other_size(&self, sku: &SkuKey, cells: &[ReadCell]) -> Option<SizeLabel> {
        let size = cells.iter().find(|cell| cell.column.key == SIZE.key)?.value.text()?;
        let label = SizeLabel::parse(self.system(self.plan.size?, cells), size)?;
        let (own, known) = (label.key(), sku.as_str().split('/').nth(2)?);
        let same_system = known.split('-').next() == own.split('-').next();
        (same_system && known != own).then_some(label)
    }

    /// Pairs belong to a size: a row that counts some and names none would lose them.
    fn no_pairs_without_size(&self, row: &Row, cells: &[ReadCell]) -> Result<(), RowFault> {
        let Some(pairs) = cells.iter().find(|cell| cell.column.key == QUANTITY.key) else { return Ok(()) };
        let text = pairs.at.column.map_or("", |at| row.cell(at).trim());
        Err(RowFault {
            code: Code::SizeMissing,
            column: self.mapping.of(&SIZE).map(|mapped| mapped.at),
            text: text.to_owned(),
            say: format!(
                "{text} pairs are counted in row {} and no size is named. Fill in the size.",
                row.number
            ),
        })
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

    fn unfound(&self, row: &Row, names: &Names<'_>, why: Unfound) -> RowFault {
        let at = |column: &Column| self.mapping.of(column).map(|mapped| mapped.at);
        // A damaged GTIN that is the row's only name is what is wrong with it.
        if why == Unfound::NoName
            && let Some((planned, fault)) = self.plan.fault(&GTIN, row)
        {
            let (column, text) = (Some(planned.at), row.cell(planned.at).trim().to_owned());
            return RowFault { code: fault.code, column, text, say: fault.say };
        }
        match why {
            Unfound::NoName => RowFault {
                code: Code::RowTooShort,
                column: None,
                text: row.cells.join(" · "),
                say: "The row names no style: neither number nor name nor GTIN. Fill one of them, or remove the row."
                    .to_owned(),
            },
            Unfound::NoMaker => {
                let number = if names.number.is_empty() { names.name } else { names.number };
                RowFault {
                    code: Code::MakerUnknown,
                    column: at(&STYLE_NUMBER).or(at(&NAME)),
                    text: number.to_owned(),
                    say: format!(
                        "No maker is named, and \"{number}\" is not of one known style alone. Add a column Maker, or say the maker in the mapping."
                    ),
                }
            }
            Unfound::GtinUnknown => RowFault {
                code: Code::StyleUnknown,
                column: at(&GTIN),
                text: at(&GTIN).map_or("", |at| row.cell(at).trim()).to_owned(),
                say: "The row names its shoe by the GTIN alone, and no size in the catalogue has it. Take in the range sheet first, or add the style number and the size."
                    .to_owned(),
            },
        }
    }

    /// What the planned cells of a row say.
    fn cells(
        &self,
        at: u32,
        row: &'s Row,
        plan: &[Planned<'s>],
        found: &Found,
        findings: &mut Vec<Finding>,
    ) -> Result<Vec<ReadCell>, RowFault> {
        let mut cells = Vec::with_capacity(plan.len() + 1);
        for planned in plan {
            let text = row.cell(planned.at).trim();
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
            let notes = heard.notes.into_iter();
            findings.extend(notes.map(|note| self.finding(row, planned.mapped, note.code, note.say)));
            if planned.column.key == STIFFNESS.key && !heard.said.is_empty() {
                let say = "A stiffness can be bending, compression or torsion. It is kept and not used until the mapping says which.";
                findings.push(self.finding(row, planned.mapped, Code::KindUnknown, say.to_owned()));
            }
            let at = self.at(from.unwrap_or(at), Some(planned.at));
            cells.extend(heard.said.into_iter().filter_map(|(column, value)| {
                let value = if column.key == REPLACES.key {
                    replaced(found.maker.as_deref()?, value)?
                } else {
                    value
                };
                Some(ReadCell { column, value, at })
            }));
        }
        Ok(cells)
    }

    pub(super) fn at(&self, row: u32, column: Option<u16>) -> At {
        At { tab: self.at, row, column }
    }

    /// The sizes that a row speaks of: those of its run, the one it names, or the one its GTIN is of; the cells back
    /// when there is none.
    fn skus(
        &self,
        at: u32,
        row: &'s Row,
        found: &Found,
        cells: Vec<ReadCell>,
        findings: &mut Vec<Finding>,
    ) -> Result<Vec<SkuDraft>, Vec<ReadCell>> {
        if self.plan.has_run {
            let parts = (self.text(row, self.plan.colourway), self.text(row, self.plan.width));
            let skus = self.run(at, row, &found.style, parts, &cells, findings);
            return if skus.is_empty() { Err(cells) } else { Ok(skus) };
        }
        let gtin = cells.iter().find(|cell| cell.column.key == GTIN.key).and_then(|cell| cell.value.int());
        if let Some(key) = self.size_of_gtin(found, gtin, &cells) {
            // Its name stands in the catalogue already.
            let beside = |cell: &ReadCell| !crate::proposal::Entity::Sku.names(cell.column.key);
            return Ok(vec![SkuDraft { key, cells: cells.into_iter().filter(beside).collect() }]);
        }
        if let Some(key) = self.named_size(row, &found.style, &cells, findings) {
            if let Some(gtin) = gtin {
                self.identity.meet_gtin(gtin, &found.style, &key);
            }
            return Ok(vec![SkuDraft { key, cells: self.with_system(at, cells) }]);
        }
        Err(cells)
    }

    /// The size that a GTIN is of: where the row is joined by it, or names no size, or no colourway to name one fully.
    fn size_of_gtin(&self, found: &Found, gtin: Option<i64>, cells: &[ReadCell]) -> Option<SkuKey> {
        if found.sku.is_some() {
            return found.sku.clone();
        }
        if self.plan.size.is_some() && self.plan.colourway.is_some() {
            return None;
        }
        let (style, sku) = self.identity.of_gtin(gtin?)?;
        (style == found.style && self.other_size(&sku, cells).is_none()).then_some(sku)
    }

    /// The key of the size that a row names; `None` when it names none.
    fn named_size(
        &self,
        row: &'s Row,
        style: &StyleKey,
        cells: &[ReadCell],
        findings: &mut Vec<Finding>,
    ) -> Option<SkuKey> {
        let mapped = self.plan.size?;
        let size = cells.iter().find(|cell| cell.column.key == SIZE.key)?;
        let system = self.system(mapped, cells);
        if system.is_none() {
            let say = "No system is named for this size: EU, UK or US. Until it is, the size matches no runner. Name it in the heading, such as \"Size EU\", or in the mapping.";
            findings.push(self.finding(row, mapped, Code::SizeSystemUnknown, say.to_owned()));
        }
        let parts = [self.text(row, self.plan.colourway), self.text(row, self.plan.width)];
        let printed = [parts[0], self.text(row, self.plan.system), self.text(row, Some(mapped.at)), parts[1]];
        if let Some(tail) = self.tails.borrow().get(&printed) {
            return Some(SkuKey::behind(style, tail));
        }
        let label = SizeLabel::parse(system, size.value.text()?)?;
        let tail = SkuKey::tail(parts[0], &label, parts[1]);
        let key = SkuKey::behind(style, &tail);
        self.tails.borrow_mut().insert(printed, tail);
        Some(key)
    }

    /// The cells of a size with its system, where heading, owner or numbers have told it.
    fn with_system(&self, at: u32, mut cells: Vec<ReadCell>) -> Vec<ReadCell> {
        let told = cells.iter().any(|cell| cell.column.key == SIZE_SYSTEM.key);
        let system = self.plan.size.and_then(|mapped| self.system(mapped, &cells)).filter(|_| !told);
        cells.extend(system.map(|system| {
            let value = Value::Text(system.word().to_owned());
            ReadCell { column: &SIZE_SYSTEM, value, at: self.at(at, None) }
        }));
        cells
    }

    /// The system of a size: its own cell or column, else the heading, the owner, the numbers.
    fn system(&self, size: &MappedColumn, cells: &[ReadCell]) -> Option<SizeSystem> {
        let own = cells.iter().find(|cell| cell.column.key == SIZE_SYSTEM.key);
        match (own.map(|cell| &cell.value), size.unit) {
            (Some(Value::Text(word)), _) => SizeSystem::from_word(word),
            (_, Some(Unit::System(system))) => Some(system),
            _ => self.whole.answers.size_system.or(self.inferred),
        }
    }

    fn audience(&self, row: &Row) -> Option<Audience> {
        match self.plan.value(&AUDIENCE, row)? {
            Value::Text(word) => Audience::from_word(&word),
            Value::Int(_) => None,
        }
    }

    fn gtin(&self, row: &Row) -> Option<i64> {
        match self.plan.value(&GTIN, row)? {
            Value::Int(gtin) => Some(gtin),
            Value::Text(_) => None,
        }
    }

    /// A stated drop and two stacks that do not agree: said, not mended.
    fn drop_disagrees(&self, row: &Row, cells: &[ReadCell]) -> Option<Finding> {
        let of = |column: &Column| cells.iter().find(|cell| cell.column.key == column.key);
        let tenths = |cell: &ReadCell| if let Value::Int(tenths) = cell.value { tenths } else { 0 };
        let (heel, forefoot, drop) = (of(&HEEL_STACK)?, of(&FOREFOOT_STACK)?, of(&DROP)?);
        let by_stacks = tenths(heel) - tenths(forefoot);
        if (by_stacks - tenths(drop)).abs() <= i64::from(DROP_TOLERANCE) {
            return None;
        }
        let text = |cell: &ReadCell| cell.at.column.map_or("", |at| self.cell_text(row, at));
        let say = format!(
            "Drop {} is stated, but {} and {} give {} mm. The stacks rank. Ask the supplier which is right.",
            text(drop),
            text(heel),
            text(forefoot),
            catalogue::units::Tenths(by_stacks as i32)
        );
        let mapped = self.mapping.columns.iter().find(|mapped| Some(mapped.at) == drop.at.column)?;
        Some(self.finding(row, mapped, Code::DropDisagrees, say))
    }

    /// The trimmed text of a cell; blank where it says nothing or there is no such column.
    fn text(&self, row: &'s Row, at: Option<u16>) -> &'s str {
        let text = at.map_or("", |at| self.cell_text(row, at));
        if says_nothing(text) { "" } else { text }
    }

    /// The trimmed text of a cell, or that of the block it is merged into downwards.
    fn cell_text<'r>(&self, row: &'r Row, at: u16) -> &'r str
    where
        's: 'r,
    {
        let own = row.cell(at).trim();
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

    pub(super) fn finding(&self, row: &Row, mapped: &MappedColumn, code: Code, say: String) -> Finding {
        let place = self.tab.cell_place(row, mapped.at);
        let text = self.cell_text(row, mapped.at).to_owned();
        Finding { code, place, heading: mapped.heading.clone(), text, say }
    }

    fn row_finding(&self, row: &Row, fault: RowFault) -> Finding {
        let mapped = fault.column.and_then(|at| self.mapping.columns.iter().find(|m| m.at == at));
        let place = fault.column.map_or_else(|| self.tab.row_place(row), |at| self.tab.cell_place(row, at));
        let heading = mapped.map_or_else(String::new, |m| m.heading.clone());
        Finding { code: fault.code, place, heading, text: fault.text, say: fault.say }
    }
}

/// The system of bare sizes in a column, where neither heading nor another column says it.
fn inferred_system(mapping: &TabMapping, rows: &[Row]) -> Option<SizeSystem> {
    let size = mapping.of(&SIZE).filter(|_| mapping.of(&SIZE_SYSTEM).is_none())?;
    if matches!(size.unit, Some(Unit::System(_))) {
        return None;
    }
    let texts = rows.iter().map(|row| row.cell(size.at).trim()).filter(|text| !says_nothing(text));
    let labels = texts.map(|text| SizeLabel::parse(None, text).map(|label| label.twelfths()));
    system_of_numbers(&labels.flatten().collect::<Vec<_>>())
}

/// Cells merged downwards hold their text in the first row, and mean all of them.
fn merged_downwards(tab: &Tab) -> HashMap<u16, Vec<MergedDown<'_>>> {
    let mut merged: HashMap<u16, Vec<MergedDown<'_>>> = HashMap::new();
    let down = |block: &&Merged| block.columns.0 == block.columns.1 && block.rows.1 > block.rows.0;
    for block in tab.merged.iter().filter(down) {
        let (first, last) = block.rows;
        let Ok(row) = tab.rows.binary_search_by_key(&first, |row| row.number) else { continue };
        let text = tab.rows[row].cell(block.columns.0).trim();
        merged.entry(block.columns.0).or_default().push(MergedDown { first, last, row: row as u32, text });
    }
    merged
}

/// The key of the style that is replaced: a number of the same maker.
fn replaced(maker: &str, value: Value) -> Option<Value> {
    match value {
        Value::Text(number) => StyleKey::of_number(maker, &number).map(|key| Value::Text(key.to_string())),
        Value::Int(_) => None,
    }
}
