//! OpenDocument (OASIS ODF 1.3 part 3): the tabs of an `.ods`, read as their XML comes.
//!
//! A cell or a row may say that it is repeated a million times. Blank ones are stepped over; others are refused at
//! the limits before they are written out.

use std::collections::HashSet;
use std::io::{Read, Write};

use super::super::Merged;
use super::super::WorkbookFault as Fault;
use super::super::refused::Why;
use super::Halt;
use super::archive::Archive;
use super::number::Stored;
use super::ods_cell::Cell;
use super::taker::{Found, LAST_COLUMN, LAST_ROW, Taker};
use super::xml::{Piece, Tag, Xml};

const MIMETYPES: [&[u8]; 2] = [
    b"application/vnd.oasis.opendocument.spreadsheet",
    b"application/vnd.oasis.opendocument.spreadsheet-template",
];

/// Reads every tab that is shown.
pub(super) fn read<W: Write>(archive: &Archive<'_>, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
    check_kind(archive)?;
    let xml = Xml::of(archive.part("content.xml").ok_or(Why::NotWorkbook)?);
    Content { xml, path: Vec::new(), at: At::default(), found: Found::default(), merged: Vec::new() }
        .read(taker)
}

fn check_kind(archive: &Archive<'_>) -> Result<(), Halt> {
    const LONGEST: u64 = 100;
    let mut kind = Vec::new();
    let part = archive.part("mimetype").ok_or(Why::NotWorkbook)?;
    part.take(LONGEST).read_to_end(&mut kind).map_err(|_| Fault::Broken)?;
    if !MIMETYPES.contains(&kind.trim_ascii()) {
        return Err(Why::NotWorkbook.into());
    }
    let Some(part) = archive.part("META-INF/manifest.xml") else { return Ok(()) };
    let mut manifest = Xml::of(part);
    loop {
        match manifest.next()? {
            Piece::Start(tag) if tag.name() == "encryption-data" => return Err(Fault::Encrypted.into()),
            Piece::Over => return Ok(()),
            _ => {}
        }
    }
}

/// The part that holds the tabs.
struct Content<'b> {
    xml: Xml<'b>,
    /// The elements we are in, as far as they matter.
    path: Vec<Element>,
    at: At,
    found: Found,
    /// Merged cells of the tab being read.
    merged: Vec<Merged>,
}

#[derive(Default)]
struct At {
    /// Styles of tabs that are not shown; they come before the tabs.
    hidden_styles: HashSet<String>,
    style: String,
    tab_shown: bool,
    column_style: u64,
    row: u64,
    row_repeated: u64,
    row_hidden: bool,
    column: u64,
    cell: Cell,
}

/// An element of `content.xml`.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Element {
    Spreadsheet,
    /// A tab.
    Table,
    Row,
    Cell,
    /// Groups of rows or columns, and what may stand around a table.
    Around,
    /// A style of a tab, or of anything else.
    Style,
    /// A note on a cell, a drawing, tables within cells: nothing in it is the cell's text.
    Aside,
    /// Text of a cell.
    Text,
}

impl Content<'_> {
    fn read<W: Write>(mut self, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
        loop {
            match self.xml.next()? {
                Piece::Start(tag) => {
                    let element = element(tag.name(), self.path.last().copied());
                    start(element, &tag, &mut self.at, &mut self.found, taker)?;
                    self.path.push(element);
                }
                Piece::Text(text) if self.path.last() == Some(&Element::Text) => self.at.cell.add(&text)?,
                Piece::Text(_) => {}
                Piece::End(tag) => {
                    let paragraph = tag.name() == "p";
                    match self.path.pop() {
                        Some(Element::Text) if paragraph => self.at.cell.paragraph_ends(),
                        Some(Element::Cell) => self.cell_ends(taker)?,
                        Some(Element::Row) => self.row_ends(taker)?,
                        Some(Element::Table) => self.tab_ends(taker)?,
                        _ => {}
                    }
                }
                Piece::Over => return Ok(()),
            }
        }
    }

    fn cell_ends<W: Write>(&mut self, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
        let cell = std::mem::take(&mut self.at.cell);
        let (from, repeated) = (self.at.column, cell.repeated);
        self.at.column = from.saturating_add(repeated);
        if !self.at.tab_shown || cell.covered {
            return Ok(());
        }
        if let Some(merged) = merged(&cell, self.at.row, from) {
            self.merged.push(merged);
        }
        let stored = cell.stored();
        if stored != Stored::Nothing {
            // One beyond the widest row allowed is enough to refuse the row.
            for column in from..self.at.column.min(from.saturating_add(u64::from(u8::MAX))) {
                taker.put(&mut self.found, self.at.row, column, &stored)?;
            }
        }
        Ok(())
    }

    fn row_ends<W: Write>(&mut self, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
        let (first, repeated) = (self.at.row, self.at.row_repeated);
        self.at.row = first.saturating_add(repeated);
        if self.at.tab_shown && !self.found.is_blank() {
            // Refused by its limit long before the last.
            for number in first..self.at.row {
                taker.row(&self.found, number, self.at.row_hidden)?;
            }
        }
        Ok(())
    }

    fn tab_ends<W: Write>(&mut self, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
        for merged in std::mem::take(&mut self.merged) {
            taker.merged(merged)?;
        }
        if self.at.tab_shown { taker.end() } else { Ok(()) }
    }
}

