//! One row: which style and sizes it speaks of, and what it says of them.

use std::collections::HashMap;

use catalogue::key::{SkuKey, StyleKey};
use catalogue::measures::DROP_TOLERANCE;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::Audience;

use super::identity::{Found, Identity, Names, Unfound};
use super::run::Marks;
use crate::cells::{CellFault, Manner, Said, read_cell, said, says_nothing};
use crate::columns::{
    AUDIENCE, COLOURWAY, Column, DROP, FOREFOOT_STACK, GTIN, HEEL_STACK, Level, MAKER, NAME, QUANTITY,
    REPLACES, SIZE, SIZE_SYSTEM, STIFFNESS, STYLE_NUMBER, WIDTH,
};
use crate::draft::{ReadCell, RowDraft, SkuDraft, Value};
use crate::finding::{Code, Finding, Holds};
use crate::heading::Unit;
use crate::mapping::{MappedColumn, Mapping, TabMapping, system_of_numbers, unit_of_cell};
use crate::sheet::{Row, Tab};

/// Reads the rows of one tab.
pub(super) struct RowReader<'s> {
    pub(super) tab: &'s Tab,
    pub(super) mapping: &'s TabMapping,
    pub(super) whole: &'s Mapping,
    pub(super) marks: Marks,
    identity: &'s Identity<'s>,
    /// Cells of the heading rows.
    width: usize,
    /// Most rows end in blank cells beyond the headings: that is how the sheet is written, and moves nothing.
    ends_blank: bool,
    /// The system of the sizes, where nobody says it and the numbers leave no other.
    inferred: Option<SizeSystem>,
    /// Blocks of cells merged downwards, by column: first row, last row, text.
    merged: HashMap<u16, Vec<(u32, u32, &'s str)>>,
}

/// What is wrong with a row as a whole.
struct RowFault {
    code: Code,
    column: Option<u16>,
    text: String,
    say: String,
}

