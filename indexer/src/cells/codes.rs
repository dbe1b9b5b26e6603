//! Cells that spreadsheets damage: size labels and trade item numbers.

use catalogue::size::SizeLabel;
use catalogue::stock::{Gtin, GtinFault};

use super::{CellFault, fault, tidy};
use crate::draft::Value;
use crate::finding::Code;

/// The label as printed; a date is refused by name.
pub(super) fn size(text: &str) -> Result<String, CellFault> {
    if SizeLabel::parse(None, text).is_some() {
        return Ok(tidy(text));
    }
    if looks_like_a_date(text) {
        let say = format!(
            "\"{text}\" is a date: a spreadsheet has changed a size. Format the column as text and enter the size again."
        );
        return Err(fault(Code::SizeIsDate, say));
    }
    Err(fault(
        Code::SizeNotRead,
        format!("\"{text}\" is no size. Sizes are numbers such as 42, 42.5, 42 2/3 or 9½."),
    ))
}

fn looks_like_a_date(text: &str) -> bool {
    const MONTHS: [&str; 14] =
        ["jan", "feb", "mar", "mär", "apr", "may", "mai", "jun", "jul", "aug", "sep", "oct", "okt", "de"];
    let lower = text.to_lowercase();
    let digits = lower.chars().filter(char::is_ascii_digit).count();
    let month = MONTHS.iter().any(|m| lower.contains(m)) && digits > 0;
    let parts: Vec<_> = lower.split(['.', '-', '/']).collect();
    month
        || (parts.len() == 3 && parts.iter().all(|p| !p.is_empty() && p.bytes().all(|b| b.is_ascii_digit())))
}

pub(super) fn gtin(text: &str) -> Result<Value, CellFault> {
    let say = |fault_is: GtinFault| match fault_is {
        GtinFault::Scientific => (
            Code::GtinDamaged,
            format!(
                "\"{text}\": a spreadsheet has shortened the code and its digits are lost. Format the column as text and fetch the codes again from the supplier."
            ),
        ),
        GtinFault::NotDigits => (
            Code::GtinDamaged,
            format!("\"{text}\" holds something else than digits. Type the code from the box."),
        ),
        GtinFault::Length => (
            Code::GtinDamaged,
            format!(
                "\"{text}\" has not 8, 12, 13 or 14 digits; a spreadsheet may have dropped a leading zero. Format the column as text and enter it again."
            ),
        ),
        GtinFault::CheckDigit(digit) => (
            Code::GtinCheckDigit,
            format!(
                "\"{text}\": the last digit should be {digit}, so a digit is wrong. Type the code from the box."
            ),
        ),
        GtinFault::AllZero => (
            Code::GtinDamaged,
            format!("\"{text}\" names no item. Leave the cell blank if there is no code."),
        ),
    };
    match Gtin::parse(text) {
        Ok(gtin) => Ok(Value::Int(gtin.value() as i64)),
        Err(fault_is) => {
            let (code, say) = say(fault_is);
            Err(CellFault { code, say })
        }
    }
}
