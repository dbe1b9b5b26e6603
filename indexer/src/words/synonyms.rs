//! What a word means besides itself in this shop, as its owner has written it down.
//!
//! One line each: `sky, azure, light blue` finds the others with each of them; `rain => waterproof` finds shoes that say
//! *waterproof* for whoever asks for *rain*, and not the other way round. What stands behind a `#` is a remark.

use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

use super::tokens::Word;

/// The most lines that are read.
pub const MOST_LINES: usize = 500;
/// The most words of one name for a thing.
const MOST_WORDS: usize = 4;

/// The words that stand for others.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Synonyms {
    lines: String,
    /// By the first word of what is typed.
    by_first: HashMap<String, Vec<Rule>>,
}

/// Who types the one finds the others too.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Rule {
    typed: Vec<Word>,
    meant: Vec<Vec<Word>>,
}

/// A line that means nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SynonymFault {
    /// Its number, from 1.
    pub line: usize,
    /// What is wrong with it, and what to write.
    pub why: SynonymWrong,
}

/// What is wrong with a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SynonymWrong {
    /// One name and nothing beside it.
    #[error("it names one thing only: write another name behind a comma, or behind =>")]
    Alone,
    /// A name without a letter and a digit.
    #[error("a name in it has no letter and no digit: leave out the comma or write the name")]
    Blank,
    /// More than one arrow.
    #[error("it has more than one =>: write two lines")]
    Arrows,
    /// A name too long to be looked up.
    #[error("a name in it has more than four words, or a very long one: shorten it")]
    TooLong,
    /// More lines than are read.
    #[error("there are more than 500 lines: leave some out")]
    TooMany,
}

impl Synonyms {
    /// Reads lines; all that is wrong with them at once.
    pub fn read(lines: &str) -> Result<Self, Vec<SynonymFault>> {
        let mut read = Self { lines: lines.trim().to_owned(), by_first: HashMap::new() };
        let mut faults = Vec::new();
        for (line, text) in lines.lines().enumerate() {
            let fault = |why| SynonymFault { line: line + 1, why };
            if line == MOST_LINES {
                faults.push(fault(SynonymWrong::TooMany));
                break;
            }
            match rules(text.split('#').next().unwrap_or_default().trim()) {
                Ok(rules) => rules.into_iter().for_each(|rule| read.add(rule)),
                Err(why) => faults.push(fault(why)),
            }
        }
        if faults.is_empty() { Ok(read) } else { Err(faults) }
    }

    /// The lines as they were written.
    pub fn lines(&self) -> &str {
        &self.lines
    }

    /// Every name in the lines as it was typed, each once and in order.
    pub fn names(&self) -> impl Iterator<Item = String> {
        let typed =
            |name: &Vec<Word>| name.iter().map(|word| word.typed.as_str()).collect::<Vec<_>>().join(" ");
        let rules = self.by_first.values().flatten();
        let names: BTreeSet<String> =
            rules.flat_map(|rule| [&rule.typed].into_iter().chain(&rule.meant).map(typed)).collect();
        names.into_iter()
    }

    fn add(&mut self, rule: Rule) {
        if let Some(first) = rule.typed.first() {
            self.by_first.entry(first.folded.clone()).or_default().push(rule);
        }
    }

    /// Where in a question names stand that mean something besides, and what. The longest name counts, and of names
    /// that overlap the first.
    pub(super) fn in_question(&self, words: &[Word]) -> Vec<(Range<usize>, Vec<&[Word]>)> {
        let mut found = Vec::new();
        let mut at = 0;
        while !self.by_first.is_empty() && at < words.len() {
            let rest = &words[at..];
            let rules = self.by_first.get(&rest[0].folded).map_or(&[][..], Vec::as_slice);
            let begins = |rule: &&Rule| same(&rule.typed, rest);
            let longest = rules.iter().filter(begins).map(|rule| rule.typed.len()).max();
            let Some(length) = longest else {
                at += 1;
                continue;
            };
            let own = rules.iter().filter(begins).filter(|rule| rule.typed.len() == length);
            found.push((at..at + length, own.flat_map(|rule| &rule.meant).map(Vec::as_slice).collect()));
            at += length;
        }
        found
    }
}

