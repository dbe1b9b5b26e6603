//! What an unknown heading may be. A suggestion is shown with its reason and never taken.

use super::fold::looks_like;
use super::known::{KnownWord, of_letters, words};
use crate::columns::Column;

/// A column that a heading may be, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suggestion {
    /// The column.
    pub column: &'static Column,
    /// How sure, 0 to 100.
    pub score: u8,
    /// Whether it is a slip of spelling, and not merely a heading that holds the word.
    pub slip: bool,
    /// Why, in words.
    pub reason: String,
}

/// A heading of more bytes is a sentence, and no slip of a word.
const LONGEST: usize = 80;
/// Suggestions shown.
const MOST: usize = 3;
/// A known word found among others is as good as this.
const HOLDS: u8 = 60;
/// Letters of another alphabet that look alike.
const LOOKS: u8 = 90;

/// Suggestions for a heading that nobody knows, best first.
pub(super) fn of(printed: &str, letters: &str) -> Vec<Suggestion> {
    if printed.len() > LONGEST {
        return Vec::new();
    }
    let alike = look_alike(printed, letters);
    let near = words().filter_map(|(known, word)| near(letters, known, word));
    let held = words().filter_map(|(known, word)| held(printed, known, word));
    let mut all: Vec<_> = alike.into_iter().chain(near).chain(held).collect();
    all.sort_by_key(|suggestion| std::cmp::Reverse(suggestion.score));
    let mut best: Vec<Suggestion> = Vec::new();
    for suggestion in all {
        if !best.iter().any(|better| better.column == suggestion.column) {
            best.push(suggestion);
        }
    }
    best.truncate(MOST);
    best
}

/// A word that only looks like a known one: some of its letters are of another alphabet.
fn look_alike(printed: &str, letters: &str) -> Vec<Suggestion> {
    let Some(foreign) = printed.chars().find(|c| looks_like(*c).is_some()) else { return Vec::new() };
    let latin: String = letters.chars().map(|c| looks_like(c).unwrap_or(c)).collect();
    let say = |word: &KnownWord| Suggestion {
        column: word.column,
        score: LOOKS,
        slip: true,
        reason: format!(
            "It looks like \"{}\", but its \"{foreign}\" (U+{:04X}) is a letter of another alphabet.",
            word.printed, foreign as u32
        ),
    };
    of_letters(&latin).iter().map(say).collect()
}

/// A word that is a few letters off; the longer it is, the more.
fn near(letters: &str, known: &str, word: &KnownWord) -> Option<Suggestion> {
    let length = letters.chars().count().max(known.chars().count());
    let allowed = match length {
        0..4 => return None,
        4..8 => 1,
        8..12 => 2,
        _ => 3,
    };
    // Cheaper than the distance, which grows with both lengths.
    if letters.chars().count().abs_diff(known.chars().count()) > allowed {
        return None;
    }
    let off = strsim::osa_distance(letters, known);
    let score = 100 - 100 * off / length;
    (off <= allowed).then(|| Suggestion {
        column: word.column,
        score: score as u8,
        slip: true,
        reason: match off {
            1 => format!("One letter is other than in \"{}\".", word.printed),
            _ => format!("{off} letters are other than in \"{}\".", word.printed),
        },
    })
}

/// A known word that stands whole among the words of the heading.
fn held(printed: &str, known: &str, word: &KnownWord) -> Option<Suggestion> {
    let words: Vec<&str> = printed.split(' ').collect();
    let long = known.chars().count() >= 4 && words.len() > 1;
    let most = word.printed.split([' ', '/', '-', '\'']).count().min(words.len());
    let stands = || words.windows(most).any(|run| super::folded(&run.concat()) == known);
    // The more of the heading the word is, the likelier it is meant.
    let share = (known.len() * 20 / printed.len().max(1)).min(20) as u8;
    (long && stands()).then(|| Suggestion {
        column: word.column,
        score: HOLDS + share,
        slip: false,
        reason: format!("It holds the words \"{}\".", word.printed),
    })
}
