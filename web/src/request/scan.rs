//! What a hand scanner or a person puts into the box: the number on a box, mended where a scanner or a spreadsheet has
//! dressed it up, or words. What was mended is said.

use catalogue::stock::{Gtin, GtinFault};

/// From so many digits on a text is taken for a code, not for a style number.
const LEAST_DIGITS: usize = 7;
/// The digits of the longest number on a box.
const MOST_DIGITS: usize = 14;

/// What was put in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scanned {
    /// What is left of the text: digits, or words to be searched for.
    pub text: String,
    /// The number on the box, where it is one.
    pub gtin: Option<Gtin>,
    /// What was mended, one sentence each.
    pub mended: Vec<String>,
    /// Why it is no number of a box although it looks like one.
    pub fault: Option<String>,
    /// It looks like the number on a box.
    pub is_code: bool,
}

impl Scanned {
    /// Reads what was put in. `known` tells whether a number is on a box here: lost zeros are put back only where the
    /// number is, for a style number may be as short.
    pub fn read(raw: &str, known: &dyn Fn(Gtin) -> bool) -> Self {
        let mut mended = Vec::new();
        let text = undressed(raw, &mut mended);
        let digits = plain_digits(&text);
        let Some(digits) = digits.filter(|digits| digits.len() >= LEAST_DIGITS) else {
            let fault =
                (Gtin::parse(&text) == Err(GtinFault::Scientific)).then(|| in_words(GtinFault::Scientific));
            return Self { is_code: fault.is_some(), text, gtin: None, mended, fault };
        };
        let digits = without_spare_zeros(digits, &mut mended);
        let (gtin, fault) = match Gtin::parse(&digits) {
            Ok(gtin) => (Some(gtin), None),
            Err(GtinFault::Length) => match with_lost_zeros(&digits).filter(|gtin| known(*gtin)) {
                Some(gtin) => {
                    mended.push(say!("Zeros in front were lost; it was read as {gtin}.", gtin));
                    (Some(gtin), None)
                }
                None => (None, Some(in_words(GtinFault::Length))),
            },
            Err(fault) => (None, Some(in_words(fault))),
        };
        Self { text: digits, gtin, mended, fault, is_code: true }
    }
}

/// The text without what scanners add around it.
fn undressed(raw: &str, mended: &mut Vec<String>) -> String {
    let text: String = raw.trim().chars().map(plain_digit).collect();
    let (text, element) = match element_string(&text) {
        Some((gtin, mark)) => (gtin, mark),
        None => (text, None),
    };
    if let Some(say) = element {
        mended.push(say);
    }
    let printable: String = text.chars().filter(|c| !c.is_control() && *c != '\u{feff}').collect();
    if printable != text {
        mended.push(say!("Control characters were left out.").to_owned());
    }
    let starred = printable.trim().trim_matches('*').trim().to_owned();
    let unmarked = without_mark(&starred, mended);
    let bare = unmarked.trim_matches('*').trim();
    if printable.contains('*') && !bare.contains('*') {
        mended.push(say!("The signs * around it were left out.").to_owned());
    }
    bare.to_owned()
}

/// `]E0` and its like, by which a scanner names the kind of bars (ISO/IEC 15424).
fn without_mark<'t>(text: &'t str, mended: &mut Vec<String>) -> &'t str {
    let mut letters = text.chars();
    let is_mark = letters.next() == Some(']')
        && letters.next().is_some_and(|c| c.is_ascii_alphabetic())
        && letters.next().is_some_and(|c| c.is_ascii_alphanumeric());
    if !is_mark || text.len() == 3 {
        return text;
    }
    mended.push(say!("The scanner’s own mark {text} was left out.", text = &text[..3]));
    text[3..].trim()
}

/// A GS1 element string, whose application identifier 01 stands before the 14 digits of the number; what follows them
/// (batch, date) names no item. With the sentence that says so.
fn element_string(text: &str) -> Option<(String, Option<String>)> {
    let marked = text.trim_start_matches(|c: char| c.is_control() || c == '*');
    let body = marked.strip_prefix(']').and_then(|rest| rest.get(2..));
    let from = body.unwrap_or(marked).trim_start_matches(|c: char| c.is_control());
    let behind = from.strip_prefix("(01)").or_else(|| from.strip_prefix("01"))?;
    let digits: String = behind.chars().take(MOST_DIGITS).collect();
    let whole = digits.len() == MOST_DIGITS && digits.bytes().all(|b| b.is_ascii_digit());
    let sound = whole && Gtin::parse(&digits).is_ok();
    sound.then(|| (digits, Some(say!("The number behind the sign (01) was read.").to_owned())))
}

fn plain_digit(c: char) -> char {
    let wide = ('０'..='９').contains(&c).then(|| char::from_digit(c as u32 - '０' as u32, 10));
    wide.flatten().unwrap_or(c)
}

/// The digits of a text that holds nothing else but blanks and hyphens between them.
fn plain_digits(text: &str) -> Option<String> {
    let digits: String = text.chars().filter(|c| !matches!(c, ' ' | '-')).collect();
    (!digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())).then_some(digits)
}