impl<'s> RowReader<'s> {
    pub(super) fn new(
        tab: &'s Tab,
        mapping: &'s TabMapping,
        whole: &'s Mapping,
        identity: &'s Identity<'s>,
    ) -> Self {
        let headings = mapping.headings.map_or(&[][..], |rows| &tab.rows[rows.first..=rows.last]);
        let width = headings.iter().map(|row| row.cells.len()).max().unwrap_or(0);
        let rows = mapping.data_rows(tab);
        let wider = rows.iter().filter(|row| row.cells.len() > width).count();
        let ends_blank = wider >= 3 && wider * 2 > rows.len();
        let inferred = inferred_system(mapping, rows);
        let merged = merged_downwards(tab);
        Self { tab, mapping, whole, marks: Marks::default(), identity, width, ends_blank, inferred, merged }
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
    pub(super) fn read(&self, row: &'s Row, findings: &mut Vec<Finding>) -> Option<RowDraft> {
        match self.draft(row, findings) {
            Ok(draft) => Some(draft),
            Err(fault) => {
                findings.push(self.row_finding(row, fault));
                None
            }
        }
    }

    fn draft(&self, row: &'s Row, findings: &mut Vec<Finding>) -> Result<RowDraft, RowFault> {
        self.not_too_wide(row)?;
        let names = self.names(row);
        let found = self.identity.find(&names).map_err(|why| self.unfound(row, &names, why))?;
        let (mut style_cells, sku_cells) = self.cells(row, &found, findings)?;
        let skus = self.skus(row, &found, &names, &sku_cells, findings);
        if skus.is_empty() {
            self.no_pairs_without_size(row, &sku_cells)?;
            // Without a size a price holds for the style; colours and places have nothing to stand on.
            style_cells.extend(sku_cells.into_iter().filter(|cell| cell.column.level == Level::Either));
        }
        findings.extend(self.drop_disagrees(row, &style_cells));
        self.identity.meet(&names, &found);
        let Found { style, join, .. } = found;
        Ok(RowDraft { place: self.tab.row_place(row), style, join, style_cells, skus })
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

    /// Pairs belong to a size: a row that counts some and names none would lose them.
    fn no_pairs_without_size(&self, row: &Row, cells: &[ReadCell]) -> Result<(), RowFault> {
        let Some(pairs) = cells.iter().find(|cell| cell.column.key == QUANTITY.key) else { return Ok(()) };
        Err(RowFault {
            code: Code::SizeMissing,
            column: self.mapping.of(&SIZE).map(|mapped| mapped.at),
            text: pairs.text.to_string(),
            say: format!(
                "{} pairs are counted in row {} and no size is named. Fill in the size.",
                pairs.text, row.number
            ),
        })
    }

    /// What the row says of its identity. The maker is its cell, else what the owner said, else the supplier when it
    /// is known as a maker.
    fn names(&self, row: &'s Row) -> Names<'s> {
        let cell = self.text(row, &MAKER);
        let supplier = || self.identity.maker_called(&self.whole.supplier);
        let maker =
            if cell.is_empty() { self.whole.maker.clone().or_else(supplier) } else { Some(cell.to_owned()) };
        Names {
            maker,
            number: self.text(row, &STYLE_NUMBER),
            name: self.text(row, &NAME),
            audience: self.audience(row),
            gtin: self.gtin(row),
        }
    }

    fn unfound(&self, row: &Row, names: &Names<'_>, why: Unfound) -> RowFault {
        let at = |column: &Column| self.mapping.of(column).map(|mapped| mapped.at);
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
                code: Code::GtinUnknown,
                column: at(&GTIN),
                text: self.text(row, &GTIN).to_owned(),
                say: "The row names its shoe by the GTIN alone, and no size in the catalogue has it. Take in the range sheet first, or add the style number and the size."
                    .to_owned(),
            },
        }
    }

    /// The cells of a row, of the style and of the size.
    fn cells(
        &self,
        row: &'s Row,
        found: &Found,
        findings: &mut Vec<Finding>,
    ) -> Result<(Vec<ReadCell>, Vec<ReadCell>), RowFault> {
        let (mut of_style, mut of_sku) = (Vec::new(), Vec::new());
        if let Some(maker) = found.maker.as_deref().filter(|_| self.text(row, &MAKER).is_empty()) {
            of_style.push(self.said_of_all(row, &MAKER, maker));
        }
        for mapped in &self.mapping.columns {
            let Some(column) = mapped.column() else { continue };
            for cell in self.cell(row, mapped, column, found, findings)? {
                match cell.column.level {
                    Level::Style => of_style.push(cell),
                    Level::Sku | Level::Either => of_sku.push(cell),
                    Level::LeftOut => {}
                }
            }
        }
        Ok((of_style, of_sku))
    }

    /// One cell: its values, nothing, or a finding; a stop for the row comes back as a fault.
    fn cell(
        &self,
        row: &'s Row,
        mapped: &MappedColumn,
        column: &'static Column,
        found: &Found,
        findings: &mut Vec<Finding>,
    ) -> Result<Vec<ReadCell>, RowFault> {
        let text = self.cell_text(row, mapped.at);
        let said = match self.said(row, mapped, column, text) {
            Ok(said) => said,
            Err(fault) if fault.code.holds() == Holds::Row => {
                return Err(RowFault {
                    code: fault.code,
                    column: Some(mapped.at),
                    text: text.to_owned(),
                    say: fault.say,
                });
            }
            Err(fault) => {
                findings.push(self.finding(row, mapped, fault.code, fault.say));
                return Ok(Vec::new());
            }
        };
        if column.key == STIFFNESS.key && !said.is_empty() {
            let say = "A stiffness can be bending, compression or torsion. It is kept and not used until the mapping says which.";
            findings.push(self.finding(row, mapped, Code::KindUnknown, say.to_owned()));
        }
        let cell = |(column, value): (&'static Column, Value)| {
            let value =
                if column.key == REPLACES.key { replaced(found.maker.as_deref()?, value)? } else { value };
            Some(self.cell_of(row, mapped, column, value, text))
        };
        Ok(said.into_iter().filter_map(cell).collect())
    }

    fn said(
        &self,
        row: &Row,
        mapped: &MappedColumn,
        column: &'static Column,
        text: &str,
    ) -> Result<Said, CellFault> {
        let open = mapped.mark.decimal.is_none() && column.is_number() && !row.is_number(mapped.at);
        if open && text.contains(['.', ',']) {
            return Err(CellFault {
                code: Code::DecimalAmbiguous,
                say: format!(
                    "\"{text}\" could be read with a decimal point or with a decimal comma, and the column does not tell which. Say it in the mapping."
                ),
            });
        }
        if let Some(other) = mapped.other_unit
            && text.contains(|c: char| c.is_ascii_digit())
            && unit_of_cell(text).is_none()
        {
            return Err(CellFault {
                code: Code::UnitOpen,
                say: format!(
                    "\"{text}\" has no unit, and other cells of the column are in {}. Say the unit of bare numbers in the mapping.",
                    other.word()
                ),
            });
        }
        said(column, text, self.manner(row, mapped))
    }

    /// How a cell of a column is to be read.
    pub(super) fn manner(&self, row: &Row, mapped: &MappedColumn) -> Manner {
        let decimal = if row.is_number(mapped.at) { '.' } else { mapped.mark.decimal.unwrap_or('.') };
        Manner { decimal, unit: mapped.unit }
    }

    /// The sizes that a row speaks of: those of its run, the one it names, or the one its GTIN is of.
    fn skus(
        &self,
        row: &'s Row,
        found: &Found,
        names: &Names<'_>,
        cells: &[ReadCell],
        findings: &mut Vec<Finding>,
    ) -> Vec<SkuDraft> {
        let parts = (self.text(row, &COLOURWAY), self.text(row, &WIDTH));
        if self.mapping.run().next().is_some() {
            return self.run(row, &found.style, parts, cells, findings);
        }
        let named = self.sku(row, &found.style, parts, cells, findings);
        if let (Some(sku), Some(gtin)) = (&named, names.gtin) {
            self.identity.meet_gtin(gtin, &found.style, &sku.key);
        }
        named.or_else(|| self.by_gtin(found, names, cells)).into_iter().collect()
    }

    /// The size that a row names; `None` when it names none.
    fn sku(
        &self,
        row: &'s Row,
        style: &StyleKey,
        (colourway, width): (&str, &str),
        cells: &[ReadCell],
        findings: &mut Vec<Finding>,
    ) -> Option<SkuDraft> {
        let mapped = self.mapping.of(&SIZE)?;
        let read = cells.iter().find(|cell| cell.column.key == SIZE.key)?;
        let Value::Text(printed) = &read.value else { return None };
        let system = self.system(mapped, cells);
        if system.is_none() {
            let say = "No system is named for this size: EU, UK or US. Until it is, the size matches no runner. Name it in the heading, such as \"Size EU\", or in the mapping.";
            findings.push(self.finding(row, mapped, Code::SizeSystemUnknown, say.to_owned()));
        }
        let label = SizeLabel::parse(system, printed)?;
        let mut cells = cells.to_vec();
        if let Some(system) = system.filter(|_| !cells.iter().any(|cell| cell.column.key == SIZE_SYSTEM.key))
        {
            cells.push(self.said_of_all(row, &SIZE_SYSTEM, system.word()));
        }
        Some(SkuDraft { key: SkuKey::of(style, colourway, &label, width), cells })
    }

    /// The size that the row's GTIN is of, where it is one of its style. Its name stands in the catalogue already.
    fn by_gtin(&self, found: &Found, names: &Names<'_>, cells: &[ReadCell]) -> Option<SkuDraft> {
        let of_gtin = || self.identity.of_gtin(names.gtin?).filter(|(style, _)| *style == found.style);
        let key = found.sku.clone().or_else(|| of_gtin().map(|(_, sku)| sku))?;
        let beside = |cell: &&ReadCell| !crate::proposal::Entity::Sku.names(cell.column.key);
        Some(SkuDraft { key, cells: cells.iter().filter(beside).cloned().collect() })
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
        let mapped = self.mapping.of(&AUDIENCE)?;
        match read_cell(&AUDIENCE, self.cell_text(row, mapped.at), self.manner(row, mapped)) {
            Ok(Some(Value::Text(word))) => Audience::from_word(&word),
            _ => None,
        }
    }

    fn gtin(&self, row: &Row) -> Option<i64> {
        let mapped = self.mapping.of(&GTIN)?;
        match read_cell(&GTIN, self.cell_text(row, mapped.at), self.manner(row, mapped)) {
            Ok(Some(Value::Int(gtin))) => Some(gtin),
            _ => None,
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
        let say = format!(
            "Drop {} is stated, but {} and {} give {} mm. The stacks rank. Ask the supplier which is right.",
            drop.text,
            heel.text,
            forefoot.text,
            catalogue::units::Tenths(by_stacks as i32)
        );
        let mapped = self.mapping.columns.iter().find(|mapped| Some(mapped.at) == drop.place.column)?;
        Some(self.finding(row, mapped, Code::DropDisagrees, say))
    }

    /// The trimmed text of a row's cell under this column; blank where it says nothing.
    fn text(&self, row: &'s Row, column: &Column) -> &'s str {
        let text = self.mapping.of(column).map_or("", |mapped| self.cell_text(row, mapped.at));
        if says_nothing(text) { "" } else { text }
    }

    /// The trimmed text of a cell, or that of the block it is merged into downwards.
    fn cell_text<'r>(&self, row: &'r Row, at: u16) -> &'r str
    where
        's: 'r,
    {
        let own = row.cell(at).trim();
        if !own.is_empty() || self.merged.is_empty() {
            return own;
        }
        let blocks = self.merged.get(&at).map_or(&[][..], Vec::as_slice);
        let block = blocks.iter().find(|(first, last, _)| (*first..=*last).contains(&row.number));
        block.map_or("", |(_, _, text)| text.trim())
    }

    /// A value that holds for every row and stands in no cell of it.
    fn said_of_all(&self, row: &Row, column: &'static Column, text: &str) -> ReadCell {
        ReadCell {
            column,
            value: Value::Text(text.to_owned()),
            place: self.tab.row_place(row),
            text: text.into(),
        }
    }

    /// A value read from a cell.
    pub(super) fn cell_of(
        &self,
        row: &Row,
        mapped: &MappedColumn,
        column: &'static Column,
        value: Value,
        text: &str,
    ) -> ReadCell {
        ReadCell { column, value, place: self.tab.cell_place(row, mapped.at), text: text.into() }
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
fn merged_downwards(tab: &Tab) -> HashMap<u16, Vec<(u32, u32, &str)>> {
    let mut merged: HashMap<u16, Vec<(u32, u32, &str)>> = HashMap::new();
    for block in
        tab.merged.iter().filter(|block| block.columns.0 == block.columns.1 && block.rows.1 > block.rows.0)
    {
        let Ok(first) = tab.rows.binary_search_by_key(&block.rows.0, |row| row.number) else { continue };
        let text = tab.rows[first].cell(block.columns.0);
        merged.entry(block.columns.0).or_default().push((block.rows.0, block.rows.1, text));
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
