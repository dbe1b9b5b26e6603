//! How the cells of a tab are read, worked out once and not for every row, and what was read already.

use std::cell::RefCell;
use std::collections::HashMap;

use crate::cells::{CellFault, Heard, Manner, heard};
use crate::columns::{COLOURWAY, Column, GTIN, Level, MAKER, NAME, SIZE, SIZE_SYSTEM, STYLE_NUMBER, WIDTH};
use crate::draft::{Join, Value};
use crate::finding::Code;
use crate::heading::Heading;
use crate::mapping::{MappedColumn, TabMapping, unit_of_cell};
use crate::sheet::Row;

/// Texts of one column that are kept with what they say. *Opinion*: sizes, colours and numbers of pairs are few, and
/// a column of codes, each another, should not fill the memory.
const KEPT: usize = 4_096;

/// The columns of a tab, by what they speak of.
pub(super) struct Plan<'s> {
    /// Columns that speak of styles, or of several of their columns at once.
    pub(super) style: Vec<Planned<'s>>,
    /// Columns that speak of sizes, or of styles where a row names no size.
    pub(super) sku: Vec<Planned<'s>>,
    pub(super) maker: Option<u16>,
    pub(super) number: Option<u16>,
    pub(super) name: Option<u16>,
    pub(super) colourway: Option<u16>,
    pub(super) width: Option<u16>,
    pub(super) system: Option<u16>,
    pub(super) size: Option<&'s MappedColumn>,
    pub(super) has_run: bool,
}

/// One column, and how its cells are read.
pub(super) struct Planned<'s> {
    pub(super) at: u16,
    pub(super) mapped: &'s MappedColumn,
    pub(super) column: &'static Column,
    manner: Manner,
    /// What texts of this column say. A number that a workbook keeps as one is not among them: it is read otherwise.
    known: RefCell<HashMap<Box<str>, Heard>>,
}

impl<'s> Plan<'s> {
    pub(super) fn of(mapping: &'s TabMapping) -> Self {
        let planned = mapping.columns.iter().filter_map(Planned::of);
        let (style, sku) =
            planned.partition(|planned| matches!(planned.column.level, Level::Style | Level::Others));
        let at = |column: &Column| mapping.of(column).map(|mapped| mapped.at);
        Self {
            style,
            sku,
            maker: at(&MAKER),
            number: at(&STYLE_NUMBER),
            name: at(&NAME),
            colourway: at(&COLOURWAY),
            width: at(&WIDTH),
            system: at(&SIZE_SYSTEM),
            size: mapping.of(&SIZE),
            has_run: mapping.run().next().is_some(),
        }
    }

    /// The column that names the style of a row joined in this way.
    pub(super) fn names(&self, join: Join) -> Option<u16> {
        match join {
            Join::Number => self.number,
            Join::Name => self.name,
            Join::Gtin => self.column(&GTIN).map(|planned| planned.at),
        }
    }

    /// What is wrong with the cell of a row under one column.
    pub(super) fn fault(&self, column: &Column, row: &Row) -> Option<(&Planned<'s>, CellFault)> {
        let planned = self.column(column)?;
        Some((planned, planned.heard(row, row.cell(planned.at).trim()).err()?))
    }

    fn column(&self, column: &Column) -> Option<&Planned<'s>> {
        self.style.iter().chain(&self.sku).find(|planned| planned.column.key == column.key)
    }

    /// What a row says under one column, if it can be read.
    pub(super) fn value(&self, column: &Column, row: &Row) -> Option<Value> {
        let planned = self.column(column)?;
        let heard = planned.heard(row, row.cell(planned.at).trim()).ok()?;
        heard.said.into_iter().find(|(own, _)| own.key == column.key).map(|(_, value)| value)
    }
}

impl<'s> Planned<'s> {
    fn of(mapped: &'s MappedColumn) -> Option<Self> {
        let column = mapped.column()?;
        Some(Self { at: mapped.at, mapped, column, manner: manner(mapped), known: RefCell::default() })
    }

    /// What a cell with this text says.
    pub(super) fn heard(&self, row: &Row, text: &str) -> Result<Heard, CellFault> {
        if row.is_number(self.at) {
            return heard(self.column, text, self.manner.typed_number(true));
        }
        if let Some(known) = self.known.borrow().get(text) {
            return Ok(known.clone());
        }
        let found = self.read(text)?;
        let mut known = self.known.borrow_mut();
        if known.len() < KEPT {
            known.insert(text.into(), found.clone());
        }
        Ok(found)
    }

    fn read(&self, text: &str) -> Result<Heard, CellFault> {
        let Self { mapped, column, manner, .. } = self;
        if mapped.mark.decimal.is_none() && column.is_number() && text.contains(['.', ',']) {
            let say = format!(
                "\"{text}\" could be read with a decimal point or with a decimal comma: {}. Say which in the mapping.",
                mapped.mark.seen
            );
            return Err(CellFault { code: Code::DecimalAmbiguous, say });
        }
        let bare = || text.contains(|c: char| c.is_ascii_digit()) && unit_of_cell(text).is_none();
        if let Some(other) = mapped.other_unit.filter(|_| bare()) {
            let say = format!(
                "\"{text}\" has no unit, and other cells of the column are in {}. Say the unit of bare numbers in the mapping.",
                other.word()
            );
            return Err(CellFault { code: Code::UnitOpen, say });
        }
        heard(column, text, *manner)
    }
}

/// How a text under a heading is read.
pub(super) fn manner(mapped: &MappedColumn) -> Manner {
    let own = mapped.heading.rsplit_once(" / ").map_or(mapped.heading.as_str(), |(_, own)| own);
    let manner = match mapped.mark.decimal {
        Some(mark) => Manner::new(mark, mapped.unit),
        None => Manner::unmarked(mapped.unit),
    };
    manner.language(Heading::of(own).language())
}
