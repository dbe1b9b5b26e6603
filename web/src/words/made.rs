//! Sentences that a library has made already, blanks filled: a finding of an import, a limit of the policy.
//!
//! The libraries know of no language. What they say in English is recognised by the sentence it was made from, and said
//! anew with the same fillings.

use std::sync::OnceLock;

use super::{Language, german, language, translated};

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
        Language::German => listed(english).or_else(|| known(english)).unwrap_or_else(|| english.to_owned()),
    }
}

/// Several that were joined to a list; `None` where one of them is not known.
fn listed(english: &str) -> Option<String> {
    let parts: Option<Vec<String>> = english.split(", ").map(known).collect();
    parts.map(|parts| parts.join(", "))
}

fn known(english: &str) -> Option<String> {
    translated(english).map(str::to_owned).or_else(|| anew(english))
}

fn anew(english: &str) -> Option<String> {
    let (pattern, fillings) =
        patterns().iter().find_map(|pattern| Some((pattern, pattern.fillings(english)?)))?;
    let mut said = String::with_capacity(pattern.german.len() + english.len());
    let mut unnamed = (0..pattern.names.len()).filter(|at| pattern.names[*at].is_empty());
    let mut rest = pattern.german;
    while let Some((before, blank)) = rest.split_once('{') {
        let Some((name, after)) = blank.split_once('}') else { break };
        let at = match name {
            "" => unnamed.next(),
            _ => pattern.names.iter().position(|own| *own == name),
        };
        said.push_str(before);
        // What fills a blank may be a sentence of its own.
        said.push_str(&at.and_then(|at| fillings.get(at)).map_or_else(String::new, |filling| made(filling)));
        rest = after;
    }
    said.push_str(rest);
    Some(said)
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
            // Two blanks side by side hold two sentences.
            let end = if *piece == " " { rest.find(". ").map(|at| at + 1) } else { None };
            let at = end.or_else(|| rest.find(piece))?;
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
