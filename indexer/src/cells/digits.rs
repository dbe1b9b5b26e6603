//! A number as it is printed: digits of any script, a decimal mark, marks between thousands, a fraction.
//!
//! Whatever can be read in two ways is asked, with both readings; nothing is guessed from its size.

use catalogue::units::Decimal;

use super::manner::{Manner, Mark};
use super::{CellFault, fault, quoted};
use crate::characters::is_invisible;
use crate::finding::Code;

/// Why a run of digits and marks is no number.
#[derive(Debug, PartialEq, Eq)]
enum Doubt {
    /// It is none.
    NotANumber,
    /// The mark parts thousands or decimals.
    TwoWays { thousands: String, decimal: String },
    /// It has the other decimal mark than the rest of its column.
    OtherMark(String),
}

/// The text with digits, signs and blanks as a keyboard has them, and without what cannot be seen.
pub(super) fn plain_signs(text: &str) -> String {
    if text.is_ascii() {
        return text.trim().to_owned();
    }
    let seen = text.chars().filter(|c| !is_invisible(*c));
    seen.map(plain_sign).collect::<String>().trim().to_owned()
}

fn plain_sign(c: char) -> char {
    match c {
        '\u{2212}' | '\u{fe63}' | '\u{ff0d}' | '\u{2010}'..='\u{2015}' => '-',
        '\u{ff0b}' => '+',
        '\u{ff0e}' => '.',
        '\u{ff0c}' | '\u{66b}' => ',',
        '\u{ff0f}' | '\u{2044}' => '/',
        '\u{ff05}' | '\u{66a}' => '%',
        '\u{2018}' | '\u{2019}' | '\u{66c}' => '\'',
        blank if blank.is_whitespace() => ' ',
        other => ascii_digit(other).unwrap_or(other),
    }
}

/// Digits of the scripts that sheets are printed in: each block holds 0 to 9 in order.
fn ascii_digit(c: char) -> Option<char> {
    const ZEROS: [u32; 8] = [0x660, 0x6f0, 0x966, 0x9e6, 0xe50, 0xff10, 0x7c0, 0xed0];
    let code = c as u32;
    let zero = ZEROS.into_iter().find(|zero| (*zero..zero + 10).contains(&code))?;
    char::from_digit(code - zero, 10)
}

/// The number a text begins with, and what stands behind it.
///
/// # Errors
/// It begins with none, or with one that can be read in two ways.
pub(super) fn number(text: &str, manner: Manner) -> Result<(Decimal, &str), CellFault> {
    if let Some(found) = fraction(text) {
        return Ok(found);
    }
    if manner.typed
        && let Some(decimal) = typed(text)
    {
        return Ok((decimal, ""));
    }
    let unsigned = text.trim_start_matches(['+', '-', ' ']);
    let sign = &text[..text.len() - unsigned.len()];
    let end = unsigned.find(|c: char| !(c.is_ascii_digit() || ".,' ".contains(c))).unwrap_or(unsigned.len());
    let (run, rest) = unsigned.split_at(end);
    // A mark of inches or minutes behind the digits is no part of them.
    let run = run.trim_end_matches([' ', '\'']);
    let rest = if rest.is_empty() { unsigned[run.len()..].trim() } else { rest };
    let signed = matches!(sign.trim(), "" | "+" | "-");
    let written = plain(run, manner.mark_here()).map_err(|doubt| doubtful(text, &doubt))?;
    let number = format!("{}{written}", if sign.contains('-') { "-" } else { "" });
    let exponent = rest.starts_with(['e', 'E', 'x', 'X'])
        && rest[1..].starts_with(|c: char| {
            "+-".contains(c) || c.is_ascii_digit() || c.is_ascii_hexdigit() && rest.starts_with(['x', 'X'])
        });
    match Decimal::parse(&number, '.') {
        Some(decimal) if signed && !exponent => Ok((decimal, rest)),
        _ => Err(not_a_number(text)),
    }
}