/// What an element is, given the one it stands in.
fn element(name: &str, inside: Option<Element>) -> Element {
    use Element::{Around, Aside, Cell, Row, Spreadsheet, Style, Table, Text};
    const AROUND: [&str; 7] = [
        "table-row-group",
        "table-rows",
        "table-header-rows",
        "table-column-group",
        "table-columns",
        "table-header-columns",
        "table-column",
    ];
    match (inside, name) {
        (Some(Cell), "p") => Text,
        (Some(Text), name) if !matches!(name, "annotation" | "ruby-text" | "note") => Text,
        (Some(Spreadsheet), "table") => Table,
        (Some(Table | Around), "table-row") => Row,
        (Some(Table | Around), name) if AROUND.contains(&name) => Around,
        (Some(Row), "table-cell" | "covered-table-cell") => Cell,
        (None | Some(Style), "spreadsheet") => Spreadsheet,
        (None | Some(Style), _) => Style,
        _ => Aside,
    }
}

fn start<W: Write>(
    element: Element,
    tag: &Tag<'_>,
    at: &mut At,
    found: &mut Found,
    taker: &mut Taker<'_, W>,
) -> Result<(), Halt> {
    match (element, tag.name()) {
        (Element::Style, "style") => at.style = tag.get("style:name").unwrap_or_default().into(),
        (Element::Style, "table-properties")
            if tag.get("table:display").is_some_and(|shown| shown == "false") =>
        {
            at.hidden_styles.insert(at.style.clone());
        }
        (Element::Table, _) => {
            let hidden = tag.get("table:style-name").is_some_and(|style| at.hidden_styles.contains(&*style));
            at.tab_shown = taker.begin(&tag.get("table:name").unwrap_or_default(), hidden)?;
            (at.row, at.column_style) = (1, 0);
        }
        (Element::Around, "table-column") => {
            let repeated = repeats(tag, "table:number-columns-repeated")?;
            let first = at.column_style;
            at.column_style = first.saturating_add(repeated);
            if is_hidden(tag) && first < LAST_COLUMN {
                taker.hide_columns(first, at.column_style - 1);
            }
        }
        (Element::Row, _) => {
            at.row_repeated = repeats(tag, "table:number-rows-repeated")?;
            (at.row_hidden, at.column) = (is_hidden(tag), 0);
            found.clear();
        }
        (Element::Cell, name) => {
            let repeated = repeats(tag, "table:number-columns-repeated")?;
            at.cell = Cell::of(tag, repeated, name == "covered-table-cell");
        }
        (Element::Text, name) => at.cell.mark(name, tag)?,
        _ => {}
    }
    Ok(())
}

fn is_hidden(tag: &Tag<'_>) -> bool {
    tag.get("table:visibility").is_some_and(|shown| matches!(&*shown, "collapse" | "filter"))
}

/// How often an element stands for itself: once, unless it says otherwise.
fn repeats(tag: &Tag<'_>, key: &str) -> Result<u64, Fault> {
    match tag.get(key) {
        None => Ok(1),
        Some(number) => number.parse().ok().filter(|number| *number > 0).ok_or(Fault::Address),
    }
}

/// The block a cell spans; one that leaves the sheet is none.
fn merged(cell: &Cell, row: u64, column: u64) -> Option<Merged> {
    let (rows, columns) = cell.spans?;
    let (bottom, right) =
        (row.checked_add(rows)?.checked_sub(1)?, column.checked_add(columns)?.checked_sub(1)?);
    let inside = bottom >= row && bottom <= LAST_ROW && right >= column && right < LAST_COLUMN;
    inside.then_some(Merged { rows: (row as u32, bottom as u32), columns: (column as u16, right as u16) })
}
