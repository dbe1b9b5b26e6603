//! One line of a count: a code, and how many pairs of it.

use std::fmt;

use catalogue::stock::{Gtin, GtinFault};

/// Pairs that one line may say; more is a second code scanned into the number.
const MOST_PAIRS: u32 = 999;
/// Digits that may stand behind a code and a blank and be pairs.
const PAIRS_DIGITS: usize = 3;

/// What stands for a size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Code {
    /// The number on the box.
    Gtin(Gtin),
    /// The shop's own key of the size.
    Key(String),
}

/// Why a line cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineFault {
    /// It is no number of a box.
    Code(GtinFault),
    /// What stands behind the code is no number of pairs.
    Pairs,
}

/// The code of a line and its pairs: one when it says none.
pub(super) fn read(text: &str) -> Result<(Code, u32), LineFault> {
    let line = cleaned(text);
    if Gtin::parse(&line) == Err(GtinFault::Scientific) {
        return Err(LineFault::Code(GtinFault::Scientific));
    }
    let (code, pairs) = split(&line);
    let pairs = pairs.map_or(Ok(1), pairs_of)?;
    if code.contains('/') {
        return Ok((Code::Key(code.to_lowercase()), pairs));
    }
    Gtin::parse(code).map(|gtin| (Code::Gtin(gtin), pairs)).map_err(LineFault::Code)
}

/// What a scanner adds is taken off: control characters, and the `]E0` that names the kind of bars. Wide digits
/// become plain ones.
fn cleaned(text: &str) -> String {
    let text = text.trim();
    let text = match text.strip_prefix(']') {
        Some(rest) if rest.len() > 2 && rest.is_char_boundary(2) => &rest[2..],
        _ => text,
    };
    let plain = |c: char| match c {
        '\t' => Some(';'),
        '\u{feff}' => None,
        c if c.is_control() => None,
        '０'..='９' => char::from_digit(c as u32 - '０' as u32, 10),
        c => Some(c),
    };
    let line: String = text.chars().filter_map(plain).collect();
    line.trim_matches(|c: char| c.is_whitespace() || matches!(c, ';' | ',')).to_owned()
}

/// A line as code and, where there are any, pairs.
fn split(line: &str) -> (&str, Option<&str>) {
    if let Some((code, pairs)) = line.rsplit_once([';', ',', '×', '*']) {
        return (code.trim(), Some(pairs));
    }
    if let Some((code, pairs)) = line.rsplit_once(char::is_whitespace) {
        let (code, times) = without_times(code.trim_end());
        if times || pairs.starts_with(['x', 'X']) || (is_short_number(pairs) && is_code(code, line)) {
            return (code, Some(pairs));
        }
    }
    match line.split_once(['x', 'X']) {
        Some((code, pairs)) if is_number(code) => (code, Some(pairs)),
        _ => (line, None),
    }
}

/// `CODE x 3`: the sign apart from its number.
fn without_times(code: &str) -> (&str, bool) {
    match code.strip_suffix(['x', 'X']) {
        Some(code) if code.ends_with(char::is_whitespace) => (code.trim_end(), true),
        _ => (code, false),
    }
}

/// Whether what stands before the last blank is a code of its own. A number may be printed in groups, so a line that
/// is a code as a whole is one, unless its head is one too.
fn is_code(head: &str, whole: &str) -> bool {
    let digits = head.bytes().filter(u8::is_ascii_digit).count();
    let as_long_as_one = is_number(head) && matches!(digits, 8 | 12 | 13 | 14);
    head.contains('/') || Gtin::parse(head).is_ok() || (as_long_as_one && Gtin::parse(whole).is_err())
}

fn is_number(text: &str) -> bool {
    text.bytes().any(|b| b.is_ascii_digit())
        && text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b' ' | b'-'))
}

fn is_short_number(text: &str) -> bool {
    text.len() <= PAIRS_DIGITS && text.bytes().all(|b| b.is_ascii_digit())
}

fn pairs_of(text: &str) -> Result<u32, LineFault> {
    let text = text.trim().trim_start_matches(['x', 'X']).trim();
    let pairs = text.parse().map_err(|_| LineFault::Pairs)?;
    if pairs <= MOST_PAIRS { Ok(pairs) } else { Err(LineFault::Pairs) }
}

impl LineFault {
    /// Its word, for machines.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Code(_) => "damaged",
            Self::Pairs => "pairs",
        }
    }
}