/// A number of the workbook: a point, at times an exponent, at times digits beyond those that count.
fn typed(text: &str) -> Option<Decimal> {
    if let Some(decimal) = Decimal::parse(text, '.') {
        return Some(decimal);
    }
    let value: f64 = text.parse().ok()?;
    let sound = value.is_finite() && value.abs() < 1e6;
    sound.then(|| Decimal::parse(&format!("{value:.6}"), '.'))?
}

/// `9 3/8`, `9⅜` or `3/8`: halves to sixteenths, which are exact decimals.
fn fraction(text: &str) -> Option<(Decimal, &str)> {
    const VULGAR: [(char, &str); 7] =
        [('½', "5"), ('¼', "25"), ('¾', "75"), ('⅛', "125"), ('⅜', "375"), ('⅝', "625"), ('⅞', "875")];
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (whole, behind) = text.split_at(digits(text));
    let exact = |whole: &str, decimals: &str| {
        Decimal::parse(&format!("{}.{decimals}", if whole.is_empty() { "0" } else { whole }), '.')
    };
    let next = behind.trim_start_matches([' ', '-']);
    if let Some((sign, decimals)) = VULGAR.iter().find(|(sign, _)| next.starts_with(*sign)) {
        return Some((exact(whole, decimals)?, &next[sign.len_utf8()..]));
    }
    let (whole, fraction) = if behind.starts_with('/') { ("", text) } else { (whole, next) };
    let (upper, behind) = fraction.split_at(digits(fraction));
    let behind = behind.strip_prefix('/')?;
    let (lower, rest) = behind.split_at(digits(behind));
    let (upper, lower): (u32, u32) = (upper.parse().ok()?, lower.parse().ok()?);
    let sound = upper < lower && matches!(lower, 2 | 4 | 8 | 16) && rest.chars().all(|c| c != '/');
    sound.then(|| Some((exact(whole, &format!("{:04}", upper * (10_000 / lower)))?, rest)))?
}

/// Digits with marks as digits with at most one point.
fn plain(run: &str, mark: Mark) -> Result<String, Doubt> {
    let run = run.trim();
    let at = decimal_at(run, mark)?;
    let (whole, decimals) = at.map_or((run, ""), |at| (&run[..at], &run[at + 1..]));
    let sound = at.is_none() || (!decimals.is_empty() && decimals.bytes().all(|b| b.is_ascii_digit()));
    let whole = ungrouped(whole).filter(|_| sound).ok_or(Doubt::NotANumber)?;
    Ok(if at.is_some() { format!("{whole}.{decimals}") } else { whole })
}

/// Where the decimal mark stands, if there is one.
fn decimal_at(run: &str, mark: Mark) -> Result<Option<usize>, Doubt> {
    let count = |mark: char| run.matches(mark).count();
    let (points, commas) = (count('.'), count(','));
    let known = match mark {
        Mark::Point => Some(('.', points, commas)),
        Mark::Comma => Some((',', commas, points)),
        Mark::Unknown => None,
    };
    match known {
        Some((mark, 1, _)) => Ok(run.find(mark)),
        Some((_, 0, 1)) => doubt_of_one(run, |reading| Err(Doubt::OtherMark(reading))),
        Some((_, 0, _)) => Ok(None),
        Some(_) => Err(Doubt::NotANumber),
        None if points + commas == 1 => doubt_of_one(run, |_| Ok(run.find(['.', ',']))),
        None if points > 0 && commas > 0 => Ok(run.rfind(['.', ','])),
        None => Ok(None),
    }
}

/// One mark of which nobody has said what it means: three digits behind it, and it reads in two ways; anything else,
/// and it is a decimal mark.
fn doubt_of_one(
    run: &str,
    decimal: impl FnOnce(String) -> Result<Option<usize>, Doubt>,
) -> Result<Option<usize>, Doubt> {
    let Some((whole, behind)) = run.split_once(['.', ',']) else { return Ok(None) };
    let grouped = (1..=3).contains(&whole.len()) && whole != "0" && whole.bytes().all(|b| b.is_ascii_digit());
    let reading = format!("{whole}.{behind}");
    if grouped && behind.len() == 3 {
        return Err(Doubt::TwoWays { thousands: format!("{whole}{behind}"), decimal: reading });
    }
    // Anything but digits on either side is no number in any reading.
    let sound = !behind.is_empty() && reading.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    if sound || run.contains([' ', '\'']) { decimal(reading) } else { Err(Doubt::NotANumber) }
}

