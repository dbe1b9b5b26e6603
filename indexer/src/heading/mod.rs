//! One heading, taken apart: its words, the unit it names, and the columns these words belong to in any of the
//! languages. What is only nearly known is suggested, never taken.

mod by_values;
mod fold;
mod known;
mod suggest;
mod units;

use std::fmt::Write as _;

use crate::characters::is_invisible;
use crate::columns::{Column, Language};
pub use by_values::suggest_by_values;
pub(crate) use fold::{folded, written_out};
pub(crate) use known::is_word_of;
use known::{KnownWord, of_letters};
pub use suggest::Suggestion;
pub use units::Unit;
pub(crate) use units::{currency_of, is_written, system_of, unit_of};

/// A heading as understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// Its words, lower case, without units and punctuation.
    pub words: String,
    /// The unit, currency or system it names; of several in parts above each other, the lowest.
    pub unit: Option<Unit>,
    /// The letters by which it is looked up.
    letters: String,
}

/// Words of a heading above several others that say nothing of what stands below: specifications, product, details.
const GROUPS: [&str; 30] = [
    "specification",
    "specifications",
    "specs",
    "technicaldata",
    "measures",
    "measurements",
    "details",
    "data",
    "general",
    "productdata",
    "productinformation",
    "shoe",
    "technischedaten",
    "spezifikation",
    "spezifikationen",
    "masse",
    "produktdaten",
    "caracteristiques",
    "donneestechniques",
    "fichetechnique",
    "specificaties",
    "technischegegevens",
    "productgegevens",
    "especificaciones",
    "datostecnicos",
    "caracteristicas",
    "specifiche",
    "datitecnici",
    "caratteristiche",
    "dimensions",
];

impl Heading {
    /// Takes a heading apart: `Heel stack mm`, `Größe (EU)`, `drop_mm`, `RRP EUR`, `Article no.`
    pub fn of(text: &str) -> Self {
        Self::of_parts(&[text])
    }

    /// A heading of several parts, from the top: a group, its own words, a row of units. Parts that say nothing, or the
    /// same again, change nothing; the lowest unit wins, being nearest to the values.
    pub fn of_parts(parts: &[&str]) -> Self {
        let mut heading = Self { words: String::new(), unit: None, letters: String::new() };
        let mut before = String::new();
        for part in parts {
            let (words, unit) = apart(part, !heading.words.is_empty());
            heading.unit = unit.or(heading.unit);
            if words.is_empty() || words == before {
                continue;
            }
            if GROUPS.contains(&heading.letters.as_str()) {
                heading.words.clear();
            }
            let gap = if heading.words.is_empty() { "" } else { " " };
            let _ = write!(heading.words, "{gap}{words}");
            heading.letters = folded(&heading.words);
            before = words;
        }
        heading
    }

    /// The column whose heading words these are; `None` when nobody knows them, or two columns claim them.
    pub fn column(&self) -> Option<&'static Column> {
        match self.columns().as_slice() {
            [column] => Some(column),
            _ => None,
        }
    }

    /// Every column that claims these words in some language. Two make the heading undecided.
    pub fn columns(&self) -> Vec<&'static Column> {
        let mut columns: Vec<&'static Column> = Vec::new();
        for word in of_letters(&self.letters) {
            if !columns.contains(&word.column) {
                columns.push(word.column);
            }
        }
        columns
    }

    /// The language it is written in, when that is plain: some words, such as `Drop`, belong to several.
    pub fn language(&self) -> Option<Language> {
        let languages: Vec<_> =
            of_letters(&self.letters).iter().map(|word: &KnownWord| word.language).collect();
        let first = languages.first().copied()?;
        languages.iter().all(|language| *language == first).then_some(first)
    }

    /// What it may be, best first, three at most; none when it is known.
    pub fn suggestions(&self) -> Vec<Suggestion> {
        if self.columns().is_empty() { suggest::of(&self.words, &self.letters) } else { Vec::new() }
    }

    /// The column whose words it is a slip of spelling from, the nearest first.
    pub fn near(&self) -> Option<&'static Column> {
        self.suggestions().into_iter().find(|suggestion| suggestion.slip).map(|suggestion| suggestion.column)
    }
}

/// Words and unit of one part. A length or a mass is never its first word, unless the part stands below others: `Cm`
/// alone would be a heading, and `In stock` names no inches.
fn apart(text: &str, below: bool) -> (String, Option<Unit>) {
    let visible: String = text.chars().filter(|c| !is_invisible(*c)).collect();
    let lower = visible.to_lowercase().replace('#', " no ");
    let split = lower.split(|c: char| c.is_whitespace() || "()[]{}_:;,|".contains(c));
    let tokens: Vec<&str> =
        split.map(|t| t.trim_matches(['.', '-', '/'])).filter(|t| !t.is_empty()).collect();
    let mut words: Vec<&str> = Vec::new();
    let mut units: Vec<Unit> = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let next = tokens.get(at + 1).map(|next| units_of(next));
        let said = match (*token, &next) {
            ("in" | "en", Some(units)) if !units.is_empty() => continue,
            ("in", Some(_)) => Vec::new(),
            _ => units_of(token),
        };
        let first = words.is_empty() && !below;
        let leads = matches!(said.as_slice(), [Unit::System(_) | Unit::Currency(_)]) && next.is_some();
        if said.is_empty() || (first && !leads) {
            words.extend(token.split(['.', '/', '-', '\'', '’', '\\']).filter(|word| !word.is_empty()));
        } else {
            units.extend(said);
        }
    }
    (words.join(" "), one_of(&units))
}

/// The units a token names: one, or several with bars between, such as `g/oz`.
fn units_of(token: &str) -> Vec<Unit> {
    if let Some(unit) = unit_of(token) {
        return vec![unit];
    }
    let each: Option<Vec<_>> = token.split('/').map(unit_of).collect();
    each.unwrap_or_default()
}

fn one_of(units: &[Unit]) -> Option<Unit> {
    let last = units.last().copied()?;
    let differ = units.iter().any(|unit| unit.is_like(last) && *unit != last);
    Some(if differ { Unit::Several } else { last })
}

#[cfg(test)]
mod tests;
