//! Cells that hold measures: stacks and drop, mass, compression; in the unit of the cell, else of the heading.

use catalogue::units::{Decimal, LengthUnit, MassUnit, Tenths};

use super::digits::{not_a_number, number, plain_signs};
use super::manner::Manner;
use super::sizes::weighed_at;
use super::{CellFault, Said, fault, quoted};
use crate::columns::{Column, DROP, FOREFOOT_STACK, HEEL_STACK, MASS_SIZE};
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::{Unit, is_word_of, unit_of};

/// A number with its unit, and what stands behind both.
struct Measured {
    number: Decimal,
    unit: Option<Unit>,
    tail: String,
}

/// Two statements of one mass or length in two units may differ by this, in tenths: each was rounded once.
const ROUNDED: i32 = 30;

/// Reads `8 mm drop`, `9.4 oz @ US M 9`, `heel 32`: words of the column beside the number say nothing new.
fn measured(column: &Column, text: &str, manner: Manner) -> Result<Measured, CellFault> {
    let text = plain_signs(text);
    if text.contains(['%', '‰']) {
        return Err(percent(&text));
    }
    let body = without_own_words(column, &text);
    let (number, rest) = number(body, manner)
        .map_err(|fault| CellFault { say: fault.say.replace(&quoted(body), &quoted(&text)), ..fault })?;
    let (behind, tail) = cut_tail(rest);
    let mut unit = None;
    for token in behind.split([' ', '.']).filter(|token| !token.is_empty()) {
        match unit_of(token)
            .filter(|unit| matches!(unit, Unit::Length(_) | Unit::Mass(_) | Unit::Compression))
        {
            Some(named) => unit = unit.or(Some(named)),
            None if is_word_of(column, token) => {}
            None if token.contains(|c: char| c.is_ascii_digit()) => return Err(not_a_number(&text)),
            None => return Err(unknown_unit(token)),
        }
    }
    let unit = unit.or(manner.unit);
    if unit == Some(Unit::Several) {
        let say = format!(
            "The heading names two units and {} none. Write the unit behind the number, or say it in the mapping.",
            quoted(&text)
        );
        return Err(fault(Code::UnitUnknown, say));
    }
    Ok(Measured { number, unit, tail: tail.to_owned() })
}

fn percent(text: &str) -> CellFault {
    let say = format!(
        "{} is a percentage, and a measure is expected. A spreadsheet may have changed the format of the cell: set it to a number and enter it again.",
        quoted(text)
    );
    fault(Code::Percent, say)
}

fn unknown_unit(token: &str) -> CellFault {
    let say =
        format!("{} behind a number is no unit known here. Use mm, cm, in, g, kg, oz or lb.", quoted(token));
    fault(Code::UnitUnknown, say)
}

/// `drop 8 mm` without `drop`.
fn without_own_words<'t>(column: &Column, text: &'t str) -> &'t str {
    let at = text.find(|c: char| c.is_ascii_digit() || "+-.,".contains(c)).unwrap_or(0);
    let (before, body) = text.split_at(at);
    let own =
        before.split([' ', ':', '=']).filter(|word| !word.is_empty()).all(|word| is_word_of(column, word));
    if own { body } else { text }
}

/// Words that lead from a mass to the size it was weighed at.
const AT: [&str; 8] = ["at", "bei", "in", "en", "a", "à", "bij", "for"];

/// The unit behind a number, and what follows in brackets, behind a bar, an `@` or a word such as `at`.
fn cut_tail(rest: &str) -> (&str, &str) {
    let rest = rest.trim();
    if rest.to_lowercase().starts_with("n/mm") {
        return (rest, "");
    }
    let spaced = |word: &&str| rest.find(&format!(" {word} ")).map(|at| (at, word.len() + 2));
    let word = AT.iter().filter_map(spaced).min();
    let leads =
        AT.iter().find(|word| rest.strip_prefix(**word).is_some_and(|behind| behind.starts_with(' ')));
    let word = leads.map(|word| (0, word.len())).or(word);
    let sign = rest.find(['(', '[', '@', '/', '=', ';']).map(|at| (at, 1));
    match word.into_iter().chain(sign).min() {
        Some((at, long)) => {
            (rest[..at].trim(), rest[at + long..].trim_matches(|c: char| " ()[]@/=;".contains(c)))
        }
        None => (rest, ""),
    }
}

/// A length of this column in tenths of mm, with what may be said of it.
pub(super) fn length(
    column: &Column,
    text: &str,
    manner: Manner,
    notes: &mut Vec<CellFault>,
) -> Result<Value, CellFault> {
    let told = measured(column, text, manner)?;
    let tenths = in_tenths(column, text, &told)?;
    if !told.tail.is_empty() {
        let again = measured(column, &told.tail, manner).map_err(|_| two_in_one(column, text))?;
        let again = in_tenths(column, text, &again)?;
        if (again - tenths).abs() > ROUNDED / 10 {
            return Err(two_in_one(column, text));
        }
    }
    check_length(column, text, tenths, told.unit, notes)?;
    Ok(Value::Int(tenths.into()))
}

