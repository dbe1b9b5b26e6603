//! The words of the pages, in the language of whoever reads them.
//!
//! The code says everything in English, by `say!`; the English sentence is the key under which `german.toml` holds its
//! German. So all German stands in one file, a reader of the code reads sentences and not names of sentences, and English
//! costs nothing but a look at the language. A test holds the file and the code to the same set of sentences.
//!
//! What comes from sheets, codes and addresses is nobody's word and is never translated; the command line and JSON speak
//! English.

mod language;
mod made;

use std::collections::HashMap;
use std::fmt::{Display, Write};
use std::sync::OnceLock;

use foldhash::fast::RandomState;

pub use language::{Language, language, scope, within};
pub use made::made;

/// English to German. The keys are the sentences of the code, with their blanks in braces: `{count} pairs`.
const GERMAN: &str = include_str!("german.toml");

/// Says a sentence in the language of whoever reads the page: `say!("Stock in order")`, or with blanks that are filled,
/// `say!("{count} pairs of {size}", count = pairs.len(), size)`. Without blanks it gives a `&'static str`, else a `String`.
macro_rules! say {
    (@value $name:ident) => { $name };
    (@value $name:ident $value:expr) => { $value };
    ($english:literal $(,)?) => { $crate::words::of($english) };
    ($english:literal, $($name:ident $(= $value:expr)?),+ $(,)?) => {
        match $crate::words::translated($english) {
            None => format!($english, $($name = say!(@value $name $($value)?)),+),
            Some(words) => $crate::words::fill(words, &[$((stringify!($name), &say!(@value $name $($value)?))),+]),
        }
    };
}

/// Marks a word that a table holds for later, where `say!` cannot stand: it is translated by [`of`] when it is shown.
macro_rules! word {
    ($english:literal) => {
        $english
    };
}

/// A sentence without blanks in the language of the page; as it is where the language has no other words for it.
pub fn of(english: &str) -> &str {
    translated(english).unwrap_or(english)
}

/// A label as it stands inside a sentence: without its capital in English, as it is in German, where labels are nouns.
pub fn lowered(label: &str) -> String {
    match language() {
        Language::English => {
            let mut letters = label.chars();
            letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
        }
        Language::German => label.to_owned(),
    }
}

/// Words of somebody, between the quotation marks of the language.
pub fn quoted(words: impl Display) -> String {
    match language() {
        Language::English => format!("“{words}”"),
        Language::German => format!("„{words}“"),
    }
}

/// A number, with its unit or without, with the decimal mark of the language; from one with a point.
pub fn number(plain: impl Display) -> String {
    match language() {
        Language::English => plain.to_string(),
        Language::German => plain.to_string().replace('.', ","),
    }
}

/// The other language's words for an English sentence; `None` in English, and for a sentence that is not known.
pub fn translated(english: &str) -> Option<&'static str> {
    match language() {
        Language::English => None,
        Language::German => german().get(english).map(String::as_str),
    }
}

/// Fills the blanks of a sentence. A blank without a value stays as it is, so that a slip is seen.
pub fn fill(words: &str, values: &[(&str, &dyn Display)]) -> String {
    let mut filled = String::with_capacity(words.len() + 16 * values.len());
    let mut rest = words;
    while let Some((before, blank)) = rest.split_once('{') {
        filled.push_str(before);
        let Some((name, after)) = blank.split_once('}') else {
            filled.push('{');
            rest = blank;
            break;
        };
        match values.iter().find(|(own, _)| *own == name) {
            Some((_, value)) => _ = write!(filled, "{value}"),
            None => _ = write!(filled, "{{{name}}}"),
        }
        rest = after;
    }
    filled.push_str(rest);
    filled
}

pub(super) fn german() -> &'static HashMap<String, String, RandomState> {
    static TABLE: OnceLock<HashMap<String, String, RandomState>> = OnceLock::new();
    // The tests read the same text, so that a slip in it never leaves this house.
    TABLE.get_or_init(|| toml::from_str(GERMAN).unwrap_or_default())
}

#[cfg(test)]
mod tests;
