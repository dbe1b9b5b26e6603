//! From words to rows, straight from the postings: no text of a user reaches a query parser.
//!
//! All words are needed, each in its best field; the last one may be the beginning of a word. A row scores for each
//! word by BM25 in the best field, and by a tenth of the other fields, which is worked out when the postings are read.

use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use tantivy::SegmentReader;

use super::held::{Beginnings, Held};
use super::lexicon::Lexicon;
use super::scores::{Reading, Scores, best};
use super::tokens::Word;
use crate::snapshot::bits::Bits;

/// The rows of a beginning of so many characters are kept ready,
const KEPT_CHARS: usize = 3;
/// if the words with it stand in more than one in so many rows; the others are quickly read.
const KEPT_FROM: usize = 4;

/// A shoe is called by what the fields say whose boosts come before this place.
const CALLED_BY: u8 = 2;

/// The postings of one segment.
pub(super) struct Postings {
    pub(super) lexicon: Lexicon,
    pub(super) scores: Scores,
    pub(super) rows: usize,
    kept: HashMap<String, Arc<Beginnings>>,
}

/// Rows in order, each with its score.
type Scored<'a> = Cow<'a, [(u32, f32)]>;

impl Postings {
    /// The postings of a segment; no row of it is ever deleted.
    pub(super) fn of(segment: &SegmentReader) -> tantivy::Result<Self> {
        let mut reading = Reading::of(segment)?;
        let lexicon = Lexicon::of(segment, |entries| reading.add_word(entries))?;
        let scores = reading.scores();
        let mut postings = Self { lexicon, scores, rows: segment.max_doc() as usize, kept: HashMap::new() };
        postings.kept = postings.keep();
        Ok(postings)
    }

    /// The rows that hold all words.
    pub(super) fn held(&self, words: &[Word]) -> Held {
        let Some((last, before)) = words.split_last() else { return Held::scored(self.rows, Vec::new()) };
        if !last.may_be_cut() {
            return Held::scored(self.rows, self.held_whole(words));
        }
        let (begins, whole) = (self.begins(last), self.whole(last));
        if before.is_empty() {
            return Held::beginning(begins, whole.into_owned());
        }
        let mut all = self.held_whole(before);
        add_last(&mut all, &begins, &whole);
        Held::scored(self.rows, all)
    }

    /// The rows that hold all words whole, the last one too.
    pub(super) fn held_whole(&self, words: &[Word]) -> Vec<(u32, f32)> {
        let Some((first, others)) = words.split_first() else { return Vec::new() };
        let mut all = self.whole(first).into_owned();
        for word in others {
            keep_both(&mut all, &self.whole(word));
        }
        all
    }

    /// Whether a row of `live` is called by all words: as its name, number or maker.
    pub(super) fn is_called(&self, words: &[Word], live: &Bits) -> bool {
        let mut rows = live.clone();
        for word in words {
            let places = word.forms().filter_map(|form| self.lexicon.whole(form));
            let called = places.flat_map(|at| self.scores.of_words(at..at + 1));
            rows.keep(&Bits::of(
                self.rows,
                called.filter(|(_, boost)| *boost < CALLED_BY).map(|(row, _)| row),
            ));
        }
        !words.is_empty() && rows.count() > 0
    }

    /// The rows that hold a word in any of its forms, each by its best form and a share of the others.
    fn whole(&self, word: &Word) -> Scored<'_> {
        let mut forms = word.forms().filter_map(|form| self.lexicon.whole(form));
        match (forms.next(), forms.next()) {
            (None, _) => Cow::Borrowed(&[]),
            (Some(only), None) => Cow::Borrowed(self.scores.of_word(only)),
            (Some(one), Some(other)) => {
                let each = [one, other].map(|form| self.scores.of_word(form));
                Cow::Owned(best_of_each(each.concat()))
            }
        }
    }

    fn begins(&self, word: &Word) -> Arc<Beginnings> {
        let mut forms = word.forms();
        if let (Some(only), None) = (forms.next(), forms.next())
            && let Some(kept) = self.kept.get(only)
        {
            return kept.clone();
        }
        Arc::new(self.read(word.forms().map(|form| self.lexicon.beginning(form))))
    }

    fn read(&self, words: impl Iterator<Item = Range<usize>>) -> Beginnings {
        let mut begins = Beginnings::none(self.rows);
        for (row, boost) in words.flat_map(|words| self.scores.of_words(words)) {
            begins.insert(row, boost);
        }
        begins
    }

    /// The rows of the short beginnings that many words share.
    fn keep(&self) -> HashMap<String, Arc<Beginnings>> {
        let beginnings = (1..=KEPT_CHARS).flat_map(|chars| self.lexicon.beginnings(chars));
        let of_many = beginnings.filter_map(|beginning| {
            let words = self.lexicon.beginning(beginning);
            let many = self.scores.of_words(words.clone()).len() * KEPT_FROM > self.rows;
            many.then(|| (beginning.to_owned(), Arc::new(self.read(std::iter::once(words)))))
        });
        of_many.collect()
    }
}

/// Each row once, by the best of its scores and a share of the others.
fn best_of_each(mut each: Vec<(u32, f32)>) -> Vec<(u32, f32)> {
    // Stable, so that it finds the runs of which it is made.
    each.sort_by_key(|(row, _)| *row);
    let rows = each.chunk_by(|(row, _), (other, _)| row == other);
    rows.map(|same| (same[0].0, best(same.iter().map(|(_, score)| *score)))).collect()
}

/// Keeps the rows of both, their scores added.
fn keep_both(one: &mut Vec<(u32, f32)>, other: &[(u32, f32)]) {
    let mut others = other.iter().peekable();
    one.retain_mut(|(row, score)| {
        while others.next_if(|(other, _)| other < row).is_some() {}
        let same = others.peek().filter(|(other, _)| other == row);
        *score += same.map_or(0.0, |(_, other)| *other);
        same.is_some()
    });
}

/// Keeps the rows with the last word, or one that begins so, and adds the greater of the two scores.
fn add_last(all: &mut Vec<(u32, f32)>, begins: &Beginnings, whole: &[(u32, f32)]) {
    let mut others = whole.iter().peekable();
    all.retain_mut(|(row, sum)| {
        let Some(begins) = begins.score(*row) else { return false };
        while others.next_if(|(other, _)| other < row).is_some() {}
        let whole = others.peek().filter(|(other, _)| other == row);
        *sum += whole.map_or(begins, |(_, whole)| whole.max(begins));
        true
    });
}