fn without_spare_zeros(digits: String, mended: &mut Vec<String>) -> String {
    let spare = digits.len().saturating_sub(MOST_DIGITS);
    if spare == 0 || !digits[..spare].bytes().all(|b| b == b'0') {
        return digits;
    }
    mended.push(say!("More zeros stood in front than a number has; they were left out.").to_owned());
    digits[spare..].to_owned()
}

fn with_lost_zeros(digits: &str) -> Option<Gtin> {
    (digits.len() < MOST_DIGITS).then(|| Gtin::parse(&format!("{digits:0>14}")).ok()).flatten()
}

fn in_words(fault: GtinFault) -> String {
    match fault {
        GtinFault::Scientific => {
            say!("A spreadsheet has written it short, and digits are lost. Scan the box itself.").to_owned()
        }
        GtinFault::NotDigits => say!("It holds something else than digits.").to_owned(),
        GtinFault::Length => say!(
            "The number on a box has 8, 12, 13 or 14 digits: some are missing, or two codes ran together."
        )
        .to_owned(),
        GtinFault::CheckDigit(expected) => {
            say!(
                "Its last digit does not check: it should be {expected}. A digit was misread or mistyped.",
                expected
            )
        }
        GtinFault::AllZero => say!("It is all zeros and names nothing.").to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the worked examples of GS1 in tests/tables/gtin_examples.csv; each in the dress of a scanner.
    #[test]
    fn a_number_is_read_whatever_a_scanner_has_dressed_it_in() {
        let plain = "6291041500213";
        let table: [(&str, &str, usize); 17] = [
            (plain, plain, 0),
            (" 6291041500213\r\n", plain, 0),
            ("629 1041-500213", plain, 0),
            ("06291041500213", plain, 0),
            ("0000006291041500213", plain, 1),
            ("６２９１０４１５００２１３", plain, 0),
            ("\u{2}6291041500213\u{3}", plain, 1),
            ("*6291041500213*", plain, 1),
            ("]E06291041500213", plain, 1),
            ("]e0\u{1d}0106291041500213", plain, 1),
            ("]C10106291041500213", plain, 1),
            ("]C1010629104150021310LOT7\u{1d}17261231", plain, 1),
            ("(01)06291041500213(10)A", plain, 1),
            ("*]E06291041500213*", plain, 2),
            ("036000241457", "36000241457", 0),
            ("20123451", "20123451", 0),
            ("]E420123451", "20123451", 1),
        ];
        for (raw, number, mended) in table {
            let read = Scanned::read(raw, &|_| false);
            let expected = Gtin::parse(&format!("{number:0>14}")).ok();
            assert!(expected.is_some(), "{raw:?}");
            assert_eq!((read.gtin, read.fault.clone()), (expected, None), "{raw:?}: {read:?}");
            assert_eq!(read.mended.len(), mended, "{raw:?}: {read:?}");
        }
    }

    #[test]
    fn lost_zeros_are_put_back_only_where_the_number_is_known() {
        let known = Scanned::read("36000241457", &|_| true);
        assert_eq!(known.gtin, Gtin::parse("036000241457").ok());
        assert!(known.mended[0].contains("Zeros in front were lost"));
        let unknown = Scanned::read("36000241457", &|_| false);
        assert!(unknown.gtin.is_none() && unknown.fault.is_some() && unknown.is_code);
    }

    #[test]
    fn a_damaged_number_says_how_it_is_damaged_and_keeps_its_digits() {
        let wrong = Scanned::read("]E06291041500214", &|_| true);
        assert_eq!((wrong.gtin, wrong.text.as_str()), (None, "6291041500214"));
        assert!(wrong.fault.unwrap().contains("it should be 3"));
        let short = Scanned::read("6.29104E+12", &|_| true);
        assert!(short.is_code && short.fault.unwrap().contains("spreadsheet"));
        assert!(Scanned::read("0000000000000", &|_| true).fault.unwrap().contains("all zeros"));
    }

    #[test]
    fn words_and_style_numbers_are_no_codes() {
        for text in ["marl", "fm-310", "310", "FM 310 W", "]", "**", ""] {
            let read = Scanned::read(text, &|_| true);
            assert!(!read.is_code && read.gtin.is_none() && read.fault.is_none(), "{text:?}");
        }
        assert_eq!(Scanned::read("  Aro  3 ", &|_| true).text, "Aro  3");
    }

    #[test]
    fn no_text_is_read_with_a_control_character_left_in_it() {
        for dress in ["*", "]E0", "]C1", "]C101", "\u{1d}", "(01)", "]", "]é0", "\u{feff}", "*]*"] {
            for text in ["6291041500213", "marl", "é", "", "]C1", "01", "\u{0}"] {
                for raw in
                    [format!("{dress}{text}"), format!("{text}{dress}"), format!("{dress}{text}{dress}")]
                {
                    let read = Scanned::read(&raw, &|_| true);
                    assert!(!read.text.contains(char::is_control), "{raw:?}: {read:?}");
                }
            }
        }
    }
}