fn two_in_one(column: &Column, text: &str) -> CellFault {
    let say = format!(
        "{} holds more than the {}. If it is heel/forefoot, map the column to the stacks.",
        quoted(text),
        column.headings[0]
    );
    fault(Code::NotANumber, say)
}

fn in_tenths(column: &Column, text: &str, told: &Measured) -> Result<i32, CellFault> {
    let unit = match told.unit {
        None => LengthUnit::Mm,
        Some(Unit::Length(unit)) => unit,
        Some(_) => {
            return Err(fault(
                Code::UnitUnknown,
                format!("{} is not a length. Use mm, cm or in.", quoted(text)),
            ));
        }
    };
    Ok(unit.to_mm(told.number).ok_or_else(|| out_of_range(text, column))?.in_tenths())
}

/// What a sole can be: stacks 4 to 80 mm, drops -15 to 25 mm. Beyond it, the unit it may be in is named and asked.
fn check_length(
    column: &Column,
    text: &str,
    tenths: i32,
    unit: Option<Unit>,
    notes: &mut Vec<CellFault>,
) -> Result<(), CellFault> {
    let is_drop = column.key == DROP.key;
    let sound = if is_drop { -150..=250 } else { 40..=800 };
    if sound.contains(&tenths) {
        if is_drop && unit.is_none() && (1..10).contains(&tenths.abs()) {
            let say = format!(
                "{} mm is a rare drop. If it is in cm, write the unit behind the number or in the heading.",
                quoted(text)
            );
            notes.push(fault(Code::Unlikely, say));
        }
        return Ok(());
    }
    let likely: Vec<String> =
        [("cm", tenths * 10), ("in", tenths * 254 / 10), ("tenths of a mm", tenths / 10)]
            .into_iter()
            .filter(|(name, other)| sound.contains(other) && tenths > 0 && (*name != "in" || !is_drop))
            .map(|(name, other)| format!("in {name} it would be {} mm", Tenths(other)))
            .collect();
    if likely.is_empty() {
        return Err(out_of_range(text, column));
    }
    let say = format!(
        "{} in mm is not the {} of a shoe; {}. Write the unit behind the number or in the heading.",
        quoted(text),
        column.headings[0],
        likely.join(", ")
    );
    Err(fault(Code::UnlikelyScale, say))
}

fn out_of_range(text: &str, column: &Column) -> CellFault {
    let say = format!(
        "{} cannot be the {} of a shoe. Check the number and its unit.",
        quoted(text),
        column.headings[0]
    );
    fault(Code::OutOfRange, say)
}

/// Heel and forefoot in one cell, heel first: `32/24`, `32-24 mm`, `32 / 24 / 8`. Words beside the numbers may say
/// another order.
pub(super) fn stacks(text: &str, manner: Manner, notes: &mut Vec<CellFault>) -> Result<Said, CellFault> {
    let plain = plain_signs(text).replace('(', "/").replace(')', "");
    let parts: Vec<&str> =
        plain.split(['/', '|', ';', '-']).map(str::trim).filter(|part| !part.is_empty()).collect();
    if !(2..=3).contains(&parts.len()) {
        let say = format!(
            "{} is not heel/forefoot, such as 32/24. Write both, or map the column to the heel or the forefoot.",
            quoted(text)
        );
        return Err(fault(Code::NotANumber, say));
    }
    let manner = Manner { unit: unit_behind(parts[1]).or(manner.unit), ..manner };
    let mut said = Said::new();
    for (part, in_order) in parts.iter().zip([&HEEL_STACK, &FOREFOOT_STACK, &DROP]) {
        let column = named_stack(part).unwrap_or(in_order);
        said.push((column, length(column, part, manner, notes)?));
    }
    let value = |column: &Column| said.iter().find(|(c, _)| *c == column).map(|(_, value)| value.clone());
    match (value(&HEEL_STACK), value(&FOREFOOT_STACK)) {
        (Some(heel), Some(forefoot)) if heel < forefoot && named_stack(parts[0]).is_none() => {
            let say = format!(
                "{} has the lower number first; heel/forefoot is the order of the trade. Write the heel first, or the words beside the numbers.",
                quoted(text)
            );
            Err(fault(Code::StacksUnordered, say))
        }
        (Some(_), Some(_)) => Ok(said),
        _ => Err(fault(Code::NotANumber, format!("{} names one of the two stacks twice.", quoted(text)))),
    }
}

/// The unit at the end of a part: `24 mm`.
fn unit_behind(part: &str) -> Option<Unit> {
    let token = part.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"' && c != '″');
    unit_of(token.split(' ').next()?).filter(|unit| matches!(unit, Unit::Length(_)))
}