/// A whole number without the marks between its thousands: one kind of mark, groups of three.
fn ungrouped(whole: &str) -> Option<String> {
    let Some(mark) = whole.chars().find(|c| !c.is_ascii_digit()) else {
        return (!whole.is_empty()).then(|| whole.to_owned());
    };
    let groups: Vec<&str> = whole.split(mark).collect();
    let (first, others) = groups.split_first()?;
    let digits = |group: &&str| group.len() == 3 && group.bytes().all(|b| b.is_ascii_digit());
    let leads = (1..=3).contains(&first.len()) && first.bytes().all(|b| b.is_ascii_digit());
    (leads && others.iter().all(digits)).then(|| groups.concat())
}

fn doubtful(text: &str, doubt: &Doubt) -> CellFault {
    let quoted = quoted(text);
    match doubt {
        Doubt::NotANumber => not_a_number(text),
        Doubt::TwoWays { thousands, decimal } => fault(
            Code::DecimalAmbiguous,
            format!(
                "{quoted} can be {thousands} or {decimal}. Say the decimal mark of the column, or write the cell without a mark between thousands."
            ),
        ),
        Doubt::OtherMark(reading) => fault(
            Code::DecimalAmbiguous,
            format!(
                "{quoted} has another decimal mark than its column. If it is {reading}, write it with the mark of the others, or change the mark of the column."
            ),
        ),
    }
}

