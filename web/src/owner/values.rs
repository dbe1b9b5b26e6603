//! Values of the store as people read them, and as they type them.

use catalogue::units::Tenths;
use indexer::columns::{Column, Reads};
use indexer::draft::Value;

use crate::browse::list::note;
use crate::labels::NOT_GIVEN;
use crate::owner::edit::NOTE;
use crate::visit::shoe::plain;
use crate::words;

/// A value with its unit; a missing one is *not given*.
pub fn or_not_given(column: &str, value: Option<&Value>) -> String {
    match (Column::find(column), value) {
        (_, None) => words::of(NOT_GIVEN).to_owned(),
        (Some(column), Some(value)) => in_words(column, value),
        (None, Some(Value::Int(number))) => number.to_string(),
        (None, Some(Value::Text(text))) => text.to_string(),
    }
}

/// A value with its unit, as the store means it.
pub fn in_words(column: &Column, value: &Value) -> String {
    match (column.reads, value) {
        (Reads::Length, Value::Int(tenths)) => format!("{} mm", plain(*tenths as i32)),
        (Reads::Mass, Value::Int(tenths)) => format!("{} g", plain(*tenths as i32)),
        (Reads::Compression, Value::Int(tenths)) => format!("{} N/mm", plain(*tenths as i32)),
        (Reads::Quantity, Value::Text(text)) if **text == *"x" => say!("in stock, number unknown").to_owned(),
        (Reads::Price, _) => words::number(typed(column, value)),
        (Reads::Surfaces | Reads::Purposes, Value::Text(text)) => {
            text.split(',').map(words::of).collect::<Vec<_>>().join(", ")
        }
        _ if column.key == NOTE => note(&typed(column, value)),
        _ => words::of(&typed(column, value)).to_owned(),
    }
}

/// A value as it is typed into a form: reading it gives the same value again.
pub fn typed(column: &Column, value: &Value) -> String {
    match (column.reads, value) {
        (Reads::Length | Reads::Mass | Reads::Compression, Value::Int(tenths)) => {
            Tenths(*tenths as i32).to_string()
        }
        (Reads::Price, Value::Int(minor)) => format!("{}.{:02}", minor / 100, minor % 100),
        (Reads::YesNo, Value::Int(yes)) => if *yes == 1 { "yes" } else { "no" }.to_owned(),
        (Reads::Gtin, Value::Int(code)) => format!("{code:014}"),
        (Reads::Surfaces | Reads::Purposes, Value::Text(words)) => words.replace(',', ", "),
        (_, Value::Int(number)) => number.to_string(),
        (_, Value::Text(text)) => text.trim_start_matches("word:").trim_start_matches("value:").to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_read_with_its_unit_and_typed_without() {
        let column = |key: &str| Column::find(key).unwrap();
        let heel = Value::Int(325);
        assert_eq!(
            (in_words(column("heel_stack"), &heel), typed(column("heel_stack"), &heel)),
            ("32.5 mm".into(), "32.5".into())
        );
        assert_eq!(typed(column("price"), &Value::Int(13_905)), "139.05");
        assert_eq!(typed(column("surface"), &Value::Text("road,trail".into())), "road, trail");
        assert_eq!(in_words(column("bending"), &Value::Text("word:stiff".into())), "stiff");
        assert_eq!(or_not_given("drop", None), "not given");
    }
}
