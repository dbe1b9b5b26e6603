//! Cells that hold prices: minor units of the shop's one currency.

use catalogue::policy::Currency;

use super::digits::{number, plain_signs};
use super::manner::Manner;
use super::{CellFault, fault, quoted};
use crate::columns::PRICE;
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::{Unit, currency_of, is_word_of, is_written};

/// A price in minor units: `139,90`, `€ 139.90`, `CHF 139.–`, `1'299.00`.
pub(super) fn price(text: &str, manner: Manner) -> Result<Value, CellFault> {
    let plain = plain_signs(text);
    if plain.contains('%') {
        let say = format!("{} is a percentage, and a price is expected. Write the price.", quoted(text));
        return Err(fault(Code::Percent, say));
    }
    let start = plain.find(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+')).unwrap_or(plain.len());
    let (before, body) = plain.split_at(start);
    for token in before.split_whitespace() {
        of_the_shop(token, text, manner.currency)?;
    }
    let body = without_dash(body);
    let (number, rest) = number(&body, manner)?;
    for token in rest.split_whitespace() {
        of_the_shop(token, text, manner.currency)?;
    }
    if let Some(Unit::Currency(heading)) = manner.unit
        && before.trim().is_empty()
        && rest.trim().is_empty()
    {
        of_the_shop(heading, text, manner.currency)?;
    }
    in_minor_units(text, number, manner.currency)
}

/// `139,-` and `139.--` are whole amounts.
fn without_dash(body: &str) -> String {
    let cut = [",-", ".-"].iter().filter_map(|dash| body.find(dash)).min();
    cut.map_or_else(
        || body.to_owned(),
        |at| format!("{}{}", &body[..at], body[at + 1..].trim_start_matches('-')),
    )
}

/// A code, sign or word beside a price: that of the shop's currency, or a word of the heading.
fn of_the_shop(token: &str, text: &str, shop: Currency) -> Result<(), CellFault> {
    let token = token.trim_matches(['.', ':']).to_lowercase();
    if token.is_empty() || is_written(shop.code, &token) || is_word_of(&PRICE, &token) {
        return Ok(());
    }
    if currency_of(&token).is_some() {
        return Err(other_currency(text, shop, Code::CurrencyOther));
    }
    let say = format!("{} beside a price is no currency known here. Write the number alone.", quoted(&token));
    let letters = token.starts_with(char::is_alphabetic);
    Err(fault(if letters { Code::NotANumber } else { Code::UnitUnknown }, say))
}

fn other_currency(text: &str, shop: Currency, code: Code) -> CellFault {
    let say = format!(
        "{} is not in the shop's currency, {}. Ask for prices in {}, or leave the prices out.",
        quoted(text),
        shop.code,
        shop.code
    );
    fault(code, say)
}

fn in_minor_units(text: &str, number: catalogue::units::Decimal, shop: Currency) -> Result<Value, CellFault> {
    let factor = 10_i64.pow(u32::from(shop.decimals.min(6)));
    let out_of_range = |say: String| fault(Code::OutOfRange, say);
    let minor = number.scaled(factor, 1).filter(|minor| i64::from(*minor) <= 100_000 * factor);
    // Four more places show whether anything was rounded away.
    let exact =
        |minor: i32| number.scaled(factor * 1000, 1).is_none_or(|fine| fine == minor.saturating_mul(1000));
    match minor {
        Some(minor) if minor < 0 => {
            Err(out_of_range(format!("{} is less than nothing. Check the price.", quoted(text))))
        }
        Some(minor) if !exact(minor) => Err(out_of_range(format!(
            "{} has more decimals than {} has. Check the price and its decimal mark.",
            quoted(text),
            shop.code
        ))),
        Some(minor) if i64::from(minor) >= factor => Ok(Value::Int(minor.into())),
        _ => Err(out_of_range(format!(
            "{} is no price of a shoe. Leave the cell blank if unknown.",
            quoted(text)
        ))),
    }
}

/// The currency of a row: nothing to keep when it is the shop's.
pub(super) fn currency_of_row(text: &str, shop: Currency) -> Result<(), CellFault> {
    let token = text.trim().to_lowercase();
    if is_written(shop.code, &token) { Ok(()) } else { Err(other_currency(text, shop, Code::CurrencyColumn)) }
}
