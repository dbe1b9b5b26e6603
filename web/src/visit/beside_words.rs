//! Measures side by side that are words: bending, rocker, plate.

use catalogue::measures::Measures;

use super::capital;
use crate::parts::table::Cell;
use crate::words;

/// The word of one measure; `None` is not given.
pub type OfMeasures = fn(&Measures) -> Option<String>;

/// The row that has a band of its own.
pub const BENDING: &str = word!("Bending");

/// The rows: what each is called, and how it is read.
pub fn rows() -> [(&'static str, OfMeasures); 3] {
    [
        (words::of(BENDING), |m| m.bending().map(|word| words::of(word.word()).to_owned())),
        (say!("Rocker sole"), |m| m.rocker().map(yes_or_no)),
        (say!("Plate"), |m| m.plate().map(yes_or_no)),
    ]
}

fn yes_or_no(yes: bool) -> String {
    if yes { say!("yes") } else { say!("no") }.to_owned()
}

/// A cell a shoe; what differs from the first says what that is.
pub fn cells(values: &[Option<String>], first_is_worn: bool) -> Vec<Cell> {
    let base = values.first().cloned().flatten();
    let whose = if first_is_worn { "worn" } else { "first" };
    let cell = |(place, value): (usize, &Option<String>)| match value {
        None => Cell::not_given(),
        Some(word) => match base.as_ref().filter(|base| place > 0 && *base != word) {
            Some(base) => Cell::text(capital(word)).below(format!("{whose}: {base}")).differing(),
            None => Cell::text(capital(word)),
        },
    };
    values.iter().enumerate().map(cell).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_that_differs_says_from_what() {
        let said = |word: &str| Some(word.to_owned());
        let cells = cells(&[said("stiff"), said("medium"), said("stiff"), None], true);
        assert_eq!(cells[1].below.as_deref(), Some("worn: stiff"));
        assert!(cells[1].differs && !cells[2].differs && cells[3].unknown);
    }
}
