//! A stored number as the text the owner sees in the spreadsheet, with every digit it was given.
//!
//! A workbook keeps 18.8 as the nearest binary fraction, sometimes written out as 18.800000000000001. Fifteen
//! significant digits are what spreadsheets promise to keep, so as many are believed and no more.

use crate::calendar::civil;

use super::format::{Denominator, Shows};

/// What a cell gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Stored {
    Nothing,
    /// A formula whose result is not in the file, or an error.
    NoResult,
    Text(Text),
}

/// What a cell holds, as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Text {
    /// Written as the owner sees it.
    Plain(String),
    /// A number, perhaps with a unit: its decimal mark is a point.
    Number(String),
}

impl Stored {
    /// Text as it is; blank text is nothing.
    pub(super) fn plain(text: String) -> Self {
        if text.is_empty() { Self::Nothing } else { Self::Text(Text::Plain(text)) }
    }
}

impl Text {
    pub(super) fn words(&self) -> &str {
        let (Self::Plain(words) | Self::Number(words)) = self;
        words
    }
}

/// A stored number in its number format. What is no number is kept as it is written.
pub(super) fn shown(raw: &str, shows: &Shows, year_1904: bool) -> Text {
    let raw = raw.trim();
    let Some(value) = raw.parse::<f64>().ok().filter(|value| value.is_finite()) else {
        return Text::Plain(raw.into());
    };
    let Some(digits) = whole(raw).or_else(|| decimal(value)) else {
        return Text::Plain(raw.into());
    };
    match shows {
        Shows::Plain => Text::Number(digits),
        Shows::Percent => {
            decimal(value * 100.0).map_or(Text::Number(digits), |tenfold| Text::Number(tenfold + "%"))
        }
        Shows::Money(sign) => Text::Number(format!("{digits} {sign}")),
        Shows::Labelled { before, after } => Text::Number(format!("{before}{digits}{after}")),
        Shows::Code(code) => code.padded(&digits).map_or(Text::Number(digits), Text::Plain),
        Shows::Date => date(value, year_1904).map_or(Text::Number(digits), Text::Plain),
        Shows::Duration => duration(value).map_or(Text::Number(digits), Text::Plain),
        Shows::Fraction(of) => fraction(value, *of).map_or(Text::Number(digits), Text::Plain),
    }
}

/// A whole number of up to 18 digits, digit by digit: some writers keep more than a binary fraction can.
fn whole(raw: &str) -> Option<String> {
    const DIGITS: usize = 18;
    let digits = raw.strip_prefix('-').unwrap_or(raw);
    let fits = (1..=DIGITS).contains(&digits.len()) && digits.bytes().all(|byte| byte.is_ascii_digit());
    fits.then(|| raw.parse::<i64>().ok().map(|number| number.to_string())).flatten()
}

/// Fifteen significant digits without an exponent, as few as say the same. `None` far outside what a sheet holds.
pub(super) fn decimal(value: f64) -> Option<String> {
    let scientific = format!("{value:.14e}");
    let (mantissa, exponent) = scientific.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let minus = if mantissa.starts_with('-') { "-" } else { "" };
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let digits = digits.trim_end_matches('0');
    if digits.is_empty() {
        return Some("0".into());
    }
    let point = usize::try_from(exponent + 1);
    match (exponent, point) {
        (-20..0, _) => Some(format!("{minus}0.{}{digits}", "0".repeat((-exponent - 1) as usize))),
        (0..18, Ok(point)) if digits.len() <= point => {
            Some(format!("{minus}{digits}{}", "0".repeat(point - digits.len())))
        }
        (0..18, Ok(point)) => Some(format!("{minus}{}.{}", digits.get(..point)?, digits.get(point..)?)),
        _ => None,
    }
}

