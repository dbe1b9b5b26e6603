//! What a column may be by its values, when its heading says nothing: only ever suggested.

use super::Suggestion;
use crate::cells::{Manner, heard, says_nothing};
use crate::columns::{AUDIENCE, Column, GTIN, MASS, PRICE, PURPOSE, SIZE, STACKS, SURFACE};
use crate::draft::Value;

/// Fewer samples prove nothing.
const FEWEST: usize = 3;
/// In a hundred, the samples that have to fit.
const FITTING: usize = 80;

/// A column, whether a text fits it, how sure that makes us, and what such texts are.
type Look = (&'static Column, fn(&str) -> bool, u8, &'static str);

/// What the values of a column look like, when most of them agree. `samples` are cells as printed.
pub fn suggest_by_values(samples: &[&str]) -> Option<Suggestion> {
    let told: Vec<&str> = samples.iter().map(|text| text.trim()).filter(|text| !says_nothing(text)).collect();
    let looks: [Look; 8] = [
        (&GTIN, is_gtin, 95, "numbers of 12 to 14 digits with the right check digit"),
        (&STACKS, |text| reads(&STACKS, text), 85, "pairs such as 32/24, the higher first"),
        (&AUDIENCE, |text| reads(&AUDIENCE, text), 85, "women, men, unisex or youth"),
        (&SURFACE, |text| reads(&SURFACE, text), 80, "surfaces"),
        (&PURPOSE, |text| reads(&PURPOSE, text), 75, "what a shoe is for"),
        (&MASS, is_mass, 75, "masses with their unit"),
        (&PRICE, is_price, 70, "amounts of money"),
        (&SIZE, is_size, 65, "shoe sizes"),
    ];
    looks.into_iter().find_map(|(column, fits, score, what)| {
        let fitting = told.iter().filter(|text| fits(text)).count();
        let enough = told.len() >= FEWEST && fitting * 100 >= told.len() * FITTING;
        enough.then(|| Suggestion {
            column,
            score,
            slip: false,
            reason: format!("{fitting} of {} values look like {what}, such as \"{}\".", told.len(), told[0]),
        })
    })
}

fn reads(column: &'static Column, text: &str) -> bool {
    heard(column, text, Manner::unmarked(None)).is_ok_and(|heard| !heard.said.is_empty())
}

fn is_gtin(text: &str) -> bool {
    text.len() >= 12 && reads(&GTIN, text)
}

fn is_mass(text: &str) -> bool {
    text.contains(|c: char| c.is_alphabetic()) && reads(&MASS, text)
}

fn is_price(text: &str) -> bool {
    text.contains(|c: char| !c.is_ascii()) && reads(&PRICE, text)
}

/// Labels that are little else: a fraction or a system, or whole and half numbers of the European run.
fn is_size(text: &str) -> bool {
    let said = heard(&SIZE, text, Manner::unmarked(None)).map(|heard| heard.said).unwrap_or_default();
    let plain = |value: &Value| matches!(value, Value::Text(label) if label.parse::<u16>().is_ok_and(|label| (30..=50).contains(&label)));
    match said.as_slice() {
        [] => false,
        [(_, label)] => plain(label) || text.contains(['½', '⅓', '⅔', '/', '.', ',']),
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(samples: &[&str]) -> Option<&'static str> {
        suggest_by_values(samples).map(|suggestion| suggestion.column.key)
    }

    #[test]
    fn values_that_can_be_little_else_are_suggested_with_the_reason() {
        assert_eq!(column(&["6291041500213", "7300011000017", "8904000210037"]), Some("gtin"));
        assert_eq!(column(&["32/24", "30/22", "28/20"]), Some("stacks"));
        assert_eq!(column(&["42", "42 2/3", "43 1/3"]), Some("size"));
        assert_eq!(column(&["Herren", "Damen", "Herren"]), Some("audience"));
        assert_eq!(column(&["265 g", "241 g", "230 g"]), Some("mass"));
        let reason = suggest_by_values(&["32/24", "30/22", "28/20", "-"]).unwrap().reason;
        assert!(reason.starts_with("3 of 3 values"), "{reason}");
    }

    #[test]
    fn values_that_can_be_anything_or_are_too_few_are_not() {
        assert_eq!(column(&["8", "10", "6"]), None);
        assert_eq!(column(&["6291041500213"]), None);
        assert_eq!(column(&["6291041500214", "7300011000018", "8904000210030"]), None, "wrong check digits");
        assert_eq!(column(&[]), None);
    }
}
