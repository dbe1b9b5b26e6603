//! What is done when no shoe holds all words as they were typed, in this order, each step only if the one before it
//! finds nothing: without words that say nothing of a shoe; two words as one and one as two; letters that may be wrong;
//! all words but one. Whatever was done is told. Words that the shop has given another meaning are looked up in both from the start.

use super::ask::Postings;
use super::held::Held;
use super::near::{allowed, wrong_letters};
use super::question::{How, Part, Question, Reading, as_typed};
use super::synonyms::Synonyms;
use super::tokens::Word;
use super::told::{ReadAs, Told};
use crate::snapshot::bits::Bits;

/// As many words are tried for one that may be wrong.
const MOST_CANDIDATES: usize = 4;
/// The fewest letters of a piece of a word.
const SHORTEST_PIECE: usize = 2;
/// What joins the pieces of a German word and belongs to neither: *Straße(n)schuh*, *Wettkampf(s)schuh*.
const LINKS: [&str; 5] = ["", "s", "n", "en", "es"];

/// Words around a name that say nothing of a shoe, in English and in German.
const FILLERS: [&str; 22] = [
    "a", "an", "the", "one", "ones", "with", "in", "for", "and", "shoe", "shoes", "der", "die", "das", "den",
    "ein", "eine", "einen", "mit", "und", "schuh", "schuhe",
];

/// Which slips are thought of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Slips {
    /// Words that no shoe has, meant as one of the words nearest to them.
    NearestOfUnknown,
    /// The same, meant as any word that is near enough.
    OfUnknown,
    /// Of other words too: a slip may be a word.
    OfAll,
}

/// What the rows of a question add up to.
#[derive(Clone, Copy, Default)]
struct Sum {
    /// The parts that the row holds, as bits.
    parts: u16,
    /// What they count, in quarters.
    quarters: u8,
    /// Their relevance, each between 0 and 1.
    relevance: f32,
}

/// An answer on the way: what each row adds up to, and the rows that do.
struct Found {
    sums: Vec<Sum>,
    rows: Bits,
}

impl Postings {
    /// The rows of `live` that answer a question, and what was done to find them. Rows that are not live may be among
    /// them, as long as one is that is.
    pub(super) fn answer(&self, words: Vec<Word>, synonyms: &Synonyms, live: &Bits) -> (Held, Told) {
        let means_more = !synonyms.in_question(&words).is_empty();
        if !means_more {
            let held = self.held(&words);
            if held.rows.meets(live) {
                return (held, Told::plain(words));
            }
        }
        let question = as_typed(&words, synonyms);
        if means_more {
            let found = self.found(&question, 0, live);
            if found.rows.meets(live) {
                return self.told(&question, &found, live, 0);
            }
        }
        self.steps(question, live)
    }

    /// The steps for a question that finds nothing as it was typed.
    fn steps(&self, question: Question, live: &Bits) -> (Held, Told) {
        let (fillers, question) = fillers_and_words(question);
        let (held, mut told) = self.without_fillers(&question, live, !fillers.is_empty());
        told.left_out.splice(0..0, fillers.iter().map(Part::as_typed));
        (held, told)
    }

    fn without_fillers(&self, question: &Question, live: &Bits, is_new: bool) -> (Held, Told) {
        let typed = is_new.then(|| question.clone());
        let pieced = self.joined(question).into_iter().chain([self.split(question)]);
        if let Some((question, found)) = self.first_that_finds(typed.into_iter().chain(pieced), live) {
            return self.told(&question, &found, live, 0);
        }
        let slips = [Slips::NearestOfUnknown, Slips::OfUnknown, Slips::OfAll];
        let [nearest, mended, all] = slips.map(|slips| self.corrected(self.split(question), slips));
        if let Some((question, found)) = self.first_that_finds([nearest, mended.clone(), all], live) {
            return self.told(&question, &found, live, 0);
        }
        let missing = u32::from(mended.len() > 1);
        let found = self.found(&mended, missing, live);
        self.told(&mended, &found, live, missing)
    }

