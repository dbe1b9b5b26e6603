//! Takes rows as the formats find them: limits, hidden rows and columns, remarks, and the words to the parent.

use std::io::Write;

use crate::characters::may_be_shown;

use super::super::WorkbookFault as Fault;
use super::super::frames::{AnswerWriter, Noted};
use super::super::refused::{Refused, Spot, Why};
use super::super::{Merged, RemarkKind, Row, SheetLimits};
use super::Halt;
use super::number::{Stored, Text};

/// Rows of a spreadsheet: ECMA-376 and ODF programs agree on 1,048,576 rows of 16,384 columns.
pub(super) const LAST_ROW: u64 = 1_048_576;
pub(super) const LAST_COLUMN: u64 = 16_384;
/// Runs of hidden rows named one by one; further ones count with the last.
const HIDDEN_RUNS: u32 = 100;

/// What is taken, and where we are.
pub(super) struct Taker<'w, W> {
    answer: &'w mut AnswerWriter<W>,
    limits: SheetLimits,
    rows: u32,
    cells: u32,
    tabs: u16,
    merged: u32,
    tab: Tab,
}

/// What is known of the tab being read.
#[derive(Default)]
struct Tab {
    title: String,
    /// It has been told to the parent: it holds a row.
    told: bool,
    /// By column; as long as the last that is hidden.
    hidden_columns: Vec<bool>,
    /// Those among them that hold something, in order.
    hidden_found: Vec<u16>,
    /// The run of hidden rows above: its first row and how many.
    hidden_run: Option<(u32, u32)>,
    runs: u32,
    no_result: Option<Noted>,
}

/// One row as it is found.
#[derive(Default)]
pub(super) struct Found {
    cells: Vec<(u16, Text)>,
    /// The first cell beyond the widest row allowed.
    beyond: bool,
    no_result: Vec<u16>,
}

impl Found {
    pub(super) fn clear(&mut self) {
        self.cells.clear();
        self.no_result.clear();
        self.beyond = false;
    }

    pub(super) fn is_blank(&self) -> bool {
        self.cells.is_empty() && self.no_result.is_empty() && !self.beyond
    }
}

impl<'w, W: Write> Taker<'w, W> {
    pub(super) fn of(answer: &'w mut AnswerWriter<W>, limits: SheetLimits) -> Self {
        Self { answer, limits, rows: 0, cells: 0, tabs: 0, merged: 0, tab: Tab::default() }
    }

    /// Rows so far, and cells so far that are not empty.
    pub(super) fn counts(&self) -> (u32, u32) {
        (self.rows, self.cells)
    }

    /// The tab being read; empty before the first.
    pub(super) fn title(&self) -> &str {
        &self.tab.title
    }

    /// Begins a tab that is shown, or names one that is not.
    pub(super) fn begin(&mut self, title: &str, hidden: bool) -> Result<bool, Halt> {
        self.tab = Tab::default();
        if title.chars().count() > self.limits.name_chars || !title.chars().all(may_be_shown) {
            return Err(Fault::TabName.into());
        }
        self.tab.title = title.into();
        if hidden {
            self.note(Noted { kind: RemarkKind::HiddenTab, row: 0, column: None, count: 1 })?;
        }
        Ok(!hidden)
    }

    /// Columns that are not shown, counted from 0, both ends included.
    pub(super) fn hide_columns(&mut self, first: u64, last: u64) {
        let (first, end) = (first.min(LAST_COLUMN) as usize, (last.min(LAST_COLUMN - 1) + 1) as usize);
        let hidden = &mut self.tab.hidden_columns;
        hidden.resize(hidden.len().max(end), false);
        if let Some(columns) = hidden.get_mut(first..end) {
            columns.fill(true);
        }
    }

    /// Puts what a cell gives into a row. `column` counts from 0.
    pub(super) fn put(
        &mut self,
        found: &mut Found,
        row: u64,
        column: u64,
        stored: &Stored,
    ) -> Result<(), Halt> {
        let text = match stored {
            Stored::Nothing => return Ok(()),
            Stored::NoResult => None,
            Stored::Text(text) => Some(text),
        };
        let (at, column) = spot_of_cell(row, column)?;
        if let Some(text) = text {
            self.check(text, at)?;
        }
        if self.tab.hidden_columns.get(usize::from(column)) == Some(&true) {
            if let Err(place) = self.tab.hidden_found.binary_search(&column) {
                self.tab.hidden_found.insert(place, column);
            }
            return Ok(());
        }
        match text {
            Some(_) if column >= self.limits.columns => found.beyond = true,
            Some(text) => found.cells.push((column, text.clone())),
            None => found.no_result.push(column),
        }
        Ok(())
    }

    fn check(&self, text: &Text, at: Spot) -> Result<(), Refused> {
        let words = text.words();
        if words.contains('\0') {
            return Err(Refused { why: Why::Nul, at });
        }
        if words.len() > self.limits.cell_bytes as usize {
            return Err(Refused { why: Why::LongCell, at });
        }
        Ok(())
    }

