//! Dates where a size is expected: a spreadsheet takes `9.5` for the ninth of May. The size is named, never restored.

use crate::heading::folded;

/// A day and a month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct DayMonth {
    day: u32,
    month: u32,
}

/// Beginnings of the months in six languages, folded; the longer first where one begins another.
const MONTHS: [(&str, u32); 38] = [
    ("jan", 1),
    ("jaen", 1),
    ("ene", 1),
    ("gen", 1),
    ("feb", 2),
    ("fev", 2),
    ("fevr", 2),
    ("mar", 3),
    ("mrz", 3),
    ("maerz", 3),
    ("mrt", 3),
    ("maart", 3),
    ("apr", 4),
    ("avr", 4),
    ("abr", 4),
    ("may", 5),
    ("mai", 5),
    ("mei", 5),
    ("mag", 5),
    ("jun", 6),
    ("juin", 6),
    ("giu", 6),
    ("jul", 7),
    ("juil", 7),
    ("lug", 7),
    ("aug", 8),
    ("aou", 8),
    ("ago", 8),
    ("sep", 9),
    ("set", 9),
    ("oct", 10),
    ("okt", 10),
    ("ott", 10),
    ("nov", 11),
    ("dec", 12),
    ("dez", 12),
    ("dic", 12),
    ("sept", 9),
];

/// Day and month of a text that is a date in any spelling, or the number a spreadsheet keeps for one.
pub(super) fn date_in(text: &str) -> Option<DayMonth> {
    let day_part = text.split(['T', ' ']).next().filter(|part| part.len() >= 8).unwrap_or(text);
    named_month(text).or_else(|| three_numbers(day_part)).or_else(|| serial(text))
}

impl DayMonth {
    /// The size it probably was: the half of a size is a 5, thirds are 1/3 and 2/3.
    pub(super) fn probably(self) -> Option<String> {
        match (self.day, self.month) {
            (size, 5) | (5, size) => Some(format!("{size}.5")),
            (1, 2) | (2, 1) => Some("a half, 1/2".to_owned()),
            (1, 3) | (3, 1) => Some("a third, 1/3".to_owned()),
            (2, 3) | (3, 2) => Some("two thirds, 2/3".to_owned()),
            _ => None,
        }
    }
}

/// `09. Mai`, `9-May`, `May-09`, `mag 9`.
fn named_month(text: &str) -> Option<DayMonth> {
    let words = text.split(|c: char| !c.is_alphabetic()).map(folded).filter(|word| !word.is_empty());
    let words: Vec<_> = words.collect();
    let numbers: Vec<u32> =
        text.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse().ok()).collect();
    let month =
        |word: &String| MONTHS.iter().find(|(begins, _)| word.starts_with(begins)).map(|(_, month)| *month);
    match (words.as_slice(), numbers.first()) {
        ([word], Some(day)) => Some(DayMonth { day: *day, month: month(word)? }),
        _ => None,
    }
}

/// `2026-05-09`, `09.05.2026`, `9/5/26`.
fn three_numbers(text: &str) -> Option<DayMonth> {
    let parts: Vec<&str> = text.split(['.', '-', '/']).collect();
    let number = |at: usize| -> Option<u32> { parts.get(at)?.parse().ok() };
    let (first, second, third) = (number(0)?, number(1)?, number(2)?);
    let (day, month) = if parts[0].len() == 4 { (third, second) } else { (first, second) };
    let sound = parts.len() == 3 && (1..=31).contains(&day) && (1..=31).contains(&month);
    sound.then_some(DayMonth { day, month })
}

/// Days since 30 December 1899, as spreadsheets count: 40000 is in 2009, 60000 in 2064.
fn serial(text: &str) -> Option<DayMonth> {
    let days: i64 = text.trim_end_matches(".0").parse().ok()?;
    if !(40_000..=60_000).contains(&days) {
        return None;
    }
    let (_, month, day) = crate::calendar::civil(days - 25_569);
    Some(DayMonth { day, month })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ninth_of_may_is_nine_and_a_half_in_every_spelling() {
        for text in [
            "09.May",
            "9-May",
            "May-09",
            "Mai 09",
            "9. Mai",
            "09.05.2026",
            "2026-05-09",
            "2026-05-09 00:00:00",
            "9/5/26",
            "mag-09",
            "9 mei",
            "46151",
            "46151.0",
        ] {
            assert_eq!(date_in(text).and_then(DayMonth::probably).as_deref(), Some("9.5"), "{text}");
        }
    }

    #[test]
    fn a_third_that_became_a_date_is_named() {
        assert_eq!(date_in("02. Mrz").and_then(DayMonth::probably).as_deref(), Some("two thirds, 2/3"));
        assert_eq!(date_in("17. Aug").and_then(DayMonth::probably), None);
    }

    #[test]
    fn a_size_is_no_date() {
        for text in ["42", "42.5", "42 2/3", "9½", "UK 8", "265", "US M 9", "39999", "60001"] {
            assert_eq!(date_in(text), None, "{text}");
        }
    }
}
