//! What a number format (ECMA-376 part 1, 18.8.31) makes of a number, as far as it changes what the number says:
//! a code's zeros, a percentage, a date, a fraction, a currency, a unit. Rounding and colour change nothing.

/// What a number is shown as.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Shows {
    Plain,
    Percent,
    Date,
    Duration,
    Fraction(Denominator),
    /// With this sign or code of a currency.
    Money(String),
    /// With words before or behind it.
    Labelled {
        before: String,
        after: String,
    },
    /// A fixed number of digits.
    Code(Code),
}

/// The bottom of a fraction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Denominator {
    Fixed(u32),
    UpTo(u32),
}

/// A format such as `000-000`: as many digits as it has zeros, its other characters between them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Code(String);

impl Shows {
    /// What a format code makes of a number; only its first section is looked at, the one of positive numbers.
    pub(super) fn of(code: &str) -> Self {
        let marks = marks(code);
        let any = |is: fn(&Mark) -> bool| marks.iter().any(is);
        if any(|mark| matches!(mark, Mark::Elapsed)) {
            Self::Duration
        } else if any(|mark| matches!(mark, Mark::Date)) {
            Self::Date
        } else if any(|mark| matches!(mark, Mark::Plain('%'))) {
            Self::Percent
        } else if let Some(denominator) = denominator(&marks) {
            Self::Fraction(denominator)
        } else if let Some(sign) = marks.iter().find_map(money) {
            Self::Money(sign)
        } else if let Some(code) = code_of(&marks) {
            Self::Code(code)
        } else {
            labelled(&marks)
        }
    }

    /// The formats that are known by number alone (18.8.30). Those whose currency is the reader's own say nothing.
    pub(super) fn built_in(number: u32) -> Self {
        match number {
            9 | 10 => Self::Percent,
            12 => Self::Fraction(Denominator::UpTo(9)),
            13 => Self::Fraction(Denominator::UpTo(99)),
            14..=22 | 27..=36 | 45 | 47 | 50..=58 => Self::Date,
            46 => Self::Duration,
            _ => Self::Plain,
        }
    }
}

impl Code {
    /// The digits of a whole number, filled up with zeros; `None` when it has a sign or decimals.
    pub(super) fn padded(&self, digits: &str) -> Option<String> {
        let places = self.0.chars().filter(|c| *c == '0').count();
        if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let padded = format!("{digits:0>places$}");
        let (surplus, rest) = padded.split_at_checked(padded.len() - places)?;
        let (mut out, mut rest, mut first) = (String::new(), rest.chars(), true);
        for mark in self.0.chars() {
            if mark != '0' {
                out.push(mark);
                continue;
            }
            if std::mem::take(&mut first) {
                out.push_str(surplus);
            }
            out.extend(rest.next());
        }
        Some(out)
    }
}

/// One mark of a format code.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Mark {
    /// `0`, `#`, `?`, or all of `General`.
    Digit(char),
    /// A part of a date or a time.
    Date,
    /// `[h]` and its like.
    Elapsed,
    /// `[$€-407]`.
    Currency(String),
    /// In quotes, or behind a backslash.
    Word(String),
    /// As it stands.
    Plain(char),
}

fn marks(code: &str) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut rest = code.chars();
    while let Some(mark) = rest.next() {
        match mark {
            ';' => break,
            '"' => marks.push(Mark::Word(rest.by_ref().take_while(|c| *c != '"').collect())),
            '\\' => marks.extend(rest.next().map(|c| Mark::Word(c.into()))),
            // A blank as wide as the next character, or the next character repeated to fill the cell.
            '_' | '*' => _ = rest.next(),
            '[' => marks.extend(bracket(&rest.by_ref().take_while(|c| *c != ']').collect::<String>())),
            'G' | 'g' if rest.as_str().get(..6).is_some_and(|word| word.eq_ignore_ascii_case("eneral")) => {
                rest = rest.as_str().get(6..).unwrap_or_default().chars();
                marks.push(Mark::Digit('#'));
            }
            'E' | 'e' if rest.as_str().starts_with(['+', '-']) => marks.push(Mark::Plain('E')),
            '0' | '#' | '?' => marks.push(Mark::Digit(mark)),
            'd' | 'D' | 'm' | 'M' | 'y' | 'Y' | 'h' | 'H' | 's' | 'S' => marks.push(Mark::Date),
            other => marks.push(Mark::Plain(other)),
        }
    }
    marks
}

/// A currency, or an hour that counts on; colours and conditions are nothing.
fn bracket(inside: &str) -> Option<Mark> {
    if let Some(currency) = inside.strip_prefix('$') {
        let sign = currency.split('-').next().unwrap_or_default().trim();
        return (!sign.is_empty()).then(|| Mark::Currency(sign.into()));
    }
    let elapsed =
        !inside.is_empty() && inside.chars().all(|c| matches!(c.to_ascii_lowercase(), 'h' | 'm' | 's'));
    elapsed.then_some(Mark::Elapsed)
}

fn money(mark: &Mark) -> Option<String> {
    const SIGNS: [&str; 17] = [
        "€", "$", "£", "¥", "zł", "kr", "Kč", "Ft", "CHF", "EUR", "USD", "GBP", "SEK", "NOK", "DKK", "PLN",
        "CZK",
    ];
    match mark {
        Mark::Currency(sign) => Some(sign.clone()),
        Mark::Word(word) => SIGNS.iter().find(|sign| word.trim() == **sign).map(|sign| (*sign).into()),
        Mark::Plain(c @ ('€' | '$' | '£' | '¥')) => Some((*c).into()),
        _ => None,
    }
}

