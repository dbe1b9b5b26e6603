//! Cells that count: pairs in stock and stability devices.

use catalogue::units::Decimal;

use super::digits::plain_signs;
use super::manner::{Manner, Mark};
use super::vocabulary::{IN_STOCK, find};
use super::{CellFault, fault, quoted};
use crate::columns::QUANTITY;
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::is_word_of;

/// The marks for in stock with the number unknown.
pub(crate) fn is_cross(text: &str) -> bool {
    matches!(text, "x" | "X" | "✓" | "✔" | "×")
}

/// `12`, `12 pairs`, `10+`, `>10`, or a word for in stock with the number unknown.
pub(super) fn quantity(text: &str, manner: Manner) -> Result<Value, CellFault> {
    if is_cross(text) {
        return Ok(Value::Text("x".into()));
    }
    if let Some(there) = find(&IN_STOCK, text) {
        return Ok(Value::Text(if there { "x" } else { "0" }.into()));
    }
    let plain = plain_signs(text);
    let digits = without_word_for_pairs(&plain);
    let (at_least, digits) = match (digits.strip_suffix('+'), digits.strip_prefix(['>', '≥'])) {
        (Some(digits), _) | (None, Some(digits)) => (true, digits.trim().trim_start_matches('=')),
        (None, None) => (false, digits),
    };
    let mark = if manner.mark_here() == Mark::Comma { ',' } else { '.' };
    let not_a_number = || {
        let say = format!("{} is no number of pairs. Write a whole number, 10+ or x.", quoted(text));
        fault(Code::NotANumber, say)
    };
    let number = Decimal::parse(digits.trim(), mark).ok_or_else(not_a_number)?;
    let tenths = number.scaled(10, 1).ok_or_else(|| too_many(text))?;
    // A whole number read from `2.04` would be another number than the sheet's.
    let whole = number.scaled(1000, 1).is_none_or(|thousandths| thousandths % 1000 == 0);
    match tenths / 10 {
        _ if !whole => Err(not_a_number()),
        pairs if pairs < 0 => {
            let say = format!("{} pairs: there cannot be fewer than none. Count the shelf.", quoted(text));
            Err(fault(Code::QuantityNegative, say))
        }
        pairs @ 0..=100_000 => Ok(Value::Text(format!("{pairs}{}", if at_least { "+" } else { "" }).into())),
        _ => Err(too_many(text)),
    }
}

fn too_many(text: &str) -> CellFault {
    let say = format!(
        "{} pairs are more than a shop holds. Check the number: a code may stand in its place.",
        quoted(text)
    );
    fault(Code::OutOfRange, say)
}

/// `12 Paar` without the word.
fn without_word_for_pairs(text: &str) -> &str {
    match text.rsplit_once(' ') {
        Some((digits, word)) if is_word_of(&QUANTITY, word) || matches!(word, "pcs" | "prs" | "pr") => {
            digits.trim()
        }
        _ => text,
    }
}

/// How many stability devices.
pub(super) fn devices(text: &str) -> Result<Value, CellFault> {
    let plain = plain_signs(text);
    match plain.trim_end_matches(".0").parse::<i64>() {
        Ok(count @ 0..=6) => Ok(Value::Int(count)),
        Ok(_) => {
            Err(fault(Code::OutOfRange, format!("{} devices: the count runs from 0 to 6.", quoted(text))))
        }
        Err(_) => {
            let say = format!("{} is no count. Write how many devices there are, 0 to 6.", quoted(text));
            Err(fault(Code::NotANumber, say))
        }
    }
}
