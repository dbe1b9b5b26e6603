//! Bare numbers among cells with units: whether the column tells what they are in.

use super::MappedColumn;
use crate::columns::Reads;
use crate::heading::{Unit, unit_of};
use crate::sheet::Row;
use catalogue::units::{LengthUnit, MassUnit};

/// Finds the columns in which a bare number may be in more than one unit: neither heading nor owner names one, and
/// other cells name one that is not the usual.
pub(super) fn decide(columns: &mut [MappedColumn], rows: &[Row]) {
    for mapped in columns.iter_mut().filter(|mapped| mapped.unit.is_none()) {
        let Some(usual) = mapped.column().and_then(|column| usual(column.reads)) else { continue };
        let mut others = rows.iter().filter_map(|row| unit_of_cell(row.cell(mapped.at)));
        mapped.other_unit = others.find(|unit| *unit != usual);
    }
}

/// The unit of a bare number where nothing says otherwise.
fn usual(reads: Reads) -> Option<Unit> {
    match reads {
        Reads::Length => Some(Unit::Length(LengthUnit::Mm)),
        Reads::Mass => Some(Unit::Mass(MassUnit::Gram)),
        _ => None,
    }
}

/// The unit behind the first number of a cell: `9.4 oz`, `265 g (US 9)`, `8 mm drop`.
pub(crate) fn unit_of_cell(text: &str) -> Option<Unit> {
    let number = text.find(|c: char| c.is_ascii_digit())?;
    let behind = text[number..].trim_start_matches(|c: char| !(c.is_alphabetic() || "\"″€$£".contains(c)));
    let end = behind.find(|c: char| !(c.is_alphabetic() || "\"″€$£".contains(c))).unwrap_or(behind.len());
    unit_of(&behind[..end].to_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mapping::guess_mapping;
    use crate::sheet::of_rows;

    #[test]
    fn the_unit_of_a_cell_stands_behind_its_first_number() {
        let word = |text: &str| unit_of_cell(text).map(Unit::word);
        assert_eq!(word("9.4 oz"), Some("oz"));
        assert_eq!(word("265 g (US 9)"), Some("g"));
        assert_eq!(word("1,25\""), Some("in"));
        assert_eq!((word("265"), word("light"), word("12 furlongs")), (None, None, None));
    }

    #[test]
    fn bare_numbers_among_ounces_are_open_and_among_grams_are_grams() {
        let other = |cells: [&'static str; 2], heading: &'static str| {
            let sheet = of_rows(&[&["Maker", "Name", heading], &["a", "b", cells[0]], &["a", "c", cells[1]]]);
            guess_mapping(&sheet, "x", None).tabs[0].columns[2].other_unit.map(Unit::word)
        };
        assert_eq!(other(["9.4 oz", "9.1"], "Weight"), Some("oz"));
        assert_eq!(other(["265 g", "270"], "Weight"), None);
        assert_eq!(other(["9.4 oz", "9.1"], "Weight oz"), None, "the heading says it");
    }
}
