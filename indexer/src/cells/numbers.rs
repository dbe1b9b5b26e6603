//! Cells that hold numbers: lengths, masses, counts and prices, in the unit of the cell or the heading.

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::units::{Decimal, LengthUnit, MassUnit};

use super::{CellFault, Manner, fault};
use crate::columns::Column;
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::{Unit, system_of, unit_of};

/// A number and the unit behind it, if any; the unit of the cell wins over that of the heading.
fn number(text: &str, manner: Manner) -> Result<(Decimal, Option<Unit>), CellFault> {
    let lower = text.to_lowercase();
    let end = lower
        .find(|c: char| !(c.is_ascii_digit() || "+-.,\u{2212}\u{a0} ".contains(c)))
        .unwrap_or(lower.len());
    let (digits, rest) = lower.split_at(end);
    let plain = without_thousands(digits.trim(), manner.decimal);
    let not_a_number = || {
        fault(
            Code::NotANumber,
            format!("\"{text}\" is not a number. Correct the cell, or leave it blank if unknown."),
        )
    };
    let value = Decimal::parse(&plain, manner.decimal).ok_or_else(not_a_number)?;
    let rest = rest.trim().trim_end_matches('.');
    if rest.is_empty() {
        return Ok((value, manner.unit));
    }
    let unit = unit_of(rest).ok_or_else(|| {
        fault(
            Code::UnitUnknown,
            format!("\"{rest}\" behind a number is no unit known here. Use mm, cm, in, g, kg, oz or lb."),
        )
    })?;
    Ok((value, Some(unit)))
}

/// `1.299,00` and `1 299,00` with a decimal comma are 1299,00: the decimal mark stands behind, and every group after
/// a thousands mark has three digits. Anything else stays as it is, and so is no number.
fn without_thousands(digits: &str, decimal: char) -> String {
    let thousands = if decimal == ',' { '.' } else { ',' };
    let Some((whole, fraction)) = digits.split_once(decimal) else { return digits.to_owned() };
    let mark = whole.find([thousands, ' ', '\u{a0}']).and_then(|at| whole[at..].chars().next());
    let Some(mark) = mark else { return digits.to_owned() };
    let groups: Vec<&str> = whole.split(mark).collect();
    let grouped = groups[1..].iter().all(|group| group.len() == 3);
    if grouped { format!("{}{decimal}{fraction}", groups.concat()) } else { digits.to_owned() }
}

pub(super) fn length(column: &Column, text: &str, manner: Manner) -> Result<Value, CellFault> {
    let (value, unit) = number(text, manner)?;
    let unit = match unit {
        None => LengthUnit::Mm,
        Some(Unit::Length(unit)) => unit,
        Some(_) => {
            return Err(fault(Code::UnitUnknown, format!("\"{text}\" is not a length. Use mm, cm or in.")));
        }
    };
    let tenths = unit.to_mm(value).ok_or_else(|| out_of_range(text, column))?.in_tenths();
    let (lowest, highest) = if column.key == "drop" { (-150, 250) } else { (40, 800) };
    if column.key != "drop" && (0..lowest).contains(&tenths) {
        let say = format!(
            "{text} mm is very thin for a sole. If it is in cm, write the unit behind the number or in the heading."
        );
        return Err(fault(Code::UnlikelyScale, say));
    }
    if tenths < lowest || tenths > highest {
        return Err(out_of_range(text, column));
    }
    Ok(Value::Int(tenths.into()))
}

fn out_of_range(text: &str, column: &Column) -> CellFault {
    fault(
        Code::OutOfRange,
        format!("\"{text}\" cannot be the {} of a shoe. Check the number and its unit.", column.headings[0]),
    )
}

pub(super) fn mass(text: &str, manner: Manner) -> Result<Value, CellFault> {
    let (value, unit) = number(text, manner)?;
    let unit = match unit {
        None => MassUnit::Gram,
        Some(Unit::Mass(unit)) => unit,
        Some(_) => {
            return Err(fault(Code::UnitUnknown, format!("\"{text}\" is not a mass. Use g, kg, oz or lb.")));
        }
    };
    let grams = unit.to_grams(value).map_or(i32::MAX, |grams| grams.in_tenths());
    if grams < 0 {
        return Err(fault(Code::OutOfRange, format!("\"{text}\" is less than nothing. Check the number.")));
    }
    if !(500..=6_000).contains(&grams) {
        let say = format!(
            "\"{text}\" is not between 50 and 600 g. If it is in kg or oz, write the unit behind the number or in the heading."
        );
        return Err(fault(Code::UnlikelyScale, say));
    }
    Ok(Value::Int(grams.into()))
}

