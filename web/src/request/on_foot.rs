//! The form of the shoes on the foot: one field a question and shoe, `heel.fennick.fm-310`.

use catalogue::key::{SkuKey, StyleKey};
use catalogue::stock::Sku;
use catalogue::trying::{Across, HeelHold, OnFoot, Runs, ToeRoom};
use indexer::snapshot::Snapshot;

use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::tries::{Tries, Try};
use crate::words;

/// Letters of a note at the most.
const NOTE: usize = 200;

/// The tick that says that the first shoe was put on once more.
pub const FIRST_AGAIN: &str = "first-again";

const NO_SIZE: &str =
    word!("This size is not one of the shoe, or no longer. Choose another, or leave it open.");
const NO_CHOICE: &str = word!("This answer is none of those offered. Choose one of them, or leave it open.");
const NO_RANK: &str =
    word!("A rank is 1 for the most comfortable, then 2, and so on. Choose one, or leave it open.");

/// The name of a field of a shoe.
pub fn field(question: &str, style: &StyleKey) -> String {
    format!("{question}.{style}")
}

/// What was typed of these shoes, as it will be kept; or everything that is wrong with it.
pub fn read(answers: &Answers, styles: &[StyleKey], snapshot: &Snapshot) -> Result<Tries, Vec<Problem>> {
    let (mut tries, mut problems) = (Tries::default(), Vec::new());
    for style in styles {
        tries.keep(Reader { answers, style, snapshot, problems: &mut problems }.shoe(styles.len()));
    }
    tries.first_again = answers.get(FIRST_AGAIN) == "yes";
    if problems.is_empty() { Ok(tries) } else { Err(problems) }
}

/// The same shoes as answers of the form.
pub fn typed(tries: &Tries) -> Answers {
    let mut answers = Vec::new();
    for shoe in &tries.shoes {
        let seen = &shoe.seen;
        let said = [
            ("left", shoe.left.as_ref().map(SkuKey::as_str)),
            ("right", shoe.right.as_ref().map(SkuKey::as_str)),
            ("heel", seen.heel.map(HeelHold::word)),
            ("across", seen.across.map(Across::word)),
            ("toes", seen.toes.map(ToeRoom::word)),
            ("runs", seen.runs.map(Runs::word)),
            ("note", Some(shoe.note.as_str())),
        ];
        let said = said.into_iter().filter_map(|(name, value)| Some((name, value?.to_owned())));
        let rank = shoe.rank.map(|rank| ("rank", rank.to_string()));
        answers.extend(said.chain(rank).map(|(name, value)| (field(name, &shoe.style), value)));
    }
    answers.extend(tries.first_again.then(|| (FIRST_AGAIN.to_owned(), "yes".to_owned())));
    Answers(answers)
}

struct Reader<'a> {
    answers: &'a Answers,
    style: &'a StyleKey,
    snapshot: &'a Snapshot,
    problems: &'a mut Vec<Problem>,
}

impl Reader<'_> {
    fn shoe(&mut self, shoes: usize) -> Try {
        let seen = OnFoot {
            heel: self.word("heel", HeelHold::from_word),
            across: self.word("across", Across::from_word),
            toes: self.word("toes", ToeRoom::from_word),
            runs: self.word("runs", Runs::from_word),
        };
        let (left, right) = (self.size("left"), self.size("right"));
        let rank = self.said("rank", words::of(NO_RANK), |text| {
            text.parse().ok().filter(|rank| (1..=shoes).contains(&usize::from(*rank)))
        });
        Try { style: self.style.clone(), left, right, seen, rank, note: self.note() }
    }

    fn size(&mut self, foot: &str) -> Option<SkuKey> {
        let card = self.snapshot.style(self.style);
        let own = card.map_or(&[][..], |card| card.skus);
        self.said(foot, words::of(NO_SIZE), |text| own.iter().map(Sku::key).find(|key| key.as_str() == text))
    }

    fn word<T>(&mut self, question: &str, read: impl Fn(&str) -> Option<T>) -> Option<T> {
        self.said(question, words::of(NO_CHOICE), read)
    }

    /// The answer to a question; a blank is not asked, and what cannot be read is a problem.
    fn said<T>(&mut self, question: &str, wrong: &str, read: impl Fn(&str) -> Option<T>) -> Option<T> {
        let name = field(question, self.style);
        let text = self.answers.get(&name).trim();
        if text.is_empty() {
            return None;
        }
        let value = read(text);
        if value.is_none() {
            self.problems.push(Problem { field: name, say: wrong.to_owned() });
        }
        value
    }

    fn note(&mut self) -> String {
        let name = field("note", self.style);
        let text = self.answers.get(&name).trim();
        let letters = text.chars().count();
        if letters > NOTE || text.chars().any(|letter| letter.is_control() && !letter.is_whitespace()) {
            let say = say!(
                "The note has {letters} letters, or signs that are none; {value} are kept. Shorten it.",
                letters,
                value = NOTE
            );
            self.problems.push(Problem { field: name, say });
            return String::new();
        }
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::labels::ON_FOOT;

    fn words(question: &str) -> Vec<&'static str> {
        match question {
            "heel" => HeelHold::ALL.iter().map(|word| word.word()).collect(),
            "across" => Across::ALL.iter().map(|word| word.word()).collect(),
            "toes" => ToeRoom::ALL.iter().map(|word| word.word()).collect(),
            "runs" => Runs::ALL.iter().map(|word| word.word()).collect(),
            other => panic!("nobody asks {other}"),
        }
    }

    #[test]
    fn every_word_of_the_domain_is_offered_and_no_other() {
        for (question, _, choices) in ON_FOOT {
            assert_eq!(
                choices.iter().map(|(word, _)| *word).collect::<Vec<_>>(),
                words(question),
                "{question}"
            );
        }
    }
}
