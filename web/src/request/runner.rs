//! The runner as a form or a file says it ([`RunnerForm`]), and the way from there to a [`Runner`] and back.
//!
//! A form is flat: `size.system`, `run.strike`, `flags.bone_pain_spot`, `injury.achilles.recent`. Blank, null or left
//! out is *not asked*. A key nobody knows is refused, for it may be a red flag with a slip of the pen in it.

use std::collections::BTreeSet;
use std::fmt;

use catalogue::key::StyleKey;
use catalogue::runner::Runner;

use super::runner_draft::Draft;
use super::runner_fields::{self, FIELDS, Field};
pub use super::runner_fields::{Shape, keys};
use super::runner_file;
use super::runner_injuries;
use super::wrong::Wrong;
use crate::refusal::PlacedError;
use crate::words;

/// What was said, as typed and unchecked. No `Debug`: it must not reach a log by way of a slip.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct RunnerForm {
    said: Vec<Said>,
}

/// One answer as typed: one text, or several for a list.
#[derive(Clone, PartialEq, Eq)]
pub(super) struct Said {
    pub(super) place: Place,
    pub(super) texts: Vec<String>,
}

/// Where an answer stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The line of the file, from 1.
    pub line: Option<usize>,
    /// Table and key, such as `run.strike`; empty for the file as a whole.
    pub key: String,
}

/// An answer that cannot be taken, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunnerFault {
    /// Where.
    pub place: Place,
    /// What was read, what is wrong with it, what to write instead.
    pub say: String,
}

/// More characters of a key are not printed: the longest known one has 41, and a key may hold anything.
const LONGEST_KEY: usize = 80;
/// A posted form has no more fields than this.
const MOST_FIELDS: usize = 300;

impl RunnerForm {
    /// Reads a runner file.
    ///
    /// # Errors
    /// What keeps it from being taken apart; unknown keys and words are found by [`Self::to_runner`].
    pub fn from_toml(text: &str) -> Result<Self, Vec<RunnerFault>> {
        runner_file::of_toml(text).map(|said| Self { said })
    }

    /// Reads the runner file's tables as one JSON object; null is *not asked*.
    ///
    /// # Errors
    /// As [`Self::from_toml`].
    pub fn from_json(bytes: &[u8]) -> Result<Self, Vec<RunnerFault>> {
        runner_file::of_json(bytes).map(|said| Self { said })
    }

    /// Reads the body of a posted form; a name that stands several times is a list.
    ///
    /// # Errors
    /// More fields than any of our forms has.
    pub fn from_posted(body: &[u8]) -> Result<Self, Vec<RunnerFault>> {
        let mut form = Self::default();
        for (fields, (key, text)) in form_urlencoded::parse(body).enumerate() {
            if fields == MOST_FIELDS {
                let say = say!(
                    "the form has more than {value} fields; post the page's own form",
                    value = MOST_FIELDS
                );
                return Err(vec![RunnerFault::of_file(None, &say)]);
            }
            form.add(&key, text.into_owned());
        }
        Ok(form)
    }

    /// The form that says what is known of `runner`, so that a page can show what was answered.
    pub fn from_runner(runner: &Runner) -> Self {
        let mut form = Self::default();
        for (key, text) in runner_fields::written(runner).chain(runner_injuries::written(runner)) {
            form.add(&key, text);
        }
        form
    }

    /// This form with everything that `later` answers, or blanks, in place of what stood there.
    #[must_use]
    pub fn with(mut self, later: Self) -> Self {
        self.said.retain(|said| later.find(&said.place.key).is_none());
        self.said.extend(later.said);
        self
    }