/// A day as `2026-05-09`, with its time of day if it has one. Day 60 of the 1900 system is a 29 February that
/// never was (ECMA-376 part 1, 18.17.4.1); days before it are one off.
fn date(serial: f64, year_1904: bool) -> Option<String> {
    const LAST: f64 = 2_958_466.0;
    if !(0.0..LAST).contains(&serial) {
        return None;
    }
    let (days, seconds) = days_and_seconds(serial);
    let time = clock(seconds);
    if days == 0 && !year_1904 {
        return Some(time);
    }
    // 1970-01-01 is day 25,569 of the 1900 system and day 24,107 of the 1904 system.
    let since_1970 = match (year_1904, days) {
        (true, days) => days - 24_107,
        (false, 60) => return Some("1900-02-29".into()),
        (false, days) => days - 25_569 + i64::from(days < 60),
    };
    let (year, month, day) = civil(since_1970);
    let midnight = seconds == 0;
    Some(if midnight {
        format!("{year:04}-{month:02}-{day:02}")
    } else {
        format!("{year:04}-{month:02}-{day:02} {time}")
    })
}

/// A span of time as `36:00:00`.
fn duration(serial: f64) -> Option<String> {
    const LAST: f64 = 2_958_466.0;
    let (days, seconds) = days_and_seconds((0.0..LAST).contains(&serial).then_some(serial)?);
    let hours = days * 24 + seconds / 3_600;
    Some(format!("{hours}:{:02}:{:02}", seconds / 60 % 60, seconds % 60))
}

fn days_and_seconds(serial: f64) -> (i64, i64) {
    let seconds = (serial * 86_400.0).round() as i64;
    (seconds / 86_400, seconds % 86_400)
}

fn clock(seconds: i64) -> String {
    format!("{:02}:{:02}:{:02}", seconds / 3_600, seconds / 60 % 60, seconds % 60)
}

