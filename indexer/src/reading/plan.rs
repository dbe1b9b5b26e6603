//! How the cells of a tab are read, worked out once and not for every row, and what was read already.

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;
use std::rc::Rc;

use foldhash::fast::RandomState;

use crate::cells::{CellFault, Heard, Manner, heard};
use crate::columns::{COLOURWAY, Column, GTIN, Level, MAKER, NAME, SIZE, SIZE_SYSTEM, STYLE_NUMBER, WIDTH};
use crate::draft::Join;
use crate::finding::Code;
use crate::heading::Heading;
use crate::mapping::{MappedColumn, TabMapping, unit_of_cell};
use crate::sheet::Row;
use catalogue::policy::Currency;

/// Texts of one column that are kept with what they say. *Opinion*: sizes, colours and numbers of pairs are few, and
/// a column of codes, each another, should not fill the memory.
const KEPT: usize = 4_096;

/// The columns of a tab, by what they speak of.
pub(super) struct Plan<'s> {
    /// Columns that speak of styles, or of several of their columns at once.
    pub(super) style: Vec<Planned<'s>>,
    /// Where they stand: runs of columns side by side.
    pub(super) style_columns: Vec<Range<usize>>,
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
    known: RefCell<HashMap<&'s str, Rc<Heard>, RandomState>>,
    /// What the row above said: most columns repeat it.
    last: RefCell<Option<(&'s str, Rc<Heard>)>>,
}

impl<'s> Plan<'s> {
    pub(super) fn of(mapping: &'s TabMapping, currency: Currency) -> Self {
        let planned = mapping.columns.iter().filter_map(|mapped| Planned::of(mapped, currency));
        let (style, sku): (Vec<_>, _) =
            planned.partition(|planned| matches!(planned.column.level, Level::Style | Level::Others));
        let at = |column: &Column| mapping.of(column).map(|mapped| mapped.at);
        Self {
            style_columns: side_by_side(&style),
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
    pub(super) fn fault(&self, column: &'static Column, row: &'s Row) -> Option<(&Planned<'s>, CellFault)> {
        let planned = self.column(column)?;
        Some((planned, planned.heard(row, row.cell(planned.at).trim()).err()?))
    }

    /// The planned column of this one.
    pub(super) fn column(&self, column: &'static Column) -> Option<&Planned<'s>> {
        self.style.iter().chain(&self.sku).find(|planned| planned.column.is(column))
    }
}

impl<'s> Planned<'s> {
    fn of(mapped: &'s MappedColumn, currency: Currency) -> Option<Self> {
        let column = mapped.column()?;
        Some(Self {
            at: mapped.at,
            mapped,
            column,
            manner: manner(mapped).currency(currency),
            known: RefCell::default(),
            last: RefCell::default(),
        })
    }

    /// What a cell with this text says.
    pub(super) fn heard(&self, row: &Row, text: &'s str) -> Result<Rc<Heard>, CellFault> {
        if row.is_number(self.at) {
            return heard(self.column, text, self.manner.typed_number(true)).map(Rc::new);
        }
        if let Some((_, last)) = self.last.borrow().as_ref().filter(|(last, _)| *last == text) {
            return Ok(Rc::clone(last));
        }
        let found = self.remembered(text)?;
        *self.last.borrow_mut() = Some((text, Rc::clone(&found)));
        Ok(found)
    }

    /// What a text says, read once.
    fn remembered(&self, text: &'s str) -> Result<Rc<Heard>, CellFault> {
        if let Some(known) = self.known.borrow().get(text) {
            return Ok(Rc::clone(known));
        }
        let found = Rc::new(self.read(text)?);
        let mut known = self.known.borrow_mut();
        if known.len() < KEPT {
            known.insert(text, Rc::clone(&found));
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

/// The runs of columns that stand side by side.
fn side_by_side(planned: &[Planned<'_>]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for at in planned.iter().map(|planned| usize::from(planned.at)) {
        match runs.last_mut() {
            Some(run) if run.end == at => run.end += 1,
            _ => runs.push(at..at + 1),
        }
    }
    runs
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
