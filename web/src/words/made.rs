//! Sentences that a library has made already, blanks filled: a finding of an import, a limit of the policy.
//!
//! The libraries know of no language. What they say in English is recognised by the sentence it was made from, and said
//! anew with the same fillings.

use std::sync::OnceLock;

use super::{Language, german, language, of, translated};

/// A sentence in pieces between its blanks, with its German.
struct Pattern {
    pieces: Vec<&'static str>,
    names: Vec<&'static str>,
    german: &'static str,
}

/// A sentence that was made elsewhere, in the language of the page; as it is where nobody knows it.
pub fn made(english: &str) -> String {
    match language() {
        Language::English => english.to_owned(),
        Language::German => translated(english).map_or_else(|| anew(english), str::to_owned),
    }
}

fn anew(english: &str) -> String {
    let found = patterns().iter().find_map(|pattern| Some((pattern, pattern.fillings(english)?)));
    let Some((pattern, fillings)) = found else { return english.to_owned() };
    let mut said = String::with_capacity(pattern.german.len() + english.len());
    let (mut rest, mut unnamed) = (pattern.german, 0);
    while let Some((before, blank)) = rest.split_once('{') {
        let Some((name, after)) = blank.split_once('}') else { break };
        let at = pattern.names.iter().position(|own| *own == name && !name.is_empty()).unwrap_or(unnamed);
        unnamed += usize::from(name.is_empty());
        said.push_str(before);
        said.push_str(fillings.get(at).map_or("", |filling| of(filling)));
        rest = after;
    }
    said.push_str(rest);
    said
}

impl Pattern {
    fn of(english: &'static str, german: &'static str) -> Option<Self> {
        let mut pieces = Vec::new();
        let mut names = Vec::new();
        let mut rest = english;
        while let Some((before, blank)) = rest.split_once('{') {
            let (name, after) = blank.split_once('}')?;
            pieces.push(before);
            names.push(name);
            rest = after;
        }
        pieces.push(rest);
        (!names.is_empty()).then_some(Self { pieces, names, german })
    }

    /// How many letters of the sentence stand outside its blanks: the most telling pattern is tried first.
    fn letters(&self) -> usize {
        self.pieces.iter().map(|piece| piece.len()).sum()
    }

    /// What stands in the blanks, each as short as can be; `None` where the sentence is another one.
    fn fillings<'e>(&self, english: &'e str) -> Option<Vec<&'e str>> {
        let (first, pieces) = self.pieces.split_first()?;
        let (last, middle) = pieces.split_last()?;
        let mut rest = english.strip_prefix(first)?.strip_suffix(last)?;
        let mut fillings = Vec::with_capacity(self.names.len());
        for piece in middle {
            let at = rest.find(piece)?;
            fillings.push(&rest[..at]);
            rest = &rest[at + piece.len()..];
        }
        fillings.push(rest);
        Some(fillings)
    }
}

/// Too few letters tell nothing: `{from} to {to}` would be found in any sentence.
const TELLING: usize = 6;

fn patterns() -> &'static [Pattern] {
    static PATTERNS: OnceLock<Vec<Pattern>> = OnceLock::new();
    PATTERNS.get_or_init(|| {
        let table = german().iter();
        let mut patterns: Vec<_> =
            table.filter_map(|(english, german)| Pattern::of(english, german)).collect();
        patterns.retain(|pattern| pattern.letters() >= TELLING);
        patterns.sort_by_key(|pattern| std::cmp::Reverse((pattern.letters(), pattern.german)));
        patterns
    })
}