    /// The text that was typed for `key`, the first of a list; `None` when it was not asked.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.all(key).first().map(String::as_str).filter(|text| !text.trim().is_empty())
    }

    /// All texts that were typed for `key`.
    pub fn all(&self, key: &str) -> &[String] {
        self.find(key).map_or(&[], |said| &said.texts)
    }

    /// Name and value of every field, in the order in which they were said: for hidden fields.
    pub fn to_pairs(&self) -> Vec<(&str, &str)> {
        self.said.iter().flat_map(Said::pairs).collect()
    }

    /// The runner, or everything that is wrong, in the order of the file or of the registry. `exists` says whether the catalogue has a style,
    /// retired ones included.
    ///
    /// # Errors
    /// Unknown keys and words, numbers out of range, answers that contradict each other.
    pub fn to_runner(&self, exists: &dyn Fn(&StyleKey) -> bool) -> Result<Runner, Vec<RunnerFault>> {
        let mut faults = self.strangers();
        let mut draft = Draft::default();
        for field in FIELDS {
            self.read_field(field, &mut draft).unwrap_or_else(|fault| faults.push(fault));
        }
        runner_injuries::read(self, &mut draft.runner, &mut faults);
        let runner = draft.finished(exists, |key, say| faults.push(RunnerFault::new(self.place(key), say)));
        faults.sort_by_key(|fault| fault.place.line);
        if faults.is_empty() { Ok(runner) } else { Err(faults) }
    }

    fn read_field(&self, field: &Field, draft: &mut Draft) -> Result<(), RunnerFault> {
        let texts = self.all(field.key);
        field.read(draft, texts).map_err(|(text, wrong)| self.fault(field.key, &text, &wrong))
    }

    /// Keys nobody knows, and keys answered twice.
    fn strangers(&self) -> Vec<RunnerFault> {
        let mut seen = BTreeSet::new();
        let judge = |said: &Said| {
            let key = said.place.key.as_str();
            let say = if !seen.insert(key.to_owned()) {
                say!("is answered twice; keep one of the two").to_owned()
            } else if runner_fields::is_known(key) || runner_injuries::is_known(key) {
                return None;
            } else {
                runner_fields::unknown(key)
            };
            Some(RunnerFault::new(said.place.clone(), say))
        };
        self.said.iter().filter_map(judge).collect()
    }

    /// The keys that were said, blanks aside.
    pub(super) fn answered_keys(&self) -> impl Iterator<Item = &str> {
        let answered = |said: &&Said| said.texts.iter().any(|text| !text.trim().is_empty());
        self.said.iter().filter(answered).map(|said| said.place.key.as_str())
    }

    /// The fault of the text that was read under `key`.
    pub(super) fn fault(&self, key: &str, text: &str, wrong: &Wrong) -> RunnerFault {
        RunnerFault::new(self.place(key), format!("{} {wrong}", words::quoted(shown(text))))
    }

    /// Where `key` stands; a key that was left out has no line.
    pub(super) fn place(&self, key: &str) -> Place {
        self.find(key).map_or(Place { line: None, key: key.to_owned() }, |said| said.place.clone())
    }

    fn find(&self, key: &str) -> Option<&Said> {
        self.said.iter().find(|said| said.place.key == key)
    }

    fn add(&mut self, key: &str, text: String) {
        if let Some(said) = self.said.iter_mut().find(|said| said.place.key == key) {
            said.texts.push(text);
            return;
        }
        let place = Place { line: None, key: key.to_owned() };
        self.said.push(Said { place, texts: vec![text] });
    }
}

impl Said {
    fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.texts.iter().map(|text| (self.place.key.as_str(), text.as_str()))
    }
}

impl RunnerFault {
    pub(super) fn new(place: Place, say: impl Into<String>) -> Self {
        Self { place, say: say.into() }
    }

    /// A fault of the file as a whole.
    pub(super) fn of_file(line: Option<usize>, say: &str) -> Self {
        Self::new(Place { line, key: String::new() }, say)
    }
}

impl From<RunnerFault> for PlacedError {
    fn from(fault: RunnerFault) -> Self {
        Self { place: fault.place.to_string(), say: format!("{}.", fault.say) }
    }
}

impl fmt::Display for RunnerFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}.", self.place, self.say)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.key.as_str()) {
            (Some(line), "") => f.write_str(&say!("line {line}", line)),
            (Some(line), key) => {
                f.write_str(&say!("line {line}, {tame}", line, tame = tame(key, LONGEST_KEY)))
            }
            (None, "") => f.write_str(say!("the runner file")),
            (None, key) => f.write_str(&tame(key, LONGEST_KEY)),
        }
    }
}

/// As much of a text as a sentence bears, without what would move a terminal's cursor.
pub fn shown(text: &str) -> String {
    tame(text, 40)
}

fn tame(text: &str, most: usize) -> String {
    let plain = |c: char| if c.is_control() { '\u{fffd}' } else { c };
    let cut: String = text.chars().take(most).map(plain).collect();
    if text.chars().count() > most { format!("{cut}…") } else { cut }
}

#[cfg(test)]
#[path = "runner_tests.rs"]
mod tests;
