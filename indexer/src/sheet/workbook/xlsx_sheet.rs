//! One tab of an `.xlsx`, read as its XML comes: columns, rows, cells, and merged cells at the end.

use std::io::Write;
use std::rc::Rc;

use super::super::Merged;
use super::super::WorkbookFault as Fault;
use super::super::refused::{Refused, Why};
use super::Halt;
use super::format::Shows;
use super::number::{Stored, shown};
use super::taker::{Found, LAST_COLUMN, LAST_ROW, Taker, spot_of_cell, spot_of_row};
use super::xlsx_texts::{Rich, Texts, unescaped};
use super::xml::{Piece, Tag, Xml};

/// What the cells of all tabs point to.
pub(super) struct Kept {
    pub(super) texts: Texts,
    /// What each cell style makes of a number.
    pub(super) styles: Vec<Rc<Shows>>,
    /// Days are counted from 1904.
    pub(super) year_1904: bool,
}

/// Where in the part we are.
#[derive(Default)]
struct At {
    in_data: bool,
    row: u64,
    row_hidden: bool,
    /// The column after the last cell, counted from 0.
    next_column: u64,
    cell: Cell,
    rich: Rich,
}

/// The cell being read.
#[derive(Default)]
struct Cell {
    column: u64,
    kind: Kind,
    style: usize,
    formula: bool,
    /// Text is being stored: inside `v`.
    value_open: bool,
    /// A formula keeps an empty text.
    value: String,
}

/// What a cell says it stores (ECMA-376 part 1, 18.18.11).
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Kind {
    #[default]
    Number,
    /// A number of the table of texts.
    Shared,
    /// Text within the cell.
    Inline,
    /// The text that a formula gave.
    Text,
    Boolean,
    Error,
    /// A day as ISO 8601 writes it.
    Day,
}

/// Reads a tab to its end.
pub(super) fn read_tab<W: Write>(
    mut xml: Xml<'_>,
    kept: &Kept,
    taker: &mut Taker<'_, W>,
) -> Result<(), Halt> {
    let (mut at, mut found) = (At::default(), Found::default());
    loop {
        match xml.next()? {
            Piece::Start(tag) if at.in_data => start_in_data(&tag, &mut at, &mut found)?,
            Piece::Start(tag) => start_outside(&tag, &mut at, taker)?,
            Piece::Text(text) if at.cell.value_open || at.rich.speaks() => at.cell.add(&text)?,
            Piece::End(tag) if at.in_data => match tag.name() {
                "v" => at.cell.value_open = false,
                "c" => {
                    let cell = at.cell_ends();
                    let stored = cell.stored(kept, at.row)?;
                    taker.put(&mut found, at.row, cell.column, &stored)?;
                }
                "row" => taker.row(&found, at.row, at.row_hidden)?,
                "sheetData" => at.in_data = false,
                name => at.rich.end(name),
            },
            Piece::Text(_) | Piece::End(_) => {}
            Piece::Over => return Ok(()),
        }
    }
}

fn start_in_data(tag: &Tag<'_>, at: &mut At, found: &mut Found) -> Result<(), Halt> {
    match tag.name() {
        "row" => {
            at.row = match tag.get("r") {
                None => at.row + 1,
                Some(number) => number.parse().ok().filter(|row| *row > at.row).ok_or(Fault::Address)?,
            };
            spot_of_row(at.row)?;
            (at.row_hidden, at.next_column) = (tag.says("hidden"), 0);
            found.clear();
        }
        "c" => at.cell = Cell::of(tag, at)?,
        "f" => at.cell.formula = true,
        "v" => at.cell.value_open = true,
        name => at.rich.start(name),
    }
    Ok(())
}

fn start_outside<W: Write>(tag: &Tag<'_>, at: &mut At, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
    match tag.name() {
        "sheetData" => at.in_data = true,
        "col" if tag.says("hidden") => {
            let [first, last] =
                ["min", "max"].map(|key| tag.get(key).and_then(|number| number.parse::<u64>().ok()));
            if let (Some(first @ 1..), Some(last @ 1..)) = (first, last) {
                taker.hide_columns(first - 1, last - 1);
            }
        }
        "mergeCell" => {
            if let Some(merged) = tag.get("ref").as_deref().and_then(merged) {
                taker.merged(merged)?;
            }
        }
        _ => {}
    }
    Ok(())
}

impl At {
    /// Gives the cell away, and stands behind it.
    fn cell_ends(&mut self) -> Cell {
        let cell = std::mem::take(&mut self.cell);
        self.next_column = cell.column + 1;
        self.rich = Rich::default();
        cell
    }
}

