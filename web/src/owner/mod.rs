//! From sheets and changes to the owner's pages: plain functions, words and tables, no markup.

pub mod changes;
pub mod preview;
pub mod sheets;

/// A point in time as the owner reads it: `2026-11-25 08:10 UTC`.
pub(crate) fn when(unix_seconds: i64) -> String {
    let (days, seconds) = (unix_seconds.div_euclid(86_400), unix_seconds.rem_euclid(86_400));
    let (year, month, day) = civil(days);
    format!("{year}-{month:02}-{day:02} {:02}:{:02} UTC", seconds / 3600, seconds / 60 % 60)
}

/// The date of a day counted from 1970 in the proleptic Gregorian calendar (shifted to begin years in March).
fn civil(days: i64) -> (i64, i64, i64) {
    let shifted = days + 719_468;
    let era = shifted.div_euclid(146_097);
    let of_era = shifted.rem_euclid(146_097);
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let (month, carry) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
    (year + era * 400 + carry, month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: POSIX, seconds since the epoch: 1,000,000,000 is 2001-09-09 01:46:40.
    #[test]
    fn known_moments_read_as_they_are_known() {
        assert_eq!(when(0), "1970-01-01 00:00 UTC");
        assert_eq!(when(1_000_000_000), "2001-09-09 01:46 UTC");
        assert_eq!(when(951_782_400), "2000-02-29 00:00 UTC");
    }
}
