//! From rows of text to drafts and findings. Never fails: odd data gives findings, and a stop holds back the smallest
//! thing it spoils.

mod row;

use std::collections::{BTreeMap, HashMap, HashSet};

use catalogue::key::{MakerKey, SkuKey, StyleKey};

use crate::columns::STYLE_NUMBER;
use crate::draft::{ReadCell, Reading, RowDraft, SkuDraft};
use crate::finding::{Code, Finding};
use crate::mapping::Mapping;
use crate::sheet::{Row, Sheet, Tab};
use row::RowReader;

/// What the catalogue holds already, as far as reading needs it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// Makers by key, with their names as printed.
    pub makers: BTreeMap<MakerKey, String>,
    /// Styles by the number part of their keys.
    pub numbers: BTreeMap<String, Vec<StyleKey>>,
}

/// Reads every row below the headings.
pub fn read_rows(sheet: &Sheet, mapping: &Mapping, known: &Known) -> Reading {
    let name = sheet.name.to_string();
    let sheet = &sheet.tabs[0];
    let mut reading = Reading {
        sheet: name,
        supplier: mapping.supplier.clone(),
        kind: mapping.kind,
        data_rows: 0,
        rows: Vec::new(),
        held_rows: 0,
        repeated_rows: 0,
        findings: mapping.findings(sheet),
    };
    let reader = RowReader::new(sheet, mapping, known);
    let mut seen: HashSet<&[Box<str>]> = HashSet::new();
    for row in mapping.data_rows(sheet) {
        match sort(row, mapping, &mut seen) {
            Sorted::Blank => {}
            Sorted::Remark => reading.findings.push(remark(sheet, row)),
            Sorted::Repeated => {
                reading.data_rows += 1;
                reading.repeated_rows += 1;
                reading.findings.push(repeated(sheet, row));
            }
            Sorted::Data => {
                reading.data_rows += 1;
                match reader.read(row, &mut reading.findings) {
                    Some(draft) => reading.rows.push(draft),
                    None => reading.held_rows += 1,
                }
            }
        }
    }
    hold_rows_that_differ(&mut reading);
    reading
}

/// What a row is, before its cells are read.
enum Sorted {
    Blank,
    /// A section heading, a total, a note: one cell in a sheet of many columns.
    Remark,
    Repeated,
    Data,
}

fn sort<'s>(row: &'s Row, mapping: &Mapping, seen: &mut HashSet<&'s [Box<str>]>) -> Sorted {
    let filled = row.cells.iter().filter(|cell| !cell.trim().is_empty()).count();
    match filled {
        0 => Sorted::Blank,
        1 if mapping.columns.len() > 2 => Sorted::Remark,
        _ if is_total(row, mapping) => Sorted::Remark,
        _ if !seen.insert(&row.cells) => Sorted::Repeated,
        _ => Sorted::Data,
    }
}

/// A row that begins with a word for a sum and names no style number.
fn is_total(row: &Row, mapping: &Mapping) -> bool {
    let first = row.cells.iter().map(|cell| cell.trim()).find(|cell| !cell.is_empty()).unwrap_or_default();
    let word = first.split([' ', ':']).next().unwrap_or_default().to_lowercase();
    let sums = ["total", "totals", "subtotal", "sum", "summe", "gesamt", "zwischensumme"];
    let numbered = mapping.of(&STYLE_NUMBER).is_some_and(|mapped| {
        let number = row.cell(mapped.at).trim();
        !number.is_empty() && number != first
    });
    sums.contains(&word.as_str()) && !numbered
}

fn remark(sheet: &Tab, row: &Row) -> Finding {
    let filled = row.cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
    let text = filled.collect::<Vec<_>>().join(" · ");
    let say = format!("\"{text}\" is taken for a section, a total or a note, and left out.");
    Finding { code: Code::RowLeftOut, place: sheet.row_place(row), heading: String::new(), text, say }
}

fn repeated(sheet: &Tab, row: &Row) -> Finding {
    let say = "The same row, word for word, stands further up; it counts once.".to_owned();
    let text = row.cells.join(" · ");
    Finding { code: Code::RowRepeated, place: sheet.row_place(row), heading: String::new(), text, say }
}

/// Rows of one SKU that say different things are all held: never summed, never last-wins.
fn hold_rows_that_differ(reading: &mut Reading) {
    let mut first: HashMap<&SkuKey, &SkuDraft> = HashMap::new();
    let mut differ: HashSet<SkuKey> = HashSet::new();
    for sku in reading.rows.iter().flat_map(|row| &row.skus) {
        let earlier = *first.entry(&sku.key).or_insert(sku);
        if !say_the_same(&earlier.cells, &sku.cells) {
            differ.insert(sku.key.clone());
        }
    }
    let of_differing = |row: &RowDraft| row.skus.iter().any(|sku| differ.contains(&sku.key));
    let (held, kept): (Vec<_>, Vec<_>) =
        std::mem::take(&mut reading.rows).into_iter().partition(of_differing);
    reading.rows = kept;
    reading.held_rows += held.len();
    reading.findings.extend(held.iter().map(differing));
}

fn say_the_same(a: &[ReadCell], b: &[ReadCell]) -> bool {
    let said =
        |cells: &[ReadCell]| -> Vec<_> { cells.iter().map(|c| (c.column.key, c.value.clone())).collect() };
    said(a) == said(b)
}

fn differing(row: &RowDraft) -> Finding {
    let text = row.skus.first().map_or_else(String::new, |sku| sku.key.to_string());
    let say =
        "Another row of the same size says something else; neither is taken. Leave one of them in the sheet.";
    Finding {
        code: Code::RowsDiffer,
        place: row.place.clone(),
        heading: String::new(),
        text,
        say: say.to_owned(),
    }
}

#[cfg(test)]
mod tests;
