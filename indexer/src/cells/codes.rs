//! Trade item numbers and style numbers, which spreadsheets damage more than anything else.

use catalogue::stock::{Gtin, GtinFault, check_digit};

use super::digits::plain_signs;
use super::manner::Manner;
use super::{CellFault, fault, quoted};
use crate::draft::Value;
use crate::finding::Code;

/// Reads a number with its check digit. Twelve digits are the same number with a zero before it; fewer are asked.
pub(super) fn gtin(text: &str, manner: Manner, notes: &mut Vec<CellFault>) -> Result<Value, CellFault> {
    let plain = plain_signs(text);
    let digits = if manner.typed { whole_number(&plain) } else { plain };
    let digits = digits.strip_prefix('\'').unwrap_or(&digits);
    match Gtin::parse(digits) {
        Ok(gtin) => {
            if digits.bytes().filter(u8::is_ascii_digit).count() == 12 {
                let say = format!("{} has twelve digits; it is the same number as 0{digits}.", quoted(text));
                notes.push(fault(Code::GtinPadded, say));
            }
            Ok(Value::Int(gtin.value() as i64))
        }
        Err(told) => Err(damaged(text, digits, told)),
    }
}

/// Refuses a style number that a spreadsheet has shortened: `1E+11`, `9,78E+12`. Without the plus it may well be a code.
pub(super) fn not_shortened(code: Code, text: &str) -> Result<(), CellFault> {
    let plain = plain_signs(text);
    let Some((number, power)) = plain.split_once(['E', 'e']) else { return Ok(()) };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let (whole, rest) = number.split_once(['.', ',']).unwrap_or((number, "0"));
    if digits(whole) && digits(rest) && power.strip_prefix('+').is_some_and(digits) {
        return Err(fault(code, shortened(&quoted(text))));
    }
    Ok(())
}

fn shortened(text: &str) -> String {
    format!(
        "{text}: a spreadsheet has shortened the code and its digits are lost. Format the column as text and fetch the codes again from the supplier."
    )
}

/// A number of the workbook with all its digits: `6291041500213.0`, `6.291041500213E12`.
fn whole_number(text: &str) -> String {
    let whole = text.parse::<f64>().ok().filter(|value| (1.0..1e14).contains(value) && value.fract() < 1e-9);
    whole.map_or_else(|| text.to_owned(), |value| format!("{value:.0}"))
}

fn damaged(text: &str, digits: &str, told: GtinFault) -> CellFault {
    let text = quoted(text);
    let (code, say) = match told {
        GtinFault::Scientific => (Code::GtinDamaged, shortened(&text)),
        GtinFault::NotDigits => (Code::GtinDamaged, not_digits(&text, digits)),
        GtinFault::Length => match with_zeros(digits) {
            Some(whole) => (
                Code::GtinZeroLost,
                format!(
                    "{text} fits as {whole}: a spreadsheet has likely dropped zeros. Format the column as text and enter {whole} if that is on the box."
                ),
            ),
            None => (
                Code::GtinDamaged,
                format!(
                    "{text} has not 8, 12, 13 or 14 digits; a spreadsheet may have dropped a leading zero. Format the column as text and enter it again."
                ),
            ),
        },
        GtinFault::CheckDigit(digit) => (
            Code::GtinCheckDigit,
            format!(
                "{text}: the last digit should be {digit}, so a digit is wrong. Type the code from the box."
            ),
        ),
        GtinFault::AllZero => {
            (Code::GtinDamaged, format!("{text} names no item. Leave the cell blank if there is no code."))
        }
    };
    fault(code, say)
}

fn not_digits(text: &str, digits: &str) -> String {
    if digits.contains(['O', 'o'])
        && digits.chars().all(|c| c.is_ascii_digit() || matches!(c, 'O' | 'o' | ' ' | '-'))
    {
        return format!("{text} has a letter O where a nought belongs. Type the code from the box.");
    }
    format!("{text} holds something else than digits. Type the code from the box.")
}

/// Six to eleven digits that check, as the twelve they may have been.
fn with_zeros(digits: &str) -> Option<String> {
    let value: u64 = digits.parse().ok().filter(|value| *value > 0)?;
    let checks = u64::from(check_digit(value / 10)) == value % 10;
    ((6..12).contains(&digits.len()) && checks).then(|| format!("{value:012}"))
}