    fn first_that_finds(
        &self,
        tries: impl IntoIterator<Item = Question>,
        live: &Bits,
    ) -> Option<(Question, Found)> {
        tries.into_iter().find_map(|question| {
            let found = self.found(&question, 0, live);
            found.rows.meets(live).then_some((question, found))
        })
    }

    /// The question with two words next to each other as one, for each two of which that is a word.
    fn joined(&self, question: &Question) -> Vec<Question> {
        let pairs = question.windows(2).enumerate();
        let joined = pairs.filter_map(|(at, pair)| {
            let typed = [pair[0].typed.as_slice(), &pair[1].typed].concat();
            let letters: String = typed.iter().map(|word| word.folded.as_str()).collect();
            let cut = at + 2 == question.len();
            let known = self.knows(&letters) || cut && self.knows_beginning(&letters);
            let reading = Reading { words: vec![Word::indexed(&letters)], cut, how: How::Pieced };
            let mut joined = question.clone();
            joined.splice(at..at + 2, [Part { typed, readings: vec![reading] }]);
            known.then_some(joined)
        });
        joined.collect()
    }

    /// The question with each word that no shoe holds as two, too.
    fn split(&self, question: &Question) -> Question {
        let mut split = question.clone();
        for part in &mut split {
            let [word] = &part.typed[..] else { continue };
            if !word.is_exact() && !self.knows(&word.folded) {
                part.readings.extend(self.pieces_of(&word.folded).map(|pieces| Reading {
                    words: pieces.map(|piece| Word::indexed(&piece)).to_vec(),
                    cut: false,
                    how: How::Pieced,
                }));
            }
        }
        split
    }

