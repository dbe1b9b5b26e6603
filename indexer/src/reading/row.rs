//! One row: which style and size it speaks of, and what it says of them.

use std::cell::RefCell;
use std::collections::HashMap;

use catalogue::key::{MakerKey, SkuKey, StyleKey};
use catalogue::measures::DROP_TOLERANCE;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::Audience;

use super::Known;
use crate::cells::{Manner, read_cell, said, says_nothing};
use crate::columns::{
    AUDIENCE, COLOURWAY, Column, DROP, FOREFOOT_STACK, HEEL_STACK, Level, MAKER, NAME, QUANTITY, REPLACES,
    SIZE, SIZE_SYSTEM, STIFFNESS, STYLE_NUMBER, WIDTH,
};
use crate::draft::{ReadCell, RowDraft, SkuDraft, Value};
use crate::finding::{Code, Finding, Holds};
use crate::heading::Unit;
use crate::mapping::{MappedColumn, Mapping};
use crate::sheet::{Row, Tab};

/// Reads the rows of one sheet.
pub(super) struct RowReader<'s> {
    sheet: &'s Tab,
    mapping: &'s Mapping,
    known: &'s Known,
    /// Cells of the heading row.
    width: usize,
    /// Most rows end in blank cells beyond the headings: that is how the sheet is written, and moves nothing.
    ends_blank: bool,
    /// Keys made once a style: a stock sheet names each many times over.
    styles: RefCell<HashMap<(String, String), Option<StyleKey>>>,
}

/// What is wrong with a row as a whole.
struct RowFault {
    code: Code,
    column: Option<u16>,
    text: String,
    say: String,
}

impl<'s> RowReader<'s> {
    pub(super) fn new(sheet: &'s Tab, mapping: &'s Mapping, known: &'s Known) -> Self {
        let width = mapping.heading_row.and_then(|at| sheet.rows.get(at)).map_or(0, |row| row.cells.len());
        let rows = mapping.data_rows(sheet);
        let wider = rows.iter().filter(|row| row.cells.len() > width).count();
        let ends_blank = wider >= 3 && wider * 2 > rows.len();
        Self { sheet, mapping, known, width, ends_blank, styles: RefCell::default() }
    }

    /// The draft of a row, or `None` when the row is held; findings go to `findings`.
    pub(super) fn read(&self, row: &Row, findings: &mut Vec<Finding>) -> Option<RowDraft> {
        match self.draft(row, findings) {
            Ok(draft) => Some(draft),
            Err(fault) => {
                findings.push(self.row_finding(row, fault));
                None
            }
        }
    }

