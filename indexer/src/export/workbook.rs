//! Workbooks: how each begins, and a table as one tab of it.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

use super::table::Cell;

/// A workbook that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("the workbook cannot be written: {0}")]
pub struct NotWritten(#[from] XlsxError);

/// Characters of a cell: spreadsheets take no more.
const LONGEST_TEXT: usize = 32_767;
/// Width of a column, in characters.
pub(super) const WIDTH: f64 = 16.0;
/// How numbers are shown, by the decimals they are written with.
const SHOWN: [&str; 3] = ["General", "0.0", "0.00"];

/// A workbook without a tab. The time is not the machine's, so that the same rows give the same bytes.
pub(super) fn begun() -> Result<Workbook, XlsxError> {
    let mut workbook = Workbook::new();
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_timestamp(0)?));
    Ok(workbook)
}

/// Cells of text: a long number keeps its digits, a code its zeros, and what looks like a formula stays what it is.
pub(super) fn of_text() -> Format {
    Format::new().set_num_format("@")
}

/// A table as the one tab of a workbook: numbers as numbers, all else as text, what is unknown not at all.
pub(super) fn of_table(
    title: &str,
    headings: &[String],
    rows: impl Iterator<Item = Vec<Cell>>,
) -> Result<Vec<u8>, NotWritten> {
    let mut workbook = begun()?;
    let sheet = workbook.add_worksheet();
    sheet.set_name(title)?;
    let bold = of_text().set_bold().set_text_wrap();
    for (at, heading) in (0..).zip(headings) {
        sheet.set_column_width(at, WIDTH)?;
        sheet.write_string_with_format(0, at, heading, &bold)?;
    }
    sheet.set_freeze_panes(1, 0)?;
    let (text, shown) = (of_text(), SHOWN.map(|shown| Format::new().set_num_format(shown)));
    for (at, cells) in (1..).zip(rows) {
        for (column, cell) in (0..).zip(cells) {
            write(sheet, (at, column), &cell, &text, &shown)?;
        }
    }
    Ok(workbook.save_to_buffer()?)
}

fn write(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    cell: &Cell,
    text: &Format,
    shown: &[Format; 3],
) -> Result<(), XlsxError> {
    match cell {
        Cell::Unknown => {}
        Cell::Text(own) => {
            let fits: String = own.chars().take(LONGEST_TEXT).collect();
            sheet.write_string_with_format(row, column, fits, text)?;
        }
        Cell::Number(written) => match written.parse::<f64>() {
            Ok(number) => {
                let decimals = written.split_once('.').map_or(0, |(_, decimals)| decimals.len());
                sheet.write_number_with_format(row, column, number, &shown[decimals.min(2)])?;
            }
            Err(_) => {
                sheet.write_string_with_format(row, column, written, text)?;
            }
        },
    }
    Ok(())
}