    /// The ways in which a word is two known ones, with or without what links them.
    fn pieces_of<'w>(&self, word: &'w str) -> impl Iterator<Item = [String; 2]> + use<'w, '_> {
        let borders = word.char_indices().map(|(at, _)| at).skip(SHORTEST_PIECE);
        let pairs = borders
            .map(|at| word.split_at(at))
            .filter(|(_, last)| last.chars().count() >= SHORTEST_PIECE && self.knows(last));
        pairs.flat_map(|(first, last)| {
            let firsts = LINKS.iter().filter_map(|link| first.strip_suffix(link));
            let firsts = firsts.filter(|first| first.chars().count() >= SHORTEST_PIECE && self.knows(first));
            firsts.map(|first| [first.to_owned(), last.to_owned()])
        })
    }

    /// The question with the words that each word may be a slip of, too.
    fn corrected(&self, mut question: Question, slips: Slips) -> Question {
        for part in &mut question {
            let [word] = &part.typed[..] else { continue };
            if slips != Slips::OfAll && self.knows(&word.folded) {
                continue;
            }
            let mut candidates = self.candidates(word);
            if slips == Slips::NearestOfUnknown {
                let nearest = candidates.first().map(|(wrong, _)| *wrong);
                candidates.retain(|(wrong, _)| Some(*wrong) == nearest);
            }
            let candidates = candidates.into_iter().map(|(wrong, meant)| Reading {
                words: vec![Word::indexed(meant)],
                cut: false,
                how: How::Corrected { wrong },
            });
            part.readings.extend(candidates);
        }
        question
    }

    /// The known words nearest to one: fewest wrong letters first, then those of most shoes.
    fn candidates(&self, typed: &Word) -> Vec<(u8, &str)> {
        let most = if typed.is_exact() { 0 } else { allowed(&typed.folded) };
        if most == 0 {
            return Vec::new();
        }
        let near = self.lexicon.of_about(typed.folded.len(), usize::from(most)).filter_map(|at| {
            let known = self.lexicon.text_of(at)?;
            let wrong = wrong_letters(&typed.folded, known, most)?;
            Some((wrong, std::cmp::Reverse(self.scores.of_word(at).len()), known))
        });
        let mut near: Vec<_> = near.filter(|(wrong, ..)| *wrong > 0).collect();
        near.sort_unstable();
        near.truncate(MOST_CANDIDATES);
        near.into_iter().map(|(wrong, _, known)| (wrong, known)).collect()
    }

    /// The live rows that hold all parts but so many.
    fn found(&self, question: &Question, missing: u32, live: &Bits) -> Found {
        let mut sums = vec![Sum::default(); self.rows];
        for (bit, part) in question.iter().enumerate() {
            for (row, (quarters, score)) in self.best_of(part) {
                let sum = &mut sums[row as usize];
                sum.parts |= 1 << bit;
                sum.quarters += quarters;
                sum.relevance += score / (score + 1.0);
            }
        }
        let needed = (question.len() as u32).saturating_sub(missing);
        let rows = (0..).zip(&sums).filter(|(_, sum)| sum.parts.count_ones() >= needed.max(1));
        let rows = Bits::of(self.rows, rows.map(|(row, _)| row).filter(|row| live.holds(*row)));
        Found { sums, rows }
    }

    /// Each row that holds a part in one of its readings: what the best counts, and how well it does.
    fn best_of(&self, part: &Part) -> Vec<(u32, (u8, f32))> {
        let of = |reading: &Reading| {
            let quarters = reading.how.quarters();
            self.rows_of(reading).into_iter().map(move |(row, score)| (row, (quarters, score)))
        };
        let mut all: Vec<_> = part.readings.iter().flat_map(of).collect();
        all.sort_by(|(row, one), (other_row, other)| {
            row.cmp(other_row).then(other.0.cmp(&one.0)).then(other.1.total_cmp(&one.1))
        });
        all.dedup_by_key(|(row, _)| *row);
        all
    }

    fn rows_of(&self, reading: &Reading) -> Vec<(u32, f32)> {
        if reading.cut { self.held(&reading.words).all() } else { self.held_whole(&reading.words) }
    }

    /// The answer, and what was done: readings that a found row holds, and parts that one lacks.
    fn told(&self, question: &Question, found: &Found, live: &Bits, missing: u32) -> (Held, Told) {
        let mut told = Told::of(question);
        for part in question {
            let found_in = |reading: &&Reading| {
                reading.how != How::Typed
                    && self.rows_of(reading).iter().any(|(row, _)| found.rows.holds(*row))
            };
            let read: Vec<&Reading> = part.readings.iter().filter(found_in).collect();
            told.take(part, &read, |reading| {
                self.rows_of(reading).iter().map(|(row, _)| *row).find(|row| live.holds(*row))
            });
        }
        if missing > 0 {
            let lacks =
                |bit: usize| found.rows.rows().any(|row| found.sums[row as usize].parts >> bit & 1 == 0);
            let lacking = question.iter().enumerate().filter(|(bit, _)| lacks(*bit));
            let lacking: Vec<String> = lacking.map(|(_, part)| part.as_typed()).collect();
            let by_all = lacking.len() == 1;
            *(if by_all { &mut told.left_out } else { &mut told.all_but_one_of }) = lacking;
        }
        let most = question.len().max(1) as f32;
        let score = |row: u32| {
            let sum = &found.sums[row as usize];
            f32::from(sum.quarters) / 4.0 + 0.24 * sum.relevance / most
        };
        (Held::scored(self.rows, found.rows.rows().map(|row| (row, score(row))).collect()), told)
    }

    fn knows(&self, word: &str) -> bool {
        self.lexicon.whole(word).is_some()
    }

    fn knows_beginning(&self, word: &str) -> bool {
        !self.lexicon.beginning(word).is_empty()
    }
}

impl ReadAs {
    /// Whether letters of it were wrong.
    pub fn is_corrected(&self) -> bool {
        matches!(self.how, How::Corrected { .. })
    }
}

/// The parts of a question that are fillers, and the others; none is a filler when all would be.
fn fillers_and_words(question: Question) -> (Vec<Part>, Question) {
    let is_filler =
        |part: &Part| matches!(&part.typed[..], [word] if FILLERS.contains(&word.folded.as_str()));
    if question.iter().all(is_filler) {
        return (Vec::new(), question);
    }
    question.into_iter().partition(is_filler)
}

#[cfg(test)]
#[path = "otherwise_tests.rs"]
mod tests;
