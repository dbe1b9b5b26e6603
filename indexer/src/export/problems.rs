//! The rows to mend as a workbook: as the supplier wrote them, with what is wrong in a column of its own and in notes
//! on the cells. Mended and sent again, it touches these rows alone.

use std::collections::BTreeMap;

use rust_xlsxwriter::{FormatAlign, Note, Worksheet, XlsxError};

use super::workbook::{NotWritten, WIDTH, begun, of_text};
use crate::finding::{Finding, Severity, Wording};
use crate::mapping::{Mapping, PROBLEM, TabMapping};
use crate::sheet::{Row, Sheet, Tab};

/// Characters of a note; spreadsheets refuse notes beyond 32,767.
const LONGEST_NOTE: usize = 2_000;
/// Width of the column of problems, in characters.
const PROBLEM_WIDTH: f64 = 70.0;

/// Findings of one tab by the number of their row.
type ByRow<'f> = BTreeMap<u32, Vec<&'f Finding>>;

/// The rows with a stop or a warning, tab by tab; `None` when there are none. Every cell is text: a long number keeps
/// its digits, a code its zeros, and what looks like a formula stays what it is. `wording` puts what is wrong into the
/// language of whoever mends it; the heading of that column stays, so that the sheet is known when it comes back.
pub(crate) fn problem_rows(
    sheet: &Sheet,
    mapping: &Mapping,
    findings: &[Finding],
    wording: Wording<'_>,
) -> Result<Option<Vec<u8>>, NotWritten> {
    let mut workbook = begun()?;
    let mut any = false;
    for (tab, tab_mapping) in mapping.taken(sheet) {
        let by_row = by_row(tab, tab_mapping, findings);
        if !by_row.is_empty() {
            any = true;
            write_tab(workbook.add_worksheet(), tab, tab_mapping, &by_row, wording)?;
        }
    }
    if any { Ok(Some(workbook.save_to_buffer()?)) } else { Ok(None) }
}

/// Whether there are any such rows.
pub(crate) fn has_problem_rows(sheet: &Sheet, mapping: &Mapping, findings: &[Finding]) -> bool {
    mapping.taken(sheet).any(|(tab, tab_mapping)| !by_row(tab, tab_mapping, findings).is_empty())
}

fn by_row<'f>(tab: &Tab, mapping: &TabMapping, findings: &'f [Finding]) -> ByRow<'f> {
    let Some(first) = mapping.data_rows(tab).first().map(|row| row.number) else { return ByRow::new() };
    let mut by_row = ByRow::new();
    for finding in findings {
        let to_mend = finding.code.severity() != Severity::Note;
        if to_mend && finding.place.sheet == tab.label && finding.place.row >= first {
            by_row.entry(finding.place.row).or_default().push(finding);
        }
    }
    by_row
}

fn write_tab(
    sheet: &mut Worksheet,
    tab: &Tab,
    mapping: &TabMapping,
    by_row: &ByRow<'_>,
    wording: Wording<'_>,
) -> Result<(), XlsxError> {
    if let Some(title) = &tab.title {
        sheet.set_name(title.to_string())?;
    }
    let text = of_text();
    let problem = mapping.columns.iter().map(|mapped| mapped.at + 1).max().unwrap_or(0);
    sheet.set_column_range_format(0, problem, &text)?;
    sheet.set_column_range_width(0, problem, WIDTH)?;
    sheet.set_column_width(problem, PROBLEM_WIDTH)?;
    let mut at = write_headings(sheet, tab, mapping, problem)?;
    sheet.set_freeze_panes(at, 0)?;
    let wrapped = of_text().set_text_wrap().set_align(FormatAlign::Top);
    for row in mapping.data_rows(tab) {
        let Some(findings) = by_row.get(&row.number) else { continue };
        for mapped in &mapping.columns {
            let cell = cell_text(tab, mapping, row, mapped.at);
            if !cell.is_empty() {
                sheet.write_string_with_format(at, mapped.at, cell, &text)?;
            }
        }
        sheet.write_string_with_format(at, problem, in_words(findings, wording), &wrapped)?;
        write_notes(sheet, at, findings, wording)?;
        at += 1;
    }
    Ok(())
}

