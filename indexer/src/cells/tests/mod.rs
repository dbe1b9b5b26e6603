//! Statements on cells, column by column.

mod codes;
mod measures;
mod words;

use catalogue::policy::Currency;
use catalogue::units::LengthUnit;

use super::*;
use crate::columns::Language;
use crate::heading::Unit;

const POINT: Manner = Manner::new('.', None);
const COMMA: Manner = Manner::new(',', None);

fn read(key: &str, text: &str, manner: Manner) -> Result<Option<Value>, CellFault> {
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
        Ok(Some(Value::Text(value))) => value.to_string(),
        other => panic!("{key} {text}: {other:?}"),
    }
}

fn code(key: &str, text: &str) -> Code {
    read(key, text, POINT).unwrap_err().code
}

fn all(key: &str, text: &str, manner: Manner) -> Vec<(&'static str, Value)> {
    let said =
        said(Column::find(key).unwrap(), text, manner).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
    said.into_iter().map(|(column, value)| (column.key, value)).collect()
}

fn noted(key: &str, text: &str) -> Vec<Code> {
    let heard = heard(Column::find(key).unwrap(), text, POINT).unwrap();
    heard.notes.into_iter().map(|note| note.code).collect()
}

fn tenths(key: &'static str, value: i64) -> (&'static str, Value) {
    (key, Value::Int(value))
}

#[test]
fn a_text_is_trimmed_as_the_standard_library_trims_it() {
    let blanks = ["", " ", "\t", "\u{a0}", "\u{2009}", "\u{feff}", "\u{85}"];
    for text in ["", "a", "-", "é", "12,5 mm", "a b", "字"] {
        for (before, after) in
            blanks.iter().flat_map(|before| blanks.iter().map(move |after| (before, after)))
        {
            let whole = format!("{before}{text}{after}");
            assert_eq!(trimmed(&whole), whole.trim(), "{whole:?}");
        }
    }
}
