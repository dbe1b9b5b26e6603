//! One cell at a time: from the text read to a value, or to what is wrong with it.
//!
//! A blank says nothing and so does a dash: neither overwrites what is known.

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::stock::{Gtin, GtinFault};
use catalogue::style::{Audience, BendingWord, Purpose, Surface};
use catalogue::units::{Decimal, LengthUnit, MassUnit};

use crate::columns::{Column, Reads};
use crate::draft::Value;
use crate::finding::Code;
use crate::heading::{Unit, system_of, unit_of};

/// How the cells of one column are to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Manner {
    /// The decimal mark.
    pub decimal: char,
    /// The unit that the heading names.
    pub unit: Option<Unit>,
}

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

/// Reads one cell of a column; `None` says nothing.
pub fn read_cell(column: &Column, text: &str, manner: Manner) -> Cell {
    let text = text.trim();
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

/// Text without doubled blanks and control characters.
fn tidy(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").chars().filter(|c| !c.is_control()).collect()
}

/// A number and the unit behind it, if any; the unit of the cell wins over that of the heading.
fn number(text: &str, manner: Manner) -> Result<(Decimal, Option<Unit>), CellFault> {
    let lower = text.to_lowercase();
    let end = lower
        .find(|c: char| !(c.is_ascii_digit() || "+-.,\u{2212}\u{a0} ".contains(c)))
        .unwrap_or(lower.len());
    let (digits, rest) = lower.split_at(end);
    let digits: String = digits.chars().filter(|c| !c.is_whitespace()).collect();
    let plain = without_thousands(&digits, manner.decimal);
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

/// `1.299,00` with a decimal comma is 1299,00: a mark followed by three digits and the decimal mark, or by three
/// digits twice.
fn without_thousands(digits: &str, decimal: char) -> String {
    let thousands = if decimal == ',' { '.' } else { ',' };
    let grouped = digits.contains(thousands) && digits.contains(decimal);
    if grouped { digits.replace(thousands, "") } else { digits.to_owned() }
}

fn length(column: &Column, text: &str, manner: Manner) -> Result<Value, CellFault> {
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

fn mass(text: &str, manner: Manner) -> Result<Value, CellFault> {
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

fn compression(text: &str, manner: Manner) -> Result<Value, CellFault> {
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
fn mass_size(text: &str, manner: Manner) -> Result<Value, CellFault> {
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

fn bending(text: &str) -> Result<Value, CellFault> {
    let lower = text.to_lowercase();
    let word = match lower.as_str() {
        "sehr biegsam" => Some(BendingWord::VeryFlexible),
        "biegsam" => Some(BendingWord::Flexible),
        "mittel" => Some(BendingWord::Medium),
        "steif" => Some(BendingWord::Stiff),
        "sehr steif" => Some(BendingWord::VeryStiff),
        step if step.len() == 1 => step.parse().ok().and_then(BendingWord::from_step),
        other => BendingWord::from_word(other),
    };
    if let Some(word) = word {
        return Ok(Value::Text(format!("word:{}", word.word())));
    }
    let has = |test: fn(&char) -> bool| lower.chars().any(|c| test(&c));
    if has(|c| c.is_ascii_digit()) && has(|c| c.is_alphabetic()) {
        return Ok(Value::Text(format!("value:{}", tidy(text))));
    }
    Err(unknown_word(
        text,
        "very flexible, flexible, medium, stiff, very stiff, 1 to 5, or a value with its unit",
    ))
}

fn unknown_word(text: &str, known: &str) -> CellFault {
    fault(Code::WordUnknown, format!("\"{text}\" is not known here. Use {known}."))
}

fn yes_no(text: &str) -> Result<Value, CellFault> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "ja" | "j" | "true" | "1" => Ok(Value::Int(1)),
        "no" | "n" | "nein" | "false" | "0" => Ok(Value::Int(0)),
        _ => Err(unknown_word(text, "yes or no")),
    }
}

fn devices(text: &str) -> Result<Value, CellFault> {
    match text.parse::<i64>() {
        Ok(count @ 0..=6) => Ok(Value::Int(count)),
        Ok(_) => Err(fault(Code::OutOfRange, format!("\"{text}\" devices: the count runs from 0 to 6."))),
        Err(_) => Err(fault(
            Code::NotANumber,
            format!("\"{text}\" is no count. Write how many devices there are, 0 to 6."),
        )),
    }
}

fn audience(text: &str) -> Result<Audience, CellFault> {
    match text.to_lowercase().as_str() {
        "women" | "woman" | "womens" | "women's" | "w" | "female" | "ladies" | "damen" => Ok(Audience::Women),
        "men" | "man" | "mens" | "men's" | "m" | "male" | "herren" => Ok(Audience::Men),
        "unisex" | "u" => Ok(Audience::Unisex),
        "youth" | "kids" | "junior" | "children" | "kinder" | "jugend" => Ok(Audience::Youth),
        _ => Err(unknown_word(text, "women, men, unisex or youth")),
    }
}

fn surface(word: &str) -> Option<Surface> {
    match word {
        "road" | "straße" | "strasse" => Some(Surface::Road),
        "trail" | "gelände" => Some(Surface::Trail),
        "track" | "bahn" => Some(Surface::Track),
        "indoor" | "halle" => Some(Surface::Indoor),
        _ => None,
    }
}

fn purpose(word: &str) -> Option<Purpose> {
    match word {
        "daily" | "training" | "alltag" => Some(Purpose::Daily),
        "tempo" => Some(Purpose::Tempo),
        "race" | "racing" | "wettkampf" => Some(Purpose::Race),
        "long" | "lang" => Some(Purpose::Long),
        "walk" | "walking" | "gehen" => Some(Purpose::Walk),
        _ => None,
    }
}

/// A list of words as canonical words in their own order; one unknown word holds the cell.
fn listed<T: Copy + PartialEq>(
    text: &str,
    find: fn(&str) -> Option<T>,
    all: &[T],
    word: fn(T) -> &'static str,
) -> Result<Value, CellFault> {
    let mut found = Vec::new();
    for part in text.to_lowercase().split([';', ',', '/', '+', '&']).map(str::trim).filter(|p| !p.is_empty())
    {
        let known: Vec<_> = all.iter().map(|member| word(*member)).collect();
        found.push(find(part).ok_or_else(|| unknown_word(part, &known.join(", ")))?);
    }
    let words: Vec<_> =
        all.iter().filter(|member| found.contains(member)).map(|member| word(*member)).collect();
    Ok(Value::Text(words.join(",")))
}

fn status(text: &str) -> Result<Value, CellFault> {
    match text.to_lowercase().as_str() {
        "retired" | "discontinued" | "ausgelaufen" => Ok(Value::Text("retired".to_owned())),
        "in range" | "active" | "current" | "aktiv" => Ok(Value::Text("in range".to_owned())),
        _ => Err(unknown_word(text, "in range or retired")),
    }
}

fn size_system(text: &str) -> Result<SizeSystem, CellFault> {
    system_of(text).ok_or_else(|| unknown_word(text, "EU, UK, US, MP or CM"))
}

/// The label as printed; a date is refused by name.
fn size(text: &str) -> Result<String, CellFault> {
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

fn gtin(text: &str) -> Result<Value, CellFault> {
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

/// `12`, `10+`, `>10`, or `x` for in stock with the number unknown.
fn quantity(text: &str, manner: Manner) -> Result<Value, CellFault> {
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
fn price(text: &str, manner: Manner) -> Result<Value, CellFault> {
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

#[cfg(test)]
mod tests {
    use super::*;

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
    fn a_damaged_code_says_how_to_mend_it() {
        assert!(read("gtin", "6.29104E+12", POINT).unwrap_err().say.contains("Format the column as text"));
        assert_eq!(code("gtin", "6291041500214"), Code::GtinCheckDigit);
        assert_eq!(int("gtin", "6291041500213", POINT), 6_291_041_500_213);
    }
}
