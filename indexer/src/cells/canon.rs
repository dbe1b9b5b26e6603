//! Text at the edge: what cannot be seen is taken out with a word, what would change how a text is read is refused.
//!
//! Nothing is cut: a text is taken whole or not at all.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::{CellFault, fault, quoted};
use crate::characters::{is_bidi, is_invisible, is_noncharacter};
use crate::columns::Column;
use crate::finding::Code;

/// Combining marks in a row that a language may need; beyond it, it is mischief.
const MARKS: usize = 4;

/// A text as it is kept: NFC, single blanks, nothing unseen.
pub(super) struct Clean {
    pub(super) text: String,
    /// How many unseen characters were taken out.
    pub(super) dropped: usize,
}

/// A text in canonical form.
///
/// # Errors
/// A character that cannot stand: the column decides what it spoils.
pub(super) fn canon(column: &Column, text: &str) -> Result<Clean, CellFault> {
    if text.bytes().all(|b| matches!(b, b' '..=b'~')) {
        return Ok(Clean { text: single_blanks(text), dropped: 0 });
    }
    let refused = |what: String| {
        let code = if column.names_something() { Code::NameRefused } else { Code::TextRefused };
        fault(code, format!("{} {what} Type the cell anew.", quoted(text)))
    };
    if let Some(c) = text.chars().find(|c| is_refused(*c)) {
        return Err(refused(format!("holds U+{:04X}, {}, which cannot be seen.", c as u32, kind_of(c))));
    }
    let seen = without_unseen(text);
    if marks_in_a_row(&seen) > MARKS {
        return Err(refused(format!("has more than {MARKS} accents on one letter.")));
    }
    let dropped = text.chars().count() - seen.chars().count();
    Ok(Clean { text: single_blanks(&seen.nfc().collect::<String>()), dropped })
}

/// A warning for a name with letters of two alphabets in one word.
pub(super) fn mixed_scripts(text: &str) -> Option<CellFault> {
    let word = text.split(|c: char| !c.is_alphanumeric()).find(|word| is_mixed(word))?;
    let say = format!(
        "\"{word}\" has letters of two alphabets that look alike. It will not be found by typing it; check it with the supplier."
    );
    Some(fault(Code::MixedScripts, say))
}

fn single_blanks(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Control characters but tab and line ends, direction marks, and code points that are no characters.
fn is_refused(c: char) -> bool {
    let control = c.is_control() && !matches!(c, '\t' | '\n' | '\r');
    control || is_bidi(c) || is_noncharacter(c)
}

const fn kind_of(c: char) -> &'static str {
    if is_bidi(c) {
        "a mark that turns the direction of reading"
    } else if is_noncharacter(c) {
        "which is no character"
    } else {
        "a control character"
    }
}

fn marks_in_a_row(text: &str) -> usize {
    let (mut most, mut now) = (0, 0);
    for c in text.nfd() {
        now = if is_combining_mark(c) { now + 1 } else { 0 };
        most = most.max(now);
    }
    most
}

/// Without zero-width characters; a joiner before a pictograph is a part of it.
fn without_unseen(text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let joins = c == '\u{200d}' && chars.peek().is_some_and(|next| *next >= '\u{2600}');
        if !is_invisible(c) || joins {
            kept.push(c);
        }
    }
    kept
}

fn is_mixed(word: &str) -> bool {
    let latin = word.chars().any(|c| c.is_alphabetic() && (c as u32) < 0x250);
    let greek_or_cyrillic = word.chars().any(|c| c.is_alphabetic() && matches!(c as u32, 0x370..=0x52f));
    latin && greek_or_cyrillic
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::columns::{NAME, NOTES};
    use proptest::prelude::*;

    fn text(told: &str) -> String {
        canon(&NAME, told).map_or_else(|fault| fault.say, |clean| clean.text)
    }

    #[test]
    fn two_spellings_of_one_letter_are_kept_as_one() {
        assert_eq!(text("Gre\u{300}ge"), "Grège");
        assert_eq!(text("two\u{a0}\u{202f} blanks\tand a\nline"), "two blanks and a line");
    }

    #[test]
    fn what_cannot_be_seen_is_counted_and_taken_out() {
        let clean = canon(&NAME, "Ma\u{200b}rl\u{ad}").unwrap();
        assert_eq!((clean.text.as_str(), clean.dropped), ("Marl", 2));
        assert_eq!(canon(&NAME, "\u{1f468}\u{200d}\u{1f469}").unwrap().dropped, 0, "a family is one picture");
    }

    #[test]
    fn directions_controls_and_no_characters_are_refused_and_a_name_holds_its_row() {
        for bad in ["a\u{202e}b", "a\u{2066}b", "a\0b", "a\u{85}b", "a\u{ffff}b", "a\u{fdd0}b"] {
            assert_eq!(canon(&NAME, bad).err().map(|f| f.code), Some(Code::NameRefused), "{bad:?}");
            assert_eq!(canon(&NOTES, bad).err().map(|f| f.code), Some(Code::TextRefused), "{bad:?}");
        }
    }

    #[test]
    fn four_accents_on_a_letter_are_a_language_and_five_are_mischief() {
        assert!(canon(&NAME, "e\u{301}\u{302}\u{303}\u{304}").is_ok());
        assert!(canon(&NAME, "e\u{301}\u{302}\u{303}\u{304}\u{305}").is_err());
    }

    #[test]
    fn a_word_of_two_alphabets_is_told() {
        assert!(mixed_scripts("Mа\u{440}l").is_some());
        assert!(mixed_scripts("Марл Marl").is_none());
    }

    proptest! {
        #[test]
        fn a_canonical_text_stays_as_it_is(told in any::<String>()) {
            if let Ok(once) = canon(&NAME, &told) {
                let twice = canon(&NAME, &once.text).expect("canonical");
                prop_assert_eq!(&twice.text, &once.text);
                prop_assert_eq!(twice.dropped, 0);
            }
        }
    }
}
