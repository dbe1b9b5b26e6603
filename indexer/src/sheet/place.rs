//! The address of a row or a cell, as the owner finds it again in a spreadsheet.

use std::fmt;
use std::sync::Arc;

/// Where in which sheet.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    /// The file's name without its folders; for a workbook with the tab, `range.xlsx, tab Stock`.
    pub sheet: Arc<str>,
    /// The row as a spreadsheet numbers it, from 1; 0 when no row is meant.
    pub row: u32,
    /// The physical line, from 1.
    pub line: u32,
    /// The column from 0, unless the whole row is meant.
    pub column: Option<u16>,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sheet)?;
        if self.row > 0 {
            write!(f, ", row {}", self.row)?;
        }
        if self.line != self.row {
            write!(f, " (line {})", self.line)?;
        }
        match self.column {
            Some(column) => write!(f, ", column {}", column_letters(column)),
            None => Ok(()),
        }
    }
}

/// The letters a spreadsheet gives to a column counted from 0: A to Z, AA to ZZ, AAA.
pub fn column_letters(column: u16) -> String {
    let mut letters = Vec::new();
    let mut rest = u32::from(column) + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(b'A' + (rest % 26) as u8);
        rest /= 26;
    }
    letters.iter().rev().map(|letter| char::from(*letter)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // XFD as the last of 16,384 columns: ECMA-376 part 1, the sheet size common to spreadsheets.
    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        let cases = [
            (0, "A"),
            (25, "Z"),
            (26, "AA"),
            (51, "AZ"),
            (52, "BA"),
            (701, "ZZ"),
            (702, "AAA"),
            (16_383, "XFD"),
        ];
        for (column, letters) in cases {
            assert_eq!(column_letters(column), letters);
        }
    }

    #[test]
    fn the_line_is_named_only_where_it_differs_from_the_row() {
        let place = Place { sheet: "a.csv".into(), row: 3, line: 3, column: Some(0) };
        assert_eq!(place.to_string(), "a.csv, row 3, column A");
    }

    #[test]
    fn a_place_without_a_row_is_a_whole_tab_or_column() {
        let tab = Place { sheet: "a.xlsx, tab Stock".into(), row: 0, line: 0, column: None };
        assert_eq!(tab.to_string(), "a.xlsx, tab Stock");
        assert_eq!(Place { column: Some(2), ..tab }.to_string(), "a.xlsx, tab Stock, column C");
    }
}