/// `?/?` leaves the bottom open up to 9, `??/??` up to 99; `?/16` fixes it.
fn denominator(marks: &[Mark]) -> Option<Denominator> {
    let slash = marks.iter().position(|mark| *mark == Mark::Plain('/'))?;
    let above = marks[..slash].iter().any(|mark| matches!(mark, Mark::Digit(_)));
    let below = marks.get(slash + 1..).filter(|_| above)?;
    let places = below.iter().take_while(|mark| matches!(mark, Mark::Digit('?' | '#' | '0'))).count();
    if places > 0 && !matches!(below.get(places), Some(Mark::Plain('1'..='9'))) {
        return Some(Denominator::UpTo(10_u32.pow(places.min(3) as u32) - 1));
    }
    let digits = below.iter().map_while(|mark| match mark {
        Mark::Plain(c) | Mark::Digit(c) if c.is_ascii_digit() => Some(*c),
        _ => None,
    });
    digits
        .collect::<String>()
        .parse()
        .ok()
        .filter(|bottom| (1..=999).contains(bottom))
        .map(Denominator::Fixed)
}

/// Places of the longest code: a format may have 255 characters.
const PLACES: usize = 255;

/// Two zeros or more, and nothing that makes a quantity of the number.
fn code_of(marks: &[Mark]) -> Option<Code> {
    let mut code = String::new();
    for mark in marks {
        match mark {
            Mark::Digit('0') => code.push('0'),
            // A zero in a word would be taken for a place.
            Mark::Word(word) if !word.contains('0') => code.push_str(word),
            Mark::Plain(c) if !matches!(c, '.' | ',' | 'E' | '@') => code.push(*c),
            _ => return None,
        }
    }
    (2..=PLACES).contains(&code.matches('0').count()).then_some(Code(code))
}

fn labelled(marks: &[Mark]) -> Shows {
    let is_digit = |mark: &Mark| matches!(mark, Mark::Digit(_));
    let (Some(first), Some(last)) = (marks.iter().position(is_digit), marks.iter().rposition(is_digit))
    else {
        return Shows::Plain;
    };
    let words = |marks: &[Mark]| {
        marks.iter().fold(String::new(), |text, mark| match mark {
            Mark::Word(word) => text + word,
            Mark::Plain(' ') => text + " ",
            _ => text,
        })
    };
    let (before, after) = (words(&marks[..first]), words(&marks[last + 1..]));
    let (before, after) = (before.trim_start(), after.trim_end());
    if before.trim().is_empty() && after.trim().is_empty() {
        return Shows::Plain;
    }
    Shows::Labelled { before: before.into(), after: after.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Built-in numbers: ECMA-376 part 1, 18.8.30.
    #[test]
    fn formats_known_by_number_are_those_of_the_standard() {
        for (number, shows) in [
            (0, Shows::Plain),
            (1, Shows::Plain),
            (4, Shows::Plain),
            (10, Shows::Percent),
            (12, Shows::Fraction(Denominator::UpTo(9))),
            (14, Shows::Date),
            (46, Shows::Duration),
            (49, Shows::Plain),
        ] {
            assert_eq!(Shows::built_in(number), shows, "{number}");
        }
    }

    #[test]
    fn a_format_that_only_rounds_or_colours_says_nothing() {
        for code in [
            "General",
            "GENERAL",
            "0",
            "0.00",
            "#,##0.00",
            "0.00E+00",
            "##0.0E+0",
            "@",
            "[Red]0.0;[Blue]-0.0",
            "[>100]0.0",
            "_-* #,##0.00_-",
            "0.0_)",
            "",
            ";;;",
            "(0.0)",
        ] {
            assert_eq!(Shows::of(code), Shows::Plain, "{code:?}");
        }
    }

    #[test]
    fn dates_are_known_by_their_letters_outside_quotes() {
        for code in ["yyyy-mm-dd", "d.m", "[$-407]d. mmm", "h:mm AM/PM", "[$-409]mmm\\-yy;@", "dd/mm/yyyy"] {
            assert_eq!(Shows::of(code), Shows::Date, "{code}");
        }
        assert_eq!(Shows::of("[hh]:mm:ss"), Shows::Duration);
        assert!(matches!(Shows::of("0.0\" days\""), Shows::Labelled { .. }));
    }

    #[test]
    fn fractions_have_an_open_or_a_fixed_bottom() {
        for (code, bottom) in [
            ("# ?/?", Denominator::UpTo(9)),
            ("# ??/??", Denominator::UpTo(99)),
            ("#\" \"?/16", Denominator::Fixed(16)),
            ("# ?/2", Denominator::Fixed(2)),
            ("# ??/10", Denominator::Fixed(10)),
        ] {
            assert_eq!(Shows::of(code), Shows::Fraction(bottom), "{code}");
        }
    }

    #[test]
    fn rubbish_makes_no_difference_to_the_number() {
        for code in ["\"", "[", "[$", "\\", "_", "*", "%%%\"", "/", "/0", "?/", "000\"0\"", "\u{0}\u{202E}"] {
            let _ = super::super::number::shown("12.5", &Shows::of(code), false);
        }
        assert_eq!(Shows::of("[$]0"), Shows::Plain);
        assert_eq!(Shows::of(&"0".repeat(100_000)), Shows::Plain);
    }
}
