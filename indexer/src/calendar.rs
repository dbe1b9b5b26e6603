//! Days as numbers, and the calendar's names for them.

/// Year, month and day of a count of days since 1970-01-01, by the rule of the Gregorian calendar: the year is counted
/// from March, so that the leap day comes last, in eras of 400 years (Howard Hinnant's public algorithm, *from memory*).
pub fn civil(days: i64) -> (i64, u32, u32) {
    let days = days + 719_468;
    let of_era = days.rem_euclid(146_097);
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let from_march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * from_march + 2) / 5 + 1;
    let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
    let year = year + days.div_euclid(146_097) * 400 + i64::from(month <= 2);
    (year, month as u32, day as u32)
}

#[cfg(test)]
mod tests {
    use super::civil;

    /// The epoch, its eve and the leap days of 2000 and 2024; the last day a spreadsheet of 1900 counts as 60000.
    #[test]
    fn days_that_are_known_from_elsewhere_come_out() {
        assert_eq!(civil(0), (1970, 1, 1));
        assert_eq!(civil(-1), (1969, 12, 31));
        assert_eq!(civil(951_782_400 / 86_400), (2000, 2, 29));
        assert_eq!(civil(1_709_164_800 / 86_400), (2024, 2, 29));
        assert_eq!(civil(60_000 - 25_569), (2064, 4, 8));
    }
}