/// One row of headings, each as it was understood from all its rows, and the row of units below where there is one.
/// How many rows that is.
fn write_headings(
    sheet: &mut Worksheet,
    tab: &Tab,
    mapping: &TabMapping,
    problem: u16,
) -> Result<u32, XlsxError> {
    let bold = of_text().set_bold().set_text_wrap();
    for mapped in &mapping.columns {
        sheet.write_string_with_format(0, mapped.at, &mapped.heading, &bold)?;
    }
    sheet.write_string_with_format(0, problem, PROBLEM, &bold)?;
    let units = mapping.headings.filter(|rows| rows.last > rows.own).and_then(|rows| tab.rows.get(rows.last));
    let Some(units) = units else { return Ok(1) };
    for mapped in &mapping.columns {
        sheet.write_string_with_format(1, mapped.at, units.cell(mapped.at).trim(), &bold)?;
    }
    Ok(2)
}

/// The text of a cell, that of its block where it is merged downwards; a number of a workbook is written with the
/// decimal mark of the texts beside it, for now it is a text too.
fn cell_text(tab: &Tab, mapping: &TabMapping, row: &Row, at: u16) -> String {
    let own = row.cell(at);
    let comma = || {
        let mapped = mapping.columns.iter().find(|mapped| mapped.at == at);
        mapped.is_some_and(|mapped| mapped.mark.decimal == Some(','))
    };
    if row.is_number(at) && comma() {
        return own.replace('.', ",");
    }
    let downwards = |columns: (u16, u16)| columns == (at, at);
    let merged = own.trim().is_empty() && tab.merged.iter().any(|block| downwards(block.columns));
    if merged { tab.merged_into(row, at).unwrap_or_default().to_owned() } else { own.to_owned() }
}

fn in_words(findings: &[&Finding], wording: Wording<'_>) -> String {
    let mut said: Vec<String> = Vec::new();
    for finding in findings {
        let heading = &finding.heading;
        let say = wording(&finding.say);
        let line = if heading.is_empty() { say } else { format!("{heading}: {say}") };
        if !said.contains(&line) {
            said.push(line);
        }
    }
    shortened(&said.join("\n"))
}

fn write_notes(
    sheet: &mut Worksheet,
    at: u32,
    findings: &[&Finding],
    wording: Wording<'_>,
) -> Result<(), XlsxError> {
    let mut cells: BTreeMap<u16, Vec<String>> = BTreeMap::new();
    for finding in findings {
        if let Some(column) = finding.place.column {
            cells.entry(column).or_default().push(wording(&finding.say));
        }
    }
    for (column, said) in cells {
        let note = Note::new(shortened(&said.join("\n"))).add_author_prefix(false);
        sheet.insert_note(at, column, &note)?;
    }
    Ok(())
}

fn shortened(text: &str) -> String {
    text.chars().take(LONGEST_NOTE).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mapping::guess_mapping;
    use crate::reading::{Known, read_rows};
    use crate::sheet::of_rows;

    fn workbook(rows: &[&[&str]]) -> Option<Vec<u8>> {
        let sheet = std::sync::Arc::new(of_rows(rows));
        let mapping = guess_mapping(&sheet, "Fennick", None);
        let findings = read_rows(&sheet, &mapping, &Known::default()).findings;
        problem_rows(&sheet, &mapping, &findings, &str::to_owned).unwrap()
    }

    #[test]
    fn a_sheet_without_problems_has_no_rows_to_mend() {
        let rows: [&[&str]; 2] =
            [&["Maker", "Style number", "Name", "Weight"], &["Fennick", "F1", "Marl", "250"]];
        assert_eq!(workbook(&rows), None);
    }

    #[test]
    fn the_same_rows_give_the_same_bytes() {
        let rows: [&[&str]; 3] = [
            &["Maker", "Style number", "Name", "Weight"],
            &["Fennick", "F1", "=1+1", "light"],
            &["Fennick", "F2", "Tern", "250"],
        ];
        let bytes = workbook(&rows).unwrap();
        assert!(bytes.starts_with(b"PK"));
        assert_eq!(workbook(&rows), Some(bytes));
    }
}