/// Whether a question begins with a name.
fn same(name: &[Word], question: &[Word]) -> bool {
    name.len() <= question.len() && name.iter().zip(question).all(|(one, other)| one.folded == other.folded)
}

fn rules(line: &str) -> Result<Vec<Rule>, SynonymWrong> {
    if line.is_empty() {
        return Ok(Vec::new());
    }
    let sides: Vec<&str> = line.split("=>").collect();
    match sides[..] {
        [names] => {
            let names = names_of(names)?;
            let others = |own: usize| names.iter().enumerate().filter(move |(at, _)| *at != own);
            let rule = |own: usize| Rule {
                typed: names[own].clone(),
                meant: others(own).map(|(_, name)| name.clone()).collect(),
            };
            if names.len() < 2 { Err(SynonymWrong::Alone) } else { Ok((0..names.len()).map(rule).collect()) }
        }
        [typed, meant] => {
            let meant = names_of(meant)?;
            let rule = |typed| Rule { typed, meant: meant.clone() };
            Ok(names_of(typed)?.into_iter().map(rule).collect())
        }
        _ => Err(SynonymWrong::Arrows),
    }
}

fn names_of(names: &str) -> Result<Vec<Vec<Word>>, SynonymWrong> {
    names.split(',').map(name).collect()
}

fn name(text: &str) -> Result<Vec<Word>, SynonymWrong> {
    let words = Word::read(text).map_err(|_| SynonymWrong::TooLong)?;
    match words.len() {
        0 => Err(SynonymWrong::Blank),
        1..=MOST_WORDS => Ok(words),
        _ => Err(SynonymWrong::TooLong),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where in the question something fires, and what is meant there.
    fn fired(lines: &str, question: &str) -> Vec<(Range<usize>, Vec<String>)> {
        let synonyms = Synonyms::read(lines).unwrap();
        let question = Word::read(question).unwrap();
        let said = |name: &[Word]| name.iter().map(|w| w.folded.as_str()).collect::<Vec<_>>().join(" ");
        let found = synonyms.in_question(&question);
        found.into_iter().map(|(at, meant)| (at, meant.into_iter().map(said).collect())).collect()
    }

    #[test]
    fn names_with_commas_find_each_other_and_an_arrow_leads_one_way() {
        let lines = "sky, azure, light blue  # colours\n\nrain, wet => waterproof\n";
        assert_eq!(fired(lines, "azure"), [(0..1, vec!["sky".to_owned(), "light blue".to_owned()])]);
        assert_eq!(fired(lines, "men light blue"), [(1..3, vec!["sky".to_owned(), "azure".to_owned()])]);
        assert_eq!(fired(lines, "Wet"), [(0..1, vec!["waterproof".to_owned()])]);
        assert_eq!(fired(lines, "waterproof light"), []);
        assert_eq!(Synonyms::read(lines).unwrap().lines(), lines.trim());
    }

    #[test]
    fn the_longest_name_counts_and_a_name_of_two_lines_means_both() {
        let lines = "light => thin\nlight blue => sky\nlight blue => azure";
        assert_eq!(fired(lines, "light blue"), [(0..2, vec!["sky".to_owned(), "azure".to_owned()])]);
        assert_eq!(fired(lines, "light"), [(0..1, vec!["thin".to_owned()])]);
    }

    #[test]
    fn every_wrong_line_is_named_with_what_to_write() {
        let faults = Synonyms::read("sky\nsky, \na => b => c\none two three four five, six").unwrap_err();
        let said: Vec<_> = faults.iter().map(|fault| (fault.line, fault.why)).collect();
        let wrong = [SynonymWrong::Alone, SynonymWrong::Blank, SynonymWrong::Arrows, SynonymWrong::TooLong];
        assert_eq!(said, (1..).zip(wrong).collect::<Vec<_>>());
        let many = "a, b\n".repeat(MOST_LINES + 5);
        let fault = SynonymFault { line: MOST_LINES + 1, why: SynonymWrong::TooMany };
        assert_eq!(Synonyms::read(&many).unwrap_err(), [fault]);
    }
}
