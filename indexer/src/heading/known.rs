//! Every heading word of every language, found by its folded letters.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use super::fold::{folded, written_out};
use crate::columns::{COLUMNS, Column, Language};

/// A heading word that is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct KnownWord {
    pub(super) column: &'static Column,
    pub(super) language: Language,
    /// As it stands in the registry.
    pub(super) printed: &'static str,
}

type Words = BTreeMap<String, Vec<KnownWord>>;

static WORDS: LazyLock<Words> = LazyLock::new(all);

/// The words whose letters are these.
pub(super) fn of_letters(letters: &str) -> &'static [KnownWord] {
    WORDS.get(letters).map_or(&[], Vec::as_slice)
}

/// Every known word with its letters, in the order of their letters.
pub(super) fn words() -> impl Iterator<Item = (&'static str, &'static KnownWord)> {
    WORDS.iter().flat_map(|(letters, words)| words.iter().map(|word| (letters.as_str(), word)))
}

/// Whether a single word stands among the words of a column's headings, in any language: `heel` of heel stack.
pub(crate) fn is_word_of(column: &Column, word: &str) -> bool {
    static PARTS: LazyLock<HashMap<&'static str, Vec<String>>> =
        LazyLock::new(|| COLUMNS.iter().map(|column| (column.key, parts_of(column))).collect());
    let folded = folded(word);
    PARTS.get(column.key).is_some_and(|parts| parts.binary_search(&folded).is_ok())
}

fn all() -> Words {
    let mut words = Words::new();
    for column in COLUMNS {
        for language in Language::ALL {
            for printed in column.headings_in(*language) {
                let mut spellings = vec![folded(printed), folded(&written_out(printed))];
                spellings.dedup();
                let word = KnownWord { column, language: *language, printed };
                for letters in spellings {
                    words.entry(letters).or_default().push(word);
                }
            }
        }
    }
    words
}

fn parts_of(column: &Column) -> Vec<String> {
    let headings = Language::ALL.iter().flat_map(|language| column.headings_in(*language));
    let parts = headings.flat_map(|heading| heading.split([' ', '/', '-', '\'']));
    let mut parts: Vec<_> =
        parts.flat_map(|part| [folded(part), folded(&written_out(part))]).filter(|p| !p.is_empty()).collect();
    parts.sort_unstable();
    parts.dedup();
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_belongs_to_two_columns_in_one_language() {
        for (letters, word) in words() {
            let others = of_letters(letters).iter();
            let clash = others.filter(|o| o.language == word.language).find(|o| o.column != word.column);
            assert!(clash.is_none(), "{} of {}: {clash:?}", word.printed, word.column.key);
        }
    }

    #[test]
    fn a_part_of_a_heading_is_a_word_of_its_column() {
        let drop = Column::find("drop").unwrap();
        assert!(is_word_of(drop, "Drop") && is_word_of(drop, "Sprengung") && is_word_of(drop, "dénivelé"));
        assert!(!is_word_of(drop, "weight"));
    }
}