impl Cell {
    fn of(tag: &Tag<'_>, at: &At) -> Result<Self, Halt> {
        let column = match tag.get("r") {
            None => at.next_column,
            Some(address) => {
                let (column, row) = address_of(&address).ok_or(Fault::Address)?;
                if row != at.row || column < at.next_column {
                    return Err(Fault::Address.into());
                }
                column
            }
        };
        let kind = match tag.get("t").as_deref() {
            Some("s") => Kind::Shared,
            Some("inlineStr") => Kind::Inline,
            Some("str") => Kind::Text,
            Some("b") => Kind::Boolean,
            Some("e") => Kind::Error,
            Some("d") => Kind::Day,
            _ => Kind::Number,
        };
        let style = tag.get("s").and_then(|style| style.parse().ok()).unwrap_or(0);
        Ok(Self { column, kind, style, ..Self::default() })
    }

    fn stored(&self, kept: &Kept, row: u64) -> Result<Stored, Halt> {
        let value = self.value.trim();
        Ok(match self.kind {
            Kind::Error => Stored::NoResult,
            Kind::Inline | Kind::Text => Stored::plain(unescaped(&self.value)),
            _ if value.is_empty() && self.formula => Stored::NoResult,
            _ if value.is_empty() => Stored::Nothing,
            Kind::Shared => {
                let text = value.parse().ok().and_then(|number| kept.texts.get(number));
                let (at, _) = spot_of_cell(row, self.column)?;
                Stored::plain(unescaped(text.ok_or(Refused { why: Why::Dangling, at })?))
            }
            Kind::Boolean => Stored::plain(if value == "0" { "no" } else { "yes" }.into()),
            Kind::Day => Stored::plain(day(value)),
            Kind::Number => {
                let shows = kept.styles.get(self.style).map_or(&Shows::Plain, |shows| shows);
                Stored::Text(shown(value, shows, kept.year_1904))
            }
        })
    }

    /// One text is bounded, a thousand in one cell are not.
    fn add(&mut self, text: &str) -> Result<(), Fault> {
        const LONGEST: usize = 1 << 20;
        self.value.push_str(text);
        if self.value.len() > LONGEST { Err(Fault::Shape) } else { Ok(()) }
    }
}

/// `B12` as column (from 0) and row.
fn address_of(address: &str) -> Option<(u64, u64)> {
    let digits = address.find(|c: char| c.is_ascii_digit())?;
    let (letters, digits) = address.split_at(digits);
    let add = |column: u64, letter: u8| {
        let place =
            letter.is_ascii_alphabetic().then(|| u64::from(letter.to_ascii_uppercase() - b'A') + 1)?;
        Some(column * 26 + place).filter(|column| *column <= LAST_COLUMN)
    };
    let column = letters.bytes().try_fold(0, add)?.checked_sub(1)?;
    let row = digits.parse().ok().filter(|row| (1..=LAST_ROW).contains(row))?;
    Some((column, row))
}

/// `A1:C2`; a range that is none is not merged.
fn merged(range: &str) -> Option<Merged> {
    let (first, last) = range.split_once(':')?;
    let ((left, top), (right, bottom)) = (address_of(first)?, address_of(last)?);
    let inside = left <= right && top <= bottom;
    inside.then_some(Merged { rows: (top as u32, bottom as u32), columns: (left as u16, right as u16) })
}

/// Midnight is no time of day.
pub(super) fn day(written: &str) -> String {
    let (day, time) = written.trim().split_once('T').unwrap_or((written.trim(), ""));
    let time = time.trim_end_matches('Z');
    let midnight = time.bytes().all(|byte| matches!(byte, b'0' | b':' | b'.'));
    if midnight { day.into() } else { format!("{day} {time}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    // XFD1048576 as the last cell: ECMA-376 part 1, the sheet size common to spreadsheets.
    #[test]
    fn an_address_is_one_that_a_spreadsheet_has() {
        for (address, found) in [
            ("A1", Some((0, 1))),
            ("AA10", Some((26, 10))),
            ("xfd1048576", Some((16_383, 1_048_576))),
            ("XFE1", None),
            ("A1048577", None),
            ("A0", None),
            ("A4294967296", None),
            ("ZZZZZZZZZZZZZZZZZZZZZZZZ1", None),
            ("1", None),
            ("A", None),
            ("A-1", None),
            ("É1", None),
        ] {
            assert_eq!(address_of(address), found, "{address}");
        }
    }

    #[test]
    fn a_range_that_is_none_is_not_merged() {
        assert_eq!(merged("B1:C2"), Some(Merged { rows: (1, 2), columns: (1, 2) }));
        for range in ["C2:B1", "A1", "A1:", "A1:XFE1"] {
            assert_eq!(merged(range), None, "{range}");
        }
    }
}