/// `42 2/3`, where the fraction says the value: a value it only comes near stays a number.
fn fraction(value: f64, of: Denominator) -> Option<String> {
    const NEAR: f64 = 0.005;
    let size = value.abs();
    let whole = size.floor();
    let rest = size - whole;
    let denominators = match of {
        Denominator::Fixed(one) => one..=one,
        Denominator::UpTo(most) => 1..=most,
    };
    let over = |d: u32| ((rest * f64::from(d)).round(), f64::from(d));
    let miss = |d: u32| {
        let (n, d) = over(d);
        (rest - n / d).abs()
    };
    let best = denominators.filter(|d| *d > 0).min_by(|a, b| miss(*a).total_cmp(&miss(*b)))?;
    if miss(best) >= NEAR || whole >= 1e9 {
        return None;
    }
    let (top, bottom) = over(best);
    let (whole, top) = if top >= bottom { (whole + 1.0, 0.0) } else { (whole, top) };
    let minus = if value < 0.0 { "-" } else { "" };
    Some(match (whole > 0.0, top > 0.0) {
        (_, false) => format!("{minus}{whole}"),
        (false, true) => format!("{minus}{top}/{bottom}"),
        (true, true) => format!("{minus}{whole} {top}/{bottom}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(raw: &str) -> Text {
        shown(raw, &Shows::Plain, false)
    }

    fn number(text: &str) -> Text {
        Text::Number(text.into())
    }

    fn in_format(raw: &str, code: &str) -> String {
        match shown(raw, &Shows::of(code), false) {
            Text::Plain(text) | Text::Number(text) => text,
        }
    }

    #[test]
    fn a_number_is_written_without_the_noise_of_binary_fractions() {
        for (raw, text) in [
            ("18.800000000000001", "18.8"),
            ("0.30000000000000004", "0.3"),
            ("8", "8"),
            ("-0", "0"),
            ("-4.50", "-4.5"),
            ("0.0000125", "0.0000125"),
            ("1E-7", "0.0000001"),
            ("120000", "120000"),
        ] {
            assert_eq!(plain(raw), number(text), "{raw}");
        }
    }

    // GTIN 4006381333931: GS1 General Specifications, the example number in `tests/tables`.
    #[test]
    fn a_long_code_keeps_every_digit() {
        for raw in ["4006381333931", "4006381333931.0", "4.006381333931E12", "4.006381333931E+12"] {
            assert_eq!(plain(raw), number("4006381333931"), "{raw}");
        }
        assert_eq!(plain("123456789012345678"), number("123456789012345678"));
    }

    #[test]
    fn what_is_no_number_is_kept_as_it_is_written() {
        for raw in ["NaN", "inf", "0x1F", "--5", "1e309", "1e300", ""] {
            assert_eq!(plain(raw), Text::Plain(raw.into()));
        }
    }

    #[test]
    fn a_percentage_is_the_one_displayed() {
        for (raw, text) in [("0.075", "7.5%"), ("0.07", "7%"), ("1", "100%"), ("0.145", "14.5%")] {
            assert_eq!(shown(raw, &Shows::of("0.0%"), false), number(text));
        }
    }

    // ECMA-376 part 1, 18.17.4.1 and 18.17.4.3: the serials of 1899-12-31, 1900-01-01 and 9999-12-31 and the two
    // systems. 46151 is 2026-05-09: 25569 days to 1970, 20582 since (cal -j).
    #[test]
    fn days_are_counted_in_the_1900_and_the_1904_system() {
        for (raw, text) in [
            ("1", "1900-01-01"),
            ("59", "1900-02-28"),
            ("60", "1900-02-29"),
            ("61", "1900-03-01"),
            ("25569", "1970-01-01"),
            ("46151", "2026-05-09"),
            ("46151.5", "2026-05-09 12:00:00"),
            ("2958465", "9999-12-31"),
            ("0.75", "18:00:00"),
        ] {
            assert_eq!(shown(raw, &Shows::Date, false), Text::Plain(text.into()), "{raw}");
        }
        for (raw, text) in [("44689", "2026-05-09"), ("0", "1904-01-01")] {
            assert_eq!(shown(raw, &Shows::Date, true), Text::Plain(text.into()), "{raw}");
        }
        assert_eq!(shown("-1", &Shows::Date, false), number("-1"));
        assert_eq!(in_format("1.5", "[h]:mm"), "36:00:00");
    }

    #[test]
    fn a_fraction_is_taken_where_it_says_the_value() {
        for (raw, code, text) in [
            ("42.666666666666664", "# ?/?", "42 2/3"),
            ("8.5", "# ?/?", "8 1/2"),
            ("8.5", "# ??/16", "8 8/16"),
            ("0.5", "# ?/?", "1/2"),
            ("42", "# ?/?", "42"),
            ("41.999", "# ?/?", "42"),
            ("42.7", "# ?/?", "42.7"),
        ] {
            assert_eq!(in_format(raw, code), text, "{raw} as {code}");
        }
    }

    #[test]
    fn a_code_keeps_its_zeros_and_is_text() {
        assert_eq!(shown("123", &Shows::of("000000"), false), Text::Plain("000123".into()));
        assert_eq!(in_format("1234567", "000000"), "1234567");
        assert_eq!(in_format("1.5", "000000"), "1.5");
        assert_eq!(in_format("12345", "000-000"), "012-345");
    }

    #[test]
    fn money_and_units_stand_behind_the_number() {
        for (code, text) in [
            ("#,##0.00 [$€-407]", "139.9 €"),
            ("[$CHF] #,##0.00", "139.9 CHF"),
            ("\"€\" 0.00", "139.9 €"),
            ("_-* #,##0.00 \"€\"_-;-* #,##0.00 \"€\"_-", "139.9 €"),
            ("$#,##0.00", "139.9 $"),
            ("0.0\" mm\"", "139.9 mm"),
            ("\"US \"0.0", "US 139.9"),
        ] {
            assert_eq!(shown("139.9", &Shows::of(code), false), number(text), "{code}");
        }
    }
}
