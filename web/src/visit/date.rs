//! A date in words, from seconds since 1970.

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The day in universal time: `25 November 2026`.
pub fn day(unix_seconds: i64) -> String {
    let (year, month, day) = civil(unix_seconds.div_euclid(86_400));
    let month = MONTHS.get(month as usize - 1).copied().unwrap_or_default();
    format!("{day} {month} {year}")
}

/// The minute in universal time: `25 November 2026, 08:10 UTC`.
pub fn minute(unix_seconds: i64) -> String {
    let seconds = unix_seconds.rem_euclid(86_400);
    format!("{}, {:02}:{:02} UTC", day(unix_seconds), seconds / 3600, seconds / 60 % 60)
}

/// Year, month and day of a count of days since 1970, by the rule of the Gregorian calendar: the year is counted
/// from March, so that the leap day comes last, in eras of 400 years.
fn civil(days: i64) -> (i64, i64, i64) {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    (year + era * 400 + i64::from(month <= 2), month, day)
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
        assert_eq!(minute(1_000_000_000), "9 September 2001, 01:46 UTC");
    }
}