    fn draft(&self, row: &Row, findings: &mut Vec<Finding>) -> Result<RowDraft, RowFault> {
        self.not_too_wide(row)?;
        let (maker, style) = self.style(row)?;
        let (mut style_cells, mut sku_cells) = self.cells(row, &maker, findings)?;
        let sku = self.sku(row, &style, &mut sku_cells, findings);
        if sku.is_none() {
            self.no_pairs_without_size(row, &sku_cells)?;
            // Without a size a price holds for the style; colours and places have nothing to stand on.
            style_cells.extend(sku_cells.into_iter().filter(|cell| cell.column.level == Level::Either));
        }
        findings.extend(self.drop_disagrees(row, &style_cells));
        Ok(RowDraft { place: self.sheet.row_place(row), style, style_cells, skus: sku.into_iter().collect() })
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

    /// The maker's printed name and the key of the style.
    fn style(&self, row: &Row) -> Result<(String, StyleKey), RowFault> {
        let number = self.text(row, &STYLE_NUMBER);
        let name = self.text(row, &NAME);
        let Some(maker) = self.maker(row) else {
            return self.by_unique_number(number);
        };
        let names = (maker.clone(), if number.is_empty() { name } else { number }.to_owned());
        let make = || match number {
            "" => StyleKey::of_name(&maker, name, self.audience(row)),
            number => StyleKey::of_number(&maker, number),
        };
        // A style without a number has its audience in its key, so it is made anew.
        let key = if number.is_empty() {
            make()
        } else {
            self.styles.borrow_mut().entry(names).or_insert_with(make).clone()
        };
        match key {
            Some(key) => Ok((maker, key)),
            None => Err(RowFault {
                code: Code::RowTooShort,
                column: None,
                text: row.cells.join(" · "),
                say: "The row names no style: neither number nor name. Fill one of them, or remove the row."
                    .to_owned(),
            }),
        }
    }

    /// The maker of a row: its cell, else what the owner said, else the supplier when it is known as a maker.
    fn maker(&self, row: &Row) -> Option<String> {
        let cell = self.text(row, &MAKER);
        if !cell.is_empty() {
            return Some(cell.to_owned());
        }
        let supplier =
            || MakerKey::of(&self.mapping.supplier).and_then(|key| self.known.makers.get(&key)).cloned();
        self.mapping.maker.clone().or_else(supplier)
    }

    /// A row without a maker links only to a number that one style alone has.
    fn by_unique_number(&self, number: &str) -> Result<(String, StyleKey), RowFault> {
        let part =
            StyleKey::of_number("x", number).map(|key| key.as_str().trim_start_matches("x.").to_owned());
        let styles = part.and_then(|part| self.known.numbers.get(&part));
        match styles.map(Vec::as_slice) {
            Some([style]) => {
                let maker = self.known.makers.get(&style.maker()).cloned().unwrap_or_default();
                Ok((maker, style.clone()))
            }
            _ => Err(RowFault {
                code: Code::MakerUnknown,
                column: self.mapping.of(&STYLE_NUMBER).map(|mapped| mapped.at),
                text: number.to_owned(),
                say: format!(
                    "No maker is named, and number \"{number}\" is not of one known style alone. Add a column Maker, or say the maker in the mapping."
                ),
            }),
        }
    }

    /// The cells of a row, of the style and of the size.
    fn cells(
        &self,
        row: &Row,
        maker: &str,
        findings: &mut Vec<Finding>,
    ) -> Result<(Vec<ReadCell>, Vec<ReadCell>), RowFault> {
        let (mut of_style, mut of_sku) = (Vec::new(), Vec::new());
        if self.mapping.of(&MAKER).is_none() {
            of_style.push(self.said_of_all(row, &MAKER, maker));
        }
        for mapped in &self.mapping.columns {
            let Some(column) = mapped.column() else { continue };
            for cell in self.cell(row, mapped, column, maker, findings)? {
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
        row: &Row,
        mapped: &MappedColumn,
        column: &'static Column,
        maker: &str,
        findings: &mut Vec<Finding>,
    ) -> Result<Vec<ReadCell>, RowFault> {
        let text = row.cell(mapped.at);
        let manner = Manner { decimal: self.mapping.decimal, unit: mapped.unit };
        let said = match said(column, text, manner) {
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
        let place = self.sheet.cell_place(row, mapped.at);
        let cell = |(column, value): (&'static Column, Value)| {
            let value = if column.key == REPLACES.key { replaced(maker, value)? } else { value };
            Some(ReadCell { column, value, place: place.clone(), text: text.into() })
        };
        Ok(said.into_iter().filter_map(cell).collect())
    }

    /// The size a row speaks of; `None` when it names none.
    fn sku(
        &self,
        row: &Row,
        style: &StyleKey,
        cells: &mut Vec<ReadCell>,
        findings: &mut Vec<Finding>,
    ) -> Option<SkuDraft> {
        let mapped = self.mapping.of(&SIZE)?;
        let printed = row.cell(mapped.at).trim();
        if says_nothing(printed) {
            return None;
        }
        let system = self.system(row, mapped);
        if system.is_none() {
            let say = "No system is named for this size: EU, UK or US. Until it is, the size matches no runner. Name it in the heading, such as \"Size EU\".";
            findings.push(self.finding(row, mapped, Code::SizeSystemUnknown, say.to_owned()));
        }
        let label = SizeLabel::parse(system, printed)?;
        if let Some(system) = system.filter(|_| !cells.iter().any(|cell| cell.column.key == SIZE_SYSTEM.key))
        {
            cells.push(self.said_of_all(row, &SIZE_SYSTEM, system.word()));
        }
        let key = SkuKey::of(style, self.text(row, &COLOURWAY), &label, self.text(row, &WIDTH));
        Some(SkuDraft { key, cells: std::mem::take(cells) })
    }

    /// The system of a size: its own cell, else the heading.
    fn system(&self, row: &Row, size: &MappedColumn) -> Option<SizeSystem> {
        let manner = Manner { decimal: self.mapping.decimal, unit: None };
        let word = read_cell(&SIZE_SYSTEM, self.text(row, &SIZE_SYSTEM), manner).ok().flatten();
        match (word, size.unit) {
            (Some(Value::Text(word)), _) => SizeSystem::from_word(&word),
            (_, Some(Unit::System(system))) => Some(system),
            _ => None,
        }
    }

    fn audience(&self, row: &Row) -> Option<Audience> {
        let manner = Manner { decimal: self.mapping.decimal, unit: None };
        match read_cell(&AUDIENCE, self.text(row, &AUDIENCE), manner) {
            Ok(Some(Value::Text(word))) => Audience::from_word(&word),
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
        self.mapping.of(&DROP).map(|mapped| self.finding(row, mapped, Code::DropDisagrees, say))
    }

    fn text(&self, row: &'s Row, column: &Column) -> &'s str {
        self.mapping.of(column).map_or("", |mapped| row.cell(mapped.at).trim())
    }

    /// A value that holds for every row and stands in no cell of it.
    fn said_of_all(&self, row: &Row, column: &'static Column, text: &str) -> ReadCell {
        ReadCell {
            column,
            value: Value::Text(text.to_owned()),
            place: self.sheet.row_place(row),
            text: text.into(),
        }
    }

    fn finding(&self, row: &Row, mapped: &MappedColumn, code: Code, say: String) -> Finding {
        let place = self.sheet.cell_place(row, mapped.at);
        Finding {
            code,
            place,
            heading: mapped.heading.clone(),
            text: row.cell(mapped.at).trim().to_owned(),
            say,
        }
    }

    fn row_finding(&self, row: &Row, fault: RowFault) -> Finding {
        let mapped = fault.column.and_then(|at| self.mapping.columns.iter().find(|m| m.at == at));
        let place =
            fault.column.map_or_else(|| self.sheet.row_place(row), |at| self.sheet.cell_place(row, at));
        let heading = mapped.map_or_else(String::new, |m| m.heading.clone());
        Finding { code: fault.code, place, heading, text: fault.text, say: fault.say }
    }
}

/// The key of the style that is replaced: a number of the same maker.
fn replaced(maker: &str, value: Value) -> Option<Value> {
    match value {
        Value::Text(number) => StyleKey::of_number(maker, &number).map(|key| Value::Text(key.to_string())),
        Value::Int(_) => None,
    }
}