pub(super) fn not_a_number(text: &str) -> CellFault {
    fault(
        Code::NotANumber,
        format!("{} is not a number. Correct the cell, or leave it blank if unknown.", quoted(text)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str, mark: Mark) -> Result<i32, Code> {
        let manner = Manner::unmarked(None).mark(mark);
        let text = plain_signs(text);
        let (decimal, rest) = number(&text, manner).map_err(|fault| fault.code)?;
        assert_eq!(rest.trim(), "", "{text}");
        decimal.scaled(1000, 1).ok_or(Code::OutOfRange)
    }

    #[test]
    fn thousands_are_parted_by_points_commas_blanks_and_apostrophes() {
        for text in
            ["1.299,00", "1 299,00", "1\u{202f}299,00", "1\u{a0}299,00", "1'299,00", "1’299,00", "1299"]
        {
            assert_eq!(read(text, Mark::Comma), Ok(1_299_000), "{text}");
        }
        for text in ["1,299.00", "1 299.00", "1'299.00", "1299.0"] {
            assert_eq!(read(text, Mark::Point), Ok(1_299_000), "{text}");
            assert_eq!(read(text, Mark::Unknown), Ok(1_299_000), "{text}");
        }
    }

    #[test]
    fn a_mark_that_reads_in_two_ways_is_asked_with_both_readings() {
        for (text, mark) in [("1.234", Mark::Unknown), ("1,234", Mark::Unknown), ("1.234", Mark::Comma)] {
            assert_eq!(read(text, mark), Err(Code::DecimalAmbiguous), "{text}");
        }
        let fault = number("1.234", Manner::unmarked(None)).unwrap_err();
        assert!(fault.say.contains("1234") && fault.say.contains("1.234"), "{}", fault.say);
    }

    #[test]
    fn a_mark_that_reads_in_one_way_alone_is_read() {
        assert_eq!(read("0,435", Mark::Comma), Ok(435));
        assert_eq!(read("0,435", Mark::Unknown), Ok(435), "no thousands begin with nought");
        assert_eq!(read("1.234.567", Mark::Unknown), Ok(1_234_567_000));
        assert_eq!(read("32.5", Mark::Unknown), Ok(32_500));
        assert_eq!(read("1.234", Mark::Point), Ok(1_234));
    }

    #[test]
    fn the_other_mark_in_a_column_is_asked() {
        assert_eq!(read("12.5", Mark::Comma), Err(Code::DecimalAmbiguous));
        assert_eq!(read("12,5", Mark::Point), Err(Code::DecimalAmbiguous));
    }

    #[test]
    fn digits_of_any_script_are_digits_and_a_typographers_minus_is_a_minus() {
        assert_eq!(read("２６５", Mark::Point), Ok(265_000));
        assert_eq!(read("٢٦٥", Mark::Point), Ok(265_000));
        assert_eq!(read("\u{2212}2", Mark::Point), Ok(-2_000));
        assert_eq!(read("-0", Mark::Point), Ok(0));
    }

    #[test]
    fn fractions_are_exact() {
        assert_eq!(read("9 3/8", Mark::Point), Ok(9_375));
        assert_eq!(read("9⅜", Mark::Point), Ok(9_375));
        assert_eq!(read("3/8", Mark::Point), Ok(375));
        assert_eq!(read("1-1/4", Mark::Point), Ok(1_250));
    }

    #[test]
    fn what_only_a_program_would_call_a_number_is_none() {
        for text in ["NaN", "inf", "1e309", "0x1F", "--5", "1.2.3,4,5", "", ".", "1,,2", "1 2", "5-"] {
            let manner = Manner::new('.', None);
            let whole = number(text, manner).is_ok_and(|(_, rest)| rest.trim().is_empty());
            assert!(!whole, "{text}");
        }
        assert_eq!(read(&"9".repeat(400), Mark::Point), Err(Code::NotANumber));
    }

    #[test]
    fn a_number_of_the_workbook_has_a_point_whatever_the_column_uses() {
        let manner = Manner::new(',', None).typed_number(true);
        for (text, thousandths) in
            [("8.5", 8_500), ("7.0000000000000009", 7_000), ("2.8E-1", 280), ("1.234", 1_234)]
        {
            assert_eq!(number(text, manner).unwrap().0.scaled(1000, 1), Some(thousandths), "{text}");
        }
    }

    /// A number printed with this decimal mark and this mark between thousands.
    fn printed(value: u32, decimals: usize, mark: char, group: Option<char>) -> String {
        let (whole, rest) = (value / 1000, value % 1000);
        let digits = whole.to_string();
        let mut text = String::new();
        for (at, digit) in digits.chars().enumerate() {
            if at > 0 && (digits.len() - at) % 3 == 0 {
                text.extend(group);
            }
            text.push(digit);
        }
        let fraction = &format!("{rest:03}")[..decimals];
        if decimals > 0 { format!("{text}{mark}{fraction}") } else { text }
    }

    proptest! {
        #[test]
        fn a_number_printed_in_any_dialect_reads_back(
            value in 0_u32..9_000_000, decimals in 0_usize..=3, comma: bool, group in 0_usize..4,
        ) {
            let mark = if comma { ',' } else { '.' };
            let other = if comma { '.' } else { ',' };
            let group = [None, Some(other), Some('\u{202f}'), Some('\'')][group];
            let text = printed(value, decimals, mark, group);
            let expected = value / 10_u32.pow(3 - decimals as u32) * 10_u32.pow(3 - decimals as u32);
            let told = if comma { Mark::Comma } else { Mark::Point };
            match read(&text, told) {
                Ok(read) => prop_assert_eq!(read as u32, expected),
                // 1.234 without decimals under a comma: thousands for us, asked by the reader.
                Err(code) => {
                    prop_assert_eq!(code, Code::DecimalAmbiguous);
                    prop_assert!(group == Some(other) && decimals == 0);
                }
            }
        }

        #[test]
        fn an_unknown_mark_never_changes_a_value_in_silence(
            value in 0_u32..9_000_000, decimals in 0_usize..=3, comma: bool, grouped: bool,
        ) {
            let (mark, other) = if comma { (',', '.') } else { ('.', ',') };
            let text = printed(value, decimals, mark, grouped.then_some(other));
            let expected = value / 10_u32.pow(3 - decimals as u32) * 10_u32.pow(3 - decimals as u32);
            match read(&text, Mark::Unknown) {
                Ok(read) => prop_assert_eq!(read as u32, expected, "{}", text),
                Err(code) => prop_assert_eq!(code, Code::DecimalAmbiguous),
            }
        }
    }
}
