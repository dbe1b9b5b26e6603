//! One cell at a time: from the text read to a value, or to what is wrong with it.
//!
//! A blank says nothing and so does a dash: neither overwrites what is known.

mod codes;
mod numbers;
mod words;

use catalogue::style::{Purpose, Surface};

use crate::columns::{Column, Reads};
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::Unit;
use codes::{gtin, size};
use numbers::{compression, devices, length, mass, mass_size, price, quantity};
use words::{audience, bending, listed, purpose, size_system, status, surface, yes_no};

/// How the cells of one column are to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Manner {
    /// The decimal mark.
    pub decimal: char,
    /// The unit that the heading names.
    pub unit: Option<Unit>,
}

/// What a cell says: each column it speaks for, with its value. A cell may speak for more than its own, as `32/24`
/// does for both stacks; empty says nothing.
pub type Said = Vec<(&'static Column, Value)>;

/// What is wrong with a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellFault {
    /// What kind.
    pub code: Code,
    /// What is wrong and what to do.
    pub say: String,
}

type Cell = Result<Option<Value>, CellFault>;

/// Whether a text says nothing.
pub fn says_nothing(text: &str) -> bool {
    matches!(text.trim().to_lowercase().as_str(), "" | "-" | "–" | "—" | "n/a" | "k.a." | "k. a.")
}

/// Reads all that one cell of a column says.
///
/// # Errors
/// The cell cannot be read; nothing of it is taken.
pub fn said(column: &'static Column, text: &str, manner: Manner) -> Result<Said, CellFault> {
    Ok(read_cell(column, text, manner)?.map(|value| (column, value)).into_iter().collect())
}

/// Reads one cell of a column; `None` says nothing.
pub fn read_cell(column: &Column, text: &str, manner: Manner) -> Cell {
    let text = without_guard(text.trim());
    if says_nothing(text) {
        return Ok(None);
    }
    let value = match column.reads {
        Reads::Nothing => return Ok(None),
        Reads::Text | Reads::KindUnknown | Reads::Replaces => Value::Text(tidy(text)),
        Reads::Length => length(column, text, manner)?,
        Reads::Mass => mass(text, manner)?,
        Reads::Compression => compression(text, manner)?,
        Reads::MassSize => mass_size(text, manner)?,
        Reads::Bending => bending(text)?,
        Reads::YesNo => yes_no(text)?,
        Reads::Devices => devices(text)?,
        Reads::Audience => Value::Text(audience(text)?.word().to_owned()),
        Reads::Surfaces => listed(text, surface, Surface::ALL, Surface::word)?,
        Reads::Purposes => listed(text, purpose, Purpose::ALL, Purpose::word)?,
        Reads::Status => status(text)?,
        Reads::SizeSystem => Value::Text(size_system(text)?.word().to_owned()),
        Reads::Size => Value::Text(size(text)?),
        Reads::Gtin => gtin(text)?,
        Reads::Quantity => quantity(text, manner)?,
        Reads::Price => price(text, manner)?,
    };
    Ok(Some(value))
}

fn fault(code: Code, say: impl Into<String>) -> CellFault {
    CellFault { code, say: say.into() }
}

/// A text without the quote mark that keeps a spreadsheet from taking it for a formula; exports write it, and exactly
/// one comes off again.
fn without_guard(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(['=', '+', '-', '@'])).unwrap_or(text)
}