    /// Takes a row; a blank one is nothing, a hidden one is counted.
    pub(super) fn row(&mut self, found: &Found, number: u64, hidden: bool) -> Result<(), Halt> {
        if found.is_blank() {
            return Ok(());
        }
        let at = spot_of_row(number)?;
        if hidden {
            let (first, count) = self.tab.hidden_run.unwrap_or((at.row, 0));
            self.tab.hidden_run = Some((first, count.saturating_add(1)));
            return Ok(());
        }
        self.end_hidden_run(false)?;
        self.note_no_result(found, at.row);
        if found.beyond {
            return Err(Refused { why: Why::TooManyColumns, at }.into());
        }
        if found.cells.is_empty() {
            return Ok(());
        }
        self.tell_tab()?;
        self.count(found.cells.len() as u32, at)?;
        self.answer.row(&row_of(&found.cells, at.row))?;
        Ok(())
    }

    /// Cells merged in the tab being read.
    pub(super) fn merged(&mut self, merged: Merged) -> Result<(), Halt> {
        if !self.tab.told || (merged.rows.0 == merged.rows.1 && merged.columns.0 == merged.columns.1) {
            return Ok(());
        }
        self.merged += 1;
        if self.merged > self.limits.merged {
            return Err(Fault::TooManyMerged.into());
        }
        self.answer.merged(merged)?;
        Ok(())
    }

    /// Ends a tab: what was not taken in it is said.
    pub(super) fn end(&mut self) -> Result<(), Halt> {
        self.end_hidden_run(true)?;
        if let Some(first) = self.tab.hidden_found.first().copied() {
            let count = self.tab.hidden_found.len() as u32;
            self.note(Noted { kind: RemarkKind::HiddenColumns, row: 0, column: Some(first), count })?;
        }
        if let Some(noted) = self.tab.no_result.take() {
            self.note(noted)?;
        }
        Ok(())
    }

    /// A tab counts once it holds a row: empty ones are left out silently.
    fn tell_tab(&mut self) -> Result<(), Halt> {
        if !std::mem::replace(&mut self.tab.told, true) {
            self.tabs += 1;
            if self.tabs > self.limits.tabs {
                return Err(Fault::TooManyTabs.into());
            }
            self.answer.tab(&self.tab.title)?;
        }
        Ok(())
    }

    fn count(&mut self, cells: u32, at: Spot) -> Result<(), Halt> {
        self.rows += 1;
        self.cells = self.cells.saturating_add(cells);
        if self.rows > self.limits.rows {
            return Err(Refused { why: Why::TooManyRows, at }.into());
        }
        if self.cells > self.limits.cells {
            return Err(Refused { why: Why::TooManyCells, at }.into());
        }
        Ok(())
    }

    fn note_no_result(&mut self, found: &Found, row: u32) {
        let Some(first) = found.no_result.first() else { return };
        let count = found.no_result.len() as u32;
        let new = Noted { kind: RemarkKind::NoResult, row, column: Some(*first), count: 0 };
        let noted = self.tab.no_result.get_or_insert(new);
        noted.count = noted.count.saturating_add(count);
    }

    /// Says a run of hidden rows. After many, the rest of the tab is said as one when it ends.
    fn end_hidden_run(&mut self, tab_ends: bool) -> Result<(), Halt> {
        if self.tab.runs + 1 >= HIDDEN_RUNS && !tab_ends {
            return Ok(());
        }
        if let Some((row, count)) = self.tab.hidden_run.take() {
            self.tab.runs += 1;
            self.note(Noted { kind: RemarkKind::HiddenRows, row, column: None, count })?;
        }
        Ok(())
    }

    fn note(&mut self, noted: Noted) -> Result<(), Halt> {
        self.answer.remark(&noted, &self.tab.title)?;
        Ok(())
    }
}

/// The address of a row, one that a spreadsheet has.
pub(super) fn spot_of_row(row: u64) -> Result<Spot, Halt> {
    if row == 0 || row > LAST_ROW {
        return Err(Fault::Address.into());
    }
    Ok(Spot { row: row as u32, line: row as u32, column: None })
}

/// The address of a cell, one that a spreadsheet has; `column` counts from 0.
pub(super) fn spot_of_cell(row: u64, column: u64) -> Result<(Spot, u16), Halt> {
    let at = spot_of_row(row)?;
    if column >= LAST_COLUMN {
        return Err(Fault::Address.into());
    }
    Ok((Spot { column: Some(column as u16), ..at }, column as u16))
}

/// Cells come in order of their columns.
fn row_of(found: &[(u16, Text)], number: u32) -> Row {
    let width = found.last().map_or(0, |(column, _)| usize::from(*column) + 1);
    let mut cells = vec![""; width];
    for (column, text) in found {
        if let Some(cell) = cells.get_mut(usize::from(*column)) {
            *cell = text.words();
        }
    }
    let is_number = |(column, text): &(u16, Text)| matches!(text, Text::Number(_)).then_some(*column);
    let numbers = found.iter().filter_map(is_number).collect();
    Row { number, line: number, cells: cells.into_iter().collect(), numbers }
}
