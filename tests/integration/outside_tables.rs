//! Tables from outside: each begins with the source it was taken from, and is read as it stands.

use std::path::Path;

/// One table of `tests/tables`: the cells of each row, found by the heading of their column.
pub(crate) struct Table {
    headings: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row of a table.
pub(crate) struct Row<'t> {
    table: &'t Table,
    cells: &'t [String],
}

impl Table {
    /// Reads a table; one whose first line names no source is refused.
    pub(crate) fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables").join(name);
        let text = std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{name}: {fault}"));
        assert!(text.starts_with("# "), "{name}: the first line names the source");
        let mut lines = text.lines().filter(|line| !line.starts_with('#')).map(cells_of);
        let headings = lines.next().unwrap_or_else(|| panic!("{name}: no headings"));
        let rows: Vec<_> = lines.collect();
        for row in &rows {
            assert_eq!(row.len(), headings.len(), "{name}: {row:?}");
        }
        assert!(!rows.is_empty(), "{name}: no rows");
        Self { headings, rows }
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

impl<'t> Row<'t> {
    /// The cell under a heading; empty means not given.
    pub(crate) fn get(&self, heading: &str) -> &'t str {
        let column = self.table.headings.iter().position(|told| told == heading);
        &self.cells[column.unwrap_or_else(|| panic!("no column {heading}"))]
    }

    /// A decimal cell in units of 10^-`places`, read digit by digit; `None` when it is not given.
    pub(crate) fn scaled(&self, heading: &str, places: usize) -> Option<i64> {
        let text = self.get(heading);
        (!text.is_empty()).then(|| scaled(text, places))
    }
}

/// `2.25` with two places is 225; more decimals than places are refused.
pub(crate) fn scaled(text: &str, places: usize) -> i64 {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    assert!(decimals.len() <= places, "{text} has more than {places} decimals");
    format!("{whole}{decimals:0<places$}").parse().unwrap_or_else(|_| panic!("{text} is no number"))
}

/// The cells of a line: commas split, save between double quotes.
fn cells_of(line: &str) -> Vec<String> {
    let (mut cells, mut quoted) = (vec![String::new()], false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().expect("begun with one").push(c),
        }
    }
    cells
}

#[test]
fn a_table_keeps_commas_between_quotes_and_numbers_keep_every_digit() {
    assert_eq!(cells_of("a,\"b,c\","), ["a", "b,c", ""]);
    assert_eq!((scaled("2.25", 3), scaled("-0.8", 1), scaled("40", 1)), (2250, -8, 400));
}