/// Text without doubled blanks and control characters.
fn tidy(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").chars().filter(|c| !c.is_control()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::units::LengthUnit;

    const POINT: Manner = Manner { decimal: '.', unit: None };
    const COMMA: Manner = Manner { decimal: ',', unit: None };

    fn read(key: &str, text: &str, manner: Manner) -> Cell {
        read_cell(Column::find(key).unwrap(), text, manner)
    }

    fn int(key: &str, text: &str, manner: Manner) -> i64 {
        match read(key, text, manner) {
            Ok(Some(Value::Int(value))) => value,
            other => panic!("{key} {text}: {other:?}"),
        }
    }

    fn word(key: &str, text: &str) -> String {
        match read(key, text, POINT) {
            Ok(Some(Value::Text(value))) => value,
            other => panic!("{key} {text}: {other:?}"),
        }
    }

    fn code(key: &str, text: &str) -> Code {
        read(key, text, POINT).unwrap_err().code
    }

    #[test]
    fn a_blank_or_a_dash_says_nothing_and_a_zero_says_zero() {
        for text in ["", "  ", "-", "–", "n/a"] {
            assert_eq!(read("drop", text, POINT), Ok(None), "{text:?}");
        }
        assert_eq!(int("drop", "0", POINT), 0);
    }

    #[test]
    fn the_quote_mark_that_guards_an_exported_cell_comes_off_once() {
        assert_eq!(word("notes", "'=1+1"), "=1+1");
        assert_eq!(word("notes", "''=1+1"), "''=1+1");
        assert_eq!(word("notes", "'t Hof"), "'t Hof");
    }

    #[test]
    fn lengths_and_masses_are_read_in_the_unit_of_the_cell_or_the_heading() {
        let inches = Manner { decimal: '.', unit: Some(Unit::Length(LengthUnit::Inch)) };
        assert_eq!(int("heel_stack", "32", POINT), 320);
        assert_eq!(int("heel_stack", "32,5", COMMA), 325);
        assert_eq!(int("heel_stack", "1.26", inches), 320);
        assert_eq!(int("heel_stack", "32 mm", inches), 320, "the cell wins over the heading");
        assert_eq!(int("mass", "9.4 oz", POINT), 2665);
    }

    #[test]
    fn a_number_likely_in_another_unit_is_asked_not_mended() {
        assert_eq!(code("mass", "0.28"), Code::UnlikelyScale);
        assert_eq!(code("heel_stack", "2.6"), Code::UnlikelyScale);
        assert_eq!(code("heel_stack", "-3"), Code::OutOfRange);
    }

    #[test]
    fn letters_in_a_number_cell_are_refused_with_what_to_do() {
        let fault = read("drop", "about eight", POINT).unwrap_err();
        assert_eq!(fault.code, Code::NotANumber);
        assert!(fault.say.contains("leave it blank"));
        assert_eq!(code("heel_stack", "32 furlongs"), Code::UnitUnknown);
    }

    #[test]
    fn bending_is_a_word_a_step_or_a_value_with_its_unit() {
        assert_eq!(word("bending", "Stiff"), "word:stiff");
        assert_eq!(word("bending", "2"), "word:flexible");
        assert_eq!(word("bending", "0.25 N m/deg"), "value:0.25 N m/deg");
        assert_eq!(code("bending", "7"), Code::WordUnknown);
        assert_eq!(word("stiffness", "7"), "7", "a bare stiffness is kept, its kind unknown");
    }

    #[test]
    fn lists_come_in_canonical_order_and_one_unknown_word_holds_the_cell() {
        assert_eq!(word("surface", "Gelände, Straße"), "road,trail");
        assert_eq!(word("purpose", "long; daily"), "daily,long");
        assert_eq!(code("purpose", "daily, dancing"), Code::WordUnknown);
    }

    #[test]
    fn pairs_are_whole_none_or_more_and_x_is_in_stock() {
        assert_eq!(word("quantity", "0"), "0");
        assert_eq!(word("quantity", "10+"), "10+");
        assert_eq!(word("quantity", "X"), "x");
        assert_eq!(code("quantity", "-2"), Code::QuantityNegative);
        assert_eq!(code("quantity", "2.5"), Code::NotANumber);
    }

    #[test]
    fn prices_are_minor_units_of_the_shops_currency() {
        assert_eq!(int("price", "139,90", COMMA), 13_990);
        assert_eq!(int("price", "€ 139.90", POINT), 13_990);
        assert_eq!(int("price", "1.299,00", COMMA), 129_900);
        assert_eq!(code("price", "139 $"), Code::UnitUnknown);
        assert_eq!(code("price", "a. A."), Code::NotANumber);
    }

    #[test]
    fn a_size_turned_into_a_date_is_refused_by_name() {
        assert_eq!(word("size", "42 2/3"), "42 2/3");
        assert_eq!(code("size", "10. May"), Code::SizeIsDate);
        assert_eq!(code("size", "2026-05-10"), Code::SizeIsDate);
        assert_eq!(code("size", "large"), Code::SizeNotRead);
    }

    #[test]
    fn a_weighing_size_keeps_its_system() {
        assert_eq!(word("mass_size", "EU 42"), "EU 42");
        assert_eq!(code("mass_size", "42"), Code::WordUnknown);
    }

    #[test]
    fn only_groups_of_three_are_thousands_and_a_number_in_two_pieces_is_none() {
        assert_eq!(int("price", "1.299,00 €", COMMA), 129_900);
        assert_eq!(int("price", "1 299,00", COMMA), 129_900);
        for text in ["1,2,6.5", "2,6.5", "3 4", "1 2.5"] {
            assert_eq!(code("heel_stack", text), Code::NotANumber, "{text}");
        }
        assert_eq!(code("price", "1,29.00"), Code::NotANumber);
    }

    #[test]
    fn a_damaged_code_says_how_to_mend_it() {
        assert!(read("gtin", "6.29104E+12", POINT).unwrap_err().say.contains("Format the column as text"));
        assert_eq!(code("gtin", "6291041500214"), Code::GtinCheckDigit);
        assert_eq!(int("gtin", "6291041500213", POINT), 6_291_041_500_213);
    }
}
