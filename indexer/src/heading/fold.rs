//! Words made comparable: case, diacritics, blanks and punctuation aside. Letters of other alphabets stay what they are.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Letters and digits alone, lower case, without diacritics: `Größe (EU)` is `grosseeu`.
pub(crate) fn folded(text: &str) -> String {
    if text.is_ascii() {
        return text.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_lowercase()).collect();
    }
    text.nfkd()
        .filter(|c| !is_combining_mark(*c))
        .flat_map(char::to_lowercase)
        .filter(|c| c.is_alphanumeric())
        .fold(String::with_capacity(text.len()), |mut folded, c| {
            match c {
                'ß' => folded.push_str("ss"),
                'œ' => folded.push_str("oe"),
                'æ' => folded.push_str("ae"),
                'ø' => folded.push('o'),
                'ı' => folded.push('i'),
                'ł' => folded.push('l'),
                other => folded.push(other),
            }
            folded
        })
}

/// A word with its umlauts written out, as keyboards without them do: `Größe` is `Groesse`.
pub(crate) fn written_out(text: &str) -> String {
    text.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue")
}

/// The Latin letter that a Cyrillic or Greek one looks like (from memory, after the confusables of UTS 39).
pub(crate) const fn looks_like(c: char) -> Option<char> {
    Some(match c {
        'а' | 'А' | 'α' | 'Α' => 'a',
        'В' | 'Β' => 'b',
        'с' | 'С' => 'c',
        'ԁ' => 'd',
        'е' | 'Е' | 'Ε' => 'e',
        'һ' | 'Н' | 'Η' => 'h',
        'і' | 'І' | 'ι' | 'Ι' => 'i',
        'ј' | 'Ј' => 'j',
        'К' | 'к' | 'Κ' | 'κ' => 'k',
        'М' | 'Μ' => 'm',
        'Ν' => 'n',
        'о' | 'О' | 'ο' | 'Ο' => 'o',
        'р' | 'Р' | 'ρ' | 'Ρ' => 'p',
        'ѕ' | 'Ѕ' => 's',
        'Т' | 'Τ' | 'т' => 't',
        'у' | 'У' | 'Υ' => 'y',
        'х' | 'Х' | 'χ' | 'Χ' => 'x',
        'ν' => 'v',
        'ԝ' => 'w',
        'Ζ' => 'z',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_diacritics_and_punctuation_make_no_difference() {
        for text in ["Größe", "GRÖSSE", "grosse", "Gro\u{308}ße", "  Grö-ße: ", "Ｇröße"] {
            assert_eq!(folded(text), "grosse", "{text}");
        }
        assert_eq!(folded(&written_out("größe")), "groesse");
    }

    #[test]
    fn a_letter_of_another_alphabet_is_not_folded_into_the_one_it_looks_like() {
        assert_ne!(folded("dr\u{43e}p"), "drop");
        assert_eq!(looks_like('\u{43e}'), Some('o'));
    }
}