/// The stack that a word in a part names: `heel 32`. A word of both names neither.
fn named_stack(part: &str) -> Option<&'static Column> {
    let words = part.split(|c: char| !c.is_alphabetic()).filter(|word| word.chars().count() > 3);
    let of = |column: &'static Column, word: &str| is_word_of(column, word).then_some(column);
    words.into_iter().find_map(|word| {
        let named: Vec<_> =
            [&HEEL_STACK, &FOREFOOT_STACK, &DROP].into_iter().filter_map(|column| of(column, word)).collect();
        if let [column] = named.as_slice() { Some(*column) } else { None }
    })
}

/// The mass of one shoe in tenths of g, and the size it was weighed at where the cell says it.
pub(super) fn mass(column: &'static Column, text: &str, manner: Manner) -> Result<Said, CellFault> {
    if let Some(grams) = pounds_and_ounces(text) {
        return Ok(vec![(column, checked_mass(text, grams, true)?)]);
    }
    let told = measured(column, text, manner)?;
    let grams = in_grams(text, &told)?;
    let mut said = vec![(column, checked_mass(text, grams, told.unit.is_some())?)];
    if told.tail.is_empty() {
        return Ok(said);
    }
    if let Ok(size) = weighed_at(&told.tail, manner) {
        said.push((&MASS_SIZE, Value::Text(size.into())));
        return Ok(said);
    }
    let again = measured(column, &told.tail, manner).and_then(|again| in_grams(text, &again));
    if again.is_ok_and(|again| (again - grams).abs() <= ROUNDED) {
        return Ok(said);
    }
    let say = format!(
        "{} holds more than a mass: {} behind it is neither a size with its system, such as EU 42, nor the same mass in another unit.",
        quoted(text),
        quoted(&told.tail)
    );
    Err(fault(Code::NotANumber, say))
}

fn in_grams(text: &str, told: &Measured) -> Result<i32, CellFault> {
    let unit = match told.unit {
        None => MassUnit::Gram,
        Some(Unit::Mass(unit)) => unit,
        Some(_) => {
            return Err(fault(
                Code::UnitUnknown,
                format!("{} is not a mass. Use g, kg, oz or lb.", quoted(text)),
            ));
        }
    };
    Ok(unit.to_grams(told.number).map_or(i32::MAX, |grams| grams.in_tenths()))
}

/// `1 lb 2 oz` in tenths of g.
fn pounds_and_ounces(text: &str) -> Option<i32> {
    let lower = plain_signs(text).to_lowercase();
    let (pounds, ounces) = lower.split_once("lb")?;
    let ounces = ounces.trim_start_matches(['s', '.', ' ', ',']).strip_suffix("oz")?.trim();
    let pounds: u32 = pounds.trim().parse().ok().filter(|pounds| *pounds < 10)?;
    let (whole, decimals) = ounces.split_once(['.', ',']).unwrap_or((ounces, "0"));
    let whole: u32 = whole.parse().ok().filter(|whole| *whole < 16)?;
    let all = Decimal::parse(&format!("{}.{decimals}", pounds * 16 + whole), '.')?;
    Some(MassUnit::Ounce.to_grams(all)?.in_tenths())
}

/// A shoe has between 50 and 600 g. Beyond it, what it may be instead is named and asked.
fn checked_mass(text: &str, tenths: i32, unit_said: bool) -> Result<Value, CellFault> {
    if (500..=6_000).contains(&tenths) {
        return Ok(Value::Int(tenths.into()));
    }
    if tenths < 0 {
        let say = format!("{} is less than nothing. Check the number.", quoted(text));
        return Err(fault(Code::OutOfRange, say));
    }
    let guess = match tenths {
        // 0.05 to 0.6 kg, 1.8 to 21 oz.
        1..=6 => "It may be in kg.",
        18..=212 => "It may be in oz.",
        6_001..=12_000 => "It may be the mass of a pair; the mass of one shoe is needed.",
        12_001..=60_000 => "It may be in tenths of a gram.",
        _ => "Check the number.",
    };
    let where_to =
        if unit_said { "Correct the unit." } else { "Write the unit behind the number or in the heading." };
    let say = format!("{} is not between 50 and 600 g. {guess} {where_to}", quoted(text));
    Err(fault(Code::UnlikelyScale, say))
}

/// Compression in tenths of N/mm.
pub(super) fn compression(column: &Column, text: &str, manner: Manner) -> Result<Value, CellFault> {
    let told = measured(column, text, manner)?;
    if !matches!(told.unit, None | Some(Unit::Compression)) || !told.tail.is_empty() {
        return Err(fault(Code::UnitUnknown, format!("{} is not in N/mm.", quoted(text))));
    }
    match told.number.scaled(10, 1).filter(|tenths| (10..=5_000).contains(tenths)) {
        Some(tenths) => Ok(Value::Int(tenths.into())),
        None => {
            Err(fault(Code::OutOfRange, format!("{} N/mm is no compression of a midsole.", quoted(text))))
        }
    }
}
