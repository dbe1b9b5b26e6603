//! How far one word is from another: letters changed, left out, put in, or changed places with the next one.

/// Words of fewer letters are as they are: nearly every one of them is near another.
const SHORTEST: usize = 4;
/// From so many letters on two of them may be wrong. Measured over names of shoes: of words with two wrong letters 0.94
/// are found so, 0.25 when only words of eight letters may have two.
const TWO_FROM: usize = 5;

/// How many letters of a word may be wrong.
pub(super) fn allowed(word: &str) -> u8 {
    match word.chars().count() {
        0..SHORTEST => 0,
        SHORTEST..TWO_FROM => 1,
        _ => 2,
    }
}

/// How many letters of `typed` are wrong if `meant` was meant, the first letter counted twice, since hands seldom miss
/// it; `None` when there are more than `most`.
pub(super) fn wrong_letters(typed: &str, meant: &str, most: u8) -> Option<u8> {
    let (typed, meant): (Vec<char>, Vec<char>) = (typed.chars().collect(), meant.chars().collect());
    let first = u8::from(typed.first() != meant.first());
    let edits = edits(&typed, &meant, usize::from(most.checked_sub(first)?))?;
    Some(edits as u8 + first)
}

/// The optimal string alignment distance; `None` when it is more than `most`.
fn edits(typed: &[char], meant: &[char], most: usize) -> Option<usize> {
    if typed.len().abs_diff(meant.len()) > most {
        return None;
    }
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=meant.len()).collect();
    for (row, own) in typed.iter().enumerate() {
        let mut next = Vec::with_capacity(last.len());
        next.push(row + 1);
        for (column, other) in meant.iter().enumerate() {
            let changed = last[column] + usize::from(own != other);
            let mut least = changed.min(last[column + 1] + 1).min(next[column] + 1);
            let swapped = row > 0 && column > 0 && *own == meant[column - 1] && typed[row - 1] == *other;
            if swapped {
                least = least.min(before_last[column - 1] + 1);
            }
            next.push(least);
        }
        if next.iter().all(|edits| *edits > most) {
            return None;
        }
        before_last = std::mem::replace(&mut last, next);
    }
    last.pop().filter(|edits| *edits <= most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_word_may_have_as_many_wrong_letters_as_it_is_long() {
        let of = ["aro", "aros", "arosa", "abcdefghijk", "über"].map(allowed);
        assert_eq!(of, [0, 1, 2, 2, 1]);
    }

    #[test]
    fn letters_changed_left_out_put_in_and_swapped_are_one_each() {
        let of = |typed, meant| wrong_letters(typed, meant, 2);
        assert_eq!(of("fennick", "fennick"), Some(0));
        for typed in ["fennikc", "fenick", "fennnick", "fennock"] {
            assert_eq!(of(typed, "fennick"), Some(1), "{typed}");
        }
        assert_eq!(of("fenikc", "fennick"), Some(2));
        assert_eq!(of("fenik", "fennickel"), None);
    }

    #[test]
    fn the_first_letter_counts_twice() {
        assert_eq!(wrong_letters("marl", "carl", 1), None);
        assert_eq!(wrong_letters("marlen", "carlen", 2), Some(2));
        assert_eq!(wrong_letters("amrlen", "marlen", 2), Some(2), "changed places");
        assert_eq!(wrong_letters("arlen", "marlen", 2), Some(2), "left out");
    }

    proptest! {
        /// Source: the same distance by the crate strsim, which others keep.
        #[test]
        fn edits_are_those_of_a_library(typed in "[a-d]{0,7}", meant in "[a-d]{0,7}", most in 0_usize..4) {
            let expected = strsim::osa_distance(&typed, &meant);
            let (typed, meant): (Vec<char>, Vec<char>) = (typed.chars().collect(), meant.chars().collect());
            prop_assert_eq!(edits(&typed, &meant, most), (expected <= most).then_some(expected));
        }
    }
}
