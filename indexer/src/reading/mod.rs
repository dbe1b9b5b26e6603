//! From rows of text to drafts and findings. Never fails: odd data gives findings, and a stop holds back the smallest
//! thing it spoils.
//!
//! In reading order: `sort` says what a row is before its cells are read; `identity` finds the style it speaks of;
//! `row` reads its cells, as `plan` lays them out; `size` finds the size it names, and `run` those of a run of sizes;
//! `faults` has the words for what is wrong.

mod faults;
mod identity;
mod merged;
mod plan;
mod row;
mod run;
mod size;
mod sort;

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use catalogue::key::SkuKey;
use foldhash::fast::RandomState;

pub use identity::{Known, name_of};

use crate::columns::Column;
use crate::draft::{Drafts, ReadCell, Reading, RowDraft, Sizes, SkuDraft};
use crate::finding::{Code, Finding};
use crate::mapping::{Mapping, TabMapping};
use crate::sheet::Sheet;
use identity::Identity;
use row::RowReader;
use sort::{Sorted, Sorter};

/// Reads every row below the headings of every tab that is taken; tabs that speak of styles before those that only
/// count sizes, which may lean on them.
pub fn read_rows(sheet: &Arc<Sheet>, mapping: &Mapping, known: &Known) -> Drafts {
    let mut drafts = Drafts {
        reading: nothing_yet(sheet, mapping),
        rows: Vec::new(),
        sizes: Sizes::default(),
        findings: mapping.findings(sheet),
    };
    let identity = Identity::new(known);
    let mut tabs: Vec<u16> =
        (0..).take(sheet.tabs.len()).filter(|at| mapping.tabs[usize::from(*at)].is_taken()).collect();
    tabs.sort_by_key(|at| mapping.tabs[usize::from(*at)].has_stock());
    for at in tabs {
        read_tab(&RowReader::new(sheet, at, mapping, &identity), &mut drafts);
    }
    hold_rows_that_differ(&mut drafts);
    for row in &drafts.rows {
        *drafts.reading.joined.entry(row.style.join).or_default() += 1;
    }
    drafts
}

/// A sheet of which no row is read.
fn nothing_yet(sheet: &Arc<Sheet>, mapping: &Mapping) -> Reading {
    Reading {
        sheet: sheet.name.to_string(),
        source: Arc::clone(sheet),
        headings: mapping.tabs.iter().map(headings).collect(),
        supplier: mapping.supplier.clone(),
        kind: mapping.kind,
        data_rows: 0,
        held_rows: 0,
        repeated_rows: 0,
        joined: BTreeMap::new(),
    }
}

fn headings(tab: &TabMapping) -> BTreeMap<u16, String> {
    tab.columns.iter().map(|mapped| (mapped.at, mapped.heading.clone())).collect()
}

fn read_tab(reader: &RowReader<'_>, drafts: &mut Drafts) {
    let (tab, mapping) = (reader.tab, reader.mapping);
    let mut sorter = Sorter::new(mapping, tab.rows.len());
    drafts.findings.extend(reader.of_tab());
    let first = mapping.headings.map_or(0, |rows| rows.last + 1);
    let rows = tab.rows.len().saturating_sub(first);
    drafts.rows.reserve(rows);
    drafts.sizes.skus.reserve(rows);
    drafts.sizes.cells.reserve(rows * reader.plan.sku.len());
    for at in first..tab.rows.len() {
        let row = &tab.rows[at];
        match sorter.sort(row) {
            Sorted::Blank => continue,
            Sorted::Remark => {
                drafts.findings.push(sort::remark(tab, row));
                continue;
            }
            Sorted::Repeated => {
                drafts.reading.repeated_rows += 1;
                drafts.findings.push(sort::repeated(tab, row));
            }
            Sorted::Data => match reader.read(at as u32, &mut drafts.sizes, &mut drafts.findings) {
                Some(draft) => drafts.rows.push(draft),
                None => drafts.reading.held_rows += 1,
            },
        }
        drafts.reading.data_rows += 1;
    }
    drafts.findings.extend(reader.run_marks());
}

/// Rows of one SKU that say different things are all held: never summed, never last-wins.
fn hold_rows_that_differ(drafts: &mut Drafts) {
    let mut first: HashMap<&SkuKey, &SkuDraft, RandomState> =
        HashMap::with_capacity_and_hasher(drafts.sizes.skus.len(), RandomState::default());
    let mut differ: HashMap<SkuKey, &'static Column> = HashMap::new();
    let sizes = &drafts.sizes;
    for sku in &sizes.skus {
        let earlier = *first.entry(&sku.key).or_insert(sku);
        if !std::ptr::eq(earlier, sku)
            && let Some(column) = difference(sizes.cells_of(earlier), sizes.cells_of(sku))
        {
            differ.entry(sku.key.clone()).or_insert(column);
        }
    }
    if differ.is_empty() {
        return;
    }
    let rows = std::mem::take(&mut drafts.rows).into_iter();
    let (held, kept): (Vec<_>, Vec<_>) =
        rows.partition(|row| drafts.skus_of(row).iter().any(|sku| differ.contains_key(&sku.key)));
    drafts.rows = kept;
    drafts.reading.held_rows += held.len();
    let findings: Vec<Finding> = held.iter().filter_map(|row| differing(drafts, row, &differ)).collect();
    drafts.findings.extend(findings);
}

/// The first column in which two rows differ.
fn difference(a: &[ReadCell], b: &[ReadCell]) -> Option<&'static Column> {
    let alike = |(a, b): (&ReadCell, &ReadCell)| a.column.is(b.column) && a.value == b.value;
    if a.len() == b.len() && a.iter().zip(b).all(alike) {
        return None;
    }
    let missing_in = |cells: &[ReadCell], cell: &ReadCell| !cells.iter().any(|own| alike((own, cell)));
    a.iter()
        .find(|cell| missing_in(b, cell))
        .or(b.iter().find(|cell| missing_in(a, cell)))
        .map(|cell| cell.column)
}

/// The finding of a held row, at the cell that differs.
fn differing(drafts: &Drafts, row: &RowDraft, differ: &HashMap<SkuKey, &'static Column>) -> Option<Finding> {
    let reading = &drafts.reading;
    let (sku, column) = drafts.skus_of(row).iter().find_map(|sku| Some((sku, *differ.get(&sku.key)?)))?;
    let cell = drafts.sizes.cells_of(sku).iter().find(|cell| cell.column.is(column));
    let at = cell.map_or(row.at, |cell| cell.at);
    let say = format!(
        "Another row says something else of the same size, {}; neither is taken. Leave one of them in the sheet.",
        sku.key
    );
    Some(Finding {
        code: Code::RowsDiffer,
        place: reading.place(at),
        heading: reading.heading(at).to_owned(),
        text: cell.map_or_else(String::new, |cell| reading.text(cell).to_owned()),
        say,
    })
}

#[cfg(test)]
mod tests;
