//! A date in words, from seconds since 1970.

use crate::words::{self, Language};
use indexer::calendar::civil;

const MONTHS: [&str; 12] = [
    word!("January"),
    word!("February"),
    word!("March"),
    word!("April"),
    word!("May"),
    word!("June"),
    word!("July"),
    word!("August"),
    word!("September"),
    word!("October"),
    word!("November"),
    word!("December"),
];

/// The day in universal time: `25 November 2026`.
pub fn day(unix_seconds: i64) -> String {
    let (year, month, day) = civil(unix_seconds.div_euclid(86_400));
    let month = MONTHS.get(month as usize - 1).copied().unwrap_or_default();
    say!("{day} {month} {year}", day, month = words::of(month), year)
}

/// The day where there is little room: `25 Nov 2026`, in German `25.11.2026`.
pub fn short_day(unix_seconds: i64) -> String {
    let (year, month, day) = civil(unix_seconds.div_euclid(86_400));
    match words::language() {
        Language::English => {
            let name = MONTHS.get(month as usize - 1).copied().unwrap_or_default();
            format!("{day} {} {year}", name.get(..3).unwrap_or(name))
        }
        Language::German => format!("{day}.{month}.{year}"),
    }
}

/// The minute in universal time: `25 November 2026, 08:10 UTC`.
pub fn minute(unix_seconds: i64) -> String {
    let seconds = unix_seconds.rem_euclid(86_400);
    format!("{}, {:02}:{:02} UTC", day(unix_seconds), seconds / 3600, seconds / 60 % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The billionth second and the leap days of 2000 and 2024: widely published, here *from memory*.
    #[test]
    fn days_that_are_known_from_elsewhere_come_out() {
        assert_eq!(day(0), "1 January 1970");
        assert_eq!(day(1_000_000_000), "9 September 2001");
        assert_eq!(day(951_782_400), "29 February 2000");
        assert_eq!(day(1_709_164_800), "29 February 2024");
        assert_eq!(day(-1), "31 December 1969");
        assert_eq!(short_day(1_000_000_000), "9 Sep 2001");
        let german = |of: fn(i64) -> String| words::within(Language::German, || of(1_000_000_000));
        assert_eq!((german(day), german(short_day)), ("9. September 2001".into(), "9.9.2001".into()));
        assert_eq!(minute(1_000_000_000), "9 September 2001, 01:46 UTC");
    }
}