pub(super) fn compression(text: &str, manner: Manner) -> Result<Value, CellFault> {
    let (value, unit) = number(text, manner)?;
    if !matches!(unit, None | Some(Unit::Compression)) {
        return Err(fault(Code::UnitUnknown, format!("\"{text}\" is not in N/mm.")));
    }
    match value.scaled(10, 1).filter(|tenths| (10..=5_000).contains(tenths)) {
        Some(tenths) => Ok(Value::Int(tenths.into())),
        None => Err(fault(Code::OutOfRange, format!("\"{text}\" N/mm is no compression of a midsole."))),
    }
}

/// `EU 42`, `US 9`, or a number under a heading that names the system.
pub(super) fn mass_size(text: &str, manner: Manner) -> Result<Value, CellFault> {
    let (system, label) = match text.split_once(' ') {
        Some((word, label)) if system_of(word).is_some() => (system_of(word), label),
        _ => (system_in(manner), text),
    };
    let Some(system) = system else {
        return Err(fault(
            Code::WordUnknown,
            format!("\"{text}\" does not say in which system. Write EU, UK or US before it."),
        ));
    };
    let label = SizeLabel::parse(Some(system), label);
    let label = label.ok_or_else(|| fault(Code::NotANumber, format!("\"{text}\" is no size.")))?;
    Ok(Value::Text(label.to_string()))
}

fn system_in(manner: Manner) -> Option<SizeSystem> {
    match manner.unit {
        Some(Unit::System(system)) => Some(system),
        _ => None,
    }
}

pub(super) fn devices(text: &str) -> Result<Value, CellFault> {
    match text.parse::<i64>() {
        Ok(count @ 0..=6) => Ok(Value::Int(count)),
        Ok(_) => Err(fault(Code::OutOfRange, format!("\"{text}\" devices: the count runs from 0 to 6."))),
        Err(_) => Err(fault(
            Code::NotANumber,
            format!("\"{text}\" is no count. Write how many devices there are, 0 to 6."),
        )),
    }
}

/// `12`, `10+`, `>10`, or `x` for in stock with the number unknown.
pub(super) fn quantity(text: &str, manner: Manner) -> Result<Value, CellFault> {
    if text.eq_ignore_ascii_case("x") {
        return Ok(Value::Text("x".to_owned()));
    }
    let (at_least, digits) = match (text.strip_suffix('+'), text.strip_prefix('>')) {
        (Some(digits), _) | (None, Some(digits)) => (true, digits.trim()),
        (None, None) => (false, text),
    };
    let not_a_number = || {
        fault(Code::NotANumber, format!("\"{text}\" is no number of pairs. Write a whole number, 10+ or x."))
    };
    let tenths =
        Decimal::parse(digits, manner.decimal).and_then(|d| d.scaled(10, 1)).ok_or_else(not_a_number)?;
    match (tenths / 10, tenths % 10) {
        (pairs, _) if pairs < 0 => Err(fault(
            Code::QuantityNegative,
            format!("{text} pairs: there cannot be fewer than none. Count the shelf."),
        )),
        (pairs @ 0..=100_000, 0) => Ok(Value::Text(format!("{pairs}{}", if at_least { "+" } else { "" }))),
        _ => Err(not_a_number()),
    }
}

/// Minor units of the shop's currency.
pub(super) fn price(text: &str, manner: Manner) -> Result<Value, CellFault> {
    let bare = text.trim_start_matches(['€', ' ']).trim_start_matches("EUR").trim();
    let (value, unit) = number(bare, manner)?;
    if !matches!(unit, None | Some(Unit::Euro)) {
        return Err(fault(Code::UnitUnknown, format!("\"{text}\" is not in the shop's currency, EUR.")));
    }
    match value.scaled(100, 1) {
        Some(cents @ 100..=10_000_000) => Ok(Value::Int(cents.into())),
        Some(cents) if cents < 0 => {
            Err(fault(Code::OutOfRange, format!("\"{text}\" is less than nothing. Check the price.")))
        }
        _ => Err(fault(
            Code::OutOfRange,
            format!("\"{text}\" is no price of a shoe. Leave the cell blank if unknown."),
        )),
    }
}