impl fmt::Display for LineFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Code(GtinFault::CheckDigit(digit)) => {
                write!(f, "a digit is wrong: the last one would be {digit}. Scan the box again.")
            }
            Self::Code(GtinFault::Length) => {
                f.write_str("a code has 8, 12, 13 or 14 digits; zeros at its beginning may be lost. Scan the box again.")
            }
            Self::Code(GtinFault::Scientific) => f.write_str(
                "a spreadsheet has shortened it, and digits are lost. Make its column text there, and copy it again.",
            ),
            Self::Code(GtinFault::NotDigits) => f.write_str(
                "this is neither the number of a box nor the key of a size. Scan the box again, or take the line out.",
            ),
            Self::Code(GtinFault::AllZero) => f.write_str("all zeros name no shoe. Scan the box again."),
            Self::Pairs => write!(
                f,
                "what stands behind the code is no number of pairs from 0 to {MOST_PAIRS}. Write one code a line."
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Source: a worked example of GS1, as in `tests/tables/gtin_examples.csv`.
    const BOX: &str = "7300011000017";

    fn gtin(text: &str) -> Code {
        Code::Gtin(Gtin::parse(text).unwrap())
    }

    #[test]
    fn a_line_is_a_code_or_a_code_and_its_pairs_in_any_of_the_usual_ways() {
        for (line, pairs) in [
            ("7300011000017", 1),
            (" 7300011000017\r", 1),
            ("]E07300011000017", 1),
            ("７３０００１１００００１７", 1),
            ("7 300011 000017", 1),
            ("7300011000017 3", 3),
            ("7 300011 000017 3", 3),
            ("7300011000017 x3", 3),
            ("7300011000017 x 3", 3),
            ("7300011000017 X 3", 3),
            ("7300011000017x3", 3),
            ("7300011000017 × 3", 3),
            ("7300011000017;3", 3),
            ("7300011000017\t3", 3),
            ("7300011000017, 12", 12),
            ("7300011000017;0", 0),
            ("7300011000017;", 1),
        ] {
            assert_eq!(read(line), Ok((gtin(BOX), pairs)), "{line}");
        }
    }

    /// Source: GS1's example of twelve digits, as in `tests/tables/gtin_examples.csv`.
    #[test]
    fn twelve_digits_are_thirteen_with_a_zero_and_eight_are_a_code_too() {
        assert_eq!(read("036000241457").unwrap().0, gtin("0036000241457"));
        assert_eq!(read("0 36000 24145 7"), Ok((gtin("036000241457"), 1)), "printed in groups");
        assert_eq!(read("20123451 2"), Ok((gtin("20123451"), 2)));
    }

    #[test]
    fn a_key_of_a_size_is_a_code_too() {
        let key = Code::Key("orrelby.or-1/grey/eu-42/".to_owned());
        for (line, pairs) in [("Orrelby.or-1/grey/eu-42/", 1), ("orrelby.or-1/grey/eu-42/ x2", 2)] {
            assert_eq!(read(line), Ok((key.clone(), pairs)), "{line}");
        }
    }

    #[test]
    fn a_damaged_line_says_how_it_is_damaged() {
        let damaged = |fault| Err(LineFault::Code(fault));
        assert_eq!(read("7300011000018"), damaged(GtinFault::CheckDigit(7)));
        assert_eq!(read("7300011000018 2"), damaged(GtinFault::CheckDigit(7)));
        assert_eq!(read("36000241457"), damaged(GtinFault::Length));
        assert_eq!(read("7,30001E+12"), damaged(GtinFault::Scientific));
        assert_eq!(read("Egge, grey"), Err(LineFault::Pairs));
        assert_eq!(read("Egge"), damaged(GtinFault::NotDigits));
        assert_eq!(read("7300011000017;-2"), Err(LineFault::Pairs));
        assert_eq!(read("7300011000017;1000"), Err(LineFault::Pairs));
        assert_eq!(read("73000110000177300011000017"), damaged(GtinFault::Length), "two scans run together");
    }

    proptest! {
        #[test]
        fn any_text_is_a_code_with_pairs_that_a_shelf_may_hold_or_a_fault_with_words(text in "\\PC{0,30}") {
            match read(&text) {
                Ok((_, pairs)) => prop_assert!(pairs <= MOST_PAIRS),
                Err(fault) => prop_assert!(fault.to_string().ends_with('.')),
            }
        }

        #[test]
        fn a_code_and_its_pairs_are_read_back(left in 1_u64..10_000_000_000_000, pairs in 0..=MOST_PAIRS) {
            let code = left * 10 + u64::from(catalogue::stock::check_digit(left));
            for between in [";", " ", " x", "x", " × ", "\t"] {
                let line = format!("{code:014}{between}{pairs}");
                prop_assert_eq!(read(&line), Ok((gtin(&format!("{code:014}")), pairs)), "{}", line);
            }
        }
    }
}
