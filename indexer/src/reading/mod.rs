//! From rows of text to drafts and findings. Never fails: odd data gives findings, and a stop holds back the smallest
//! thing it spoils.
//!
//! In reading order: `sort` says what a row is before its cells are read; `identity` finds the style it speaks of;
//! `row` reads its cells and `run` those of a run of sizes.

mod identity;
mod row;
mod run;
mod sort;

use std::collections::{HashMap, HashSet};

use catalogue::key::SkuKey;

pub use identity::{Known, name_of};

use crate::draft::{ReadCell, Reading, RowDraft, SkuDraft};
use crate::finding::{Code, Finding};
use crate::mapping::{Mapping, TabMapping};
use crate::sheet::{Sheet, Tab};
use identity::Identity;
use row::RowReader;
use sort::{Sorted, Sorter};

/// Reads every row below the headings of every tab that is taken; tabs that speak of styles before those that only
/// count sizes, which may lean on them.
pub fn read_rows(sheet: &Sheet, mapping: &Mapping, known: &Known) -> Reading {
    let mut reading = Reading {
        sheet: sheet.name.to_string(),
        supplier: mapping.supplier.clone(),
        kind: mapping.kind,
        data_rows: 0,
        rows: Vec::new(),
        held_rows: 0,
        repeated_rows: 0,
        findings: mapping.findings(sheet),
    };
    let identity = Identity::new(known);
    let mut tabs: Vec<(&Tab, &TabMapping)> = mapping.taken(sheet).collect();
    tabs.sort_by_key(|(_, tab)| tab.has_stock());
    for (tab, tab_mapping) in tabs {
        read_tab(&RowReader::new(tab, tab_mapping, mapping, &identity), &mut reading);
    }
    hold_rows_that_differ(&mut reading);
    reading
}

fn read_tab(reader: &RowReader<'_>, reading: &mut Reading) {
    let (tab, mapping) = (reader.tab, reader.mapping);
    let mut sorter = Sorter::new(mapping);
    reading.findings.extend(reader.of_tab());
    for row in mapping.data_rows(tab) {
        match sorter.sort(row) {
            Sorted::Blank => continue,
            Sorted::Remark => {
                reading.findings.push(sort::remark(tab, row));
                continue;
            }
            Sorted::Repeated => {
                reading.repeated_rows += 1;
                reading.findings.push(sort::repeated(tab, row));
            }
            Sorted::Data => match reader.read(row, &mut reading.findings) {
                Some(draft) => reading.rows.push(draft),
                None => reading.held_rows += 1,
            },
        }
        reading.data_rows += 1;
    }
    reading.findings.extend(reader.run_marks());
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
    if differ.is_empty() {
        return;
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
