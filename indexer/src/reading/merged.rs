//! Cells merged downwards: their text stands in the first row, and means all of them.

use std::collections::HashMap;

use crate::sheet::{Merged, Tab};

/// A block of cells merged downwards in one column: from row to row by number, the place of the first among the rows of
/// the tab, and its text.
pub(super) struct MergedDown<'s> {
    pub(super) first: u32,
    pub(super) last: u32,
    pub(super) row: u32,
    pub(super) text: &'s str,
}

/// Cells merged downwards hold their text in the first row, and mean all of them.
pub(super) fn merged_downwards(tab: &Tab) -> HashMap<u16, Vec<MergedDown<'_>>> {
    let mut merged: HashMap<u16, Vec<MergedDown<'_>>> = HashMap::new();
    let down = |block: &&Merged| block.columns.0 == block.columns.1 && block.rows.1 > block.rows.0;
    for block in tab.merged.iter().filter(down) {
        let (first, last) = block.rows;
        let Ok(row) = tab.rows.binary_search_by_key(&first, |row| row.number) else { continue };
        let text = tab.rows[row].cell(block.columns.0).trim();
        merged.entry(block.columns.0).or_default().push(MergedDown { first, last, row: row as u32, text });
    }
    merged
}
