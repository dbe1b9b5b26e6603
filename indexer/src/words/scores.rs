//! The postings of one segment read into memory once: the rows of every word, merged over all fields, each with its
//! score.
//!
//! They stand in the order of the words of the lexicon, so that the rows of all words that begin alike are one piece.

use std::ops::Range;
use std::sync::Arc;

use tantivy::SegmentReader;
use tantivy::fieldnorm::FieldNormReader;
use tantivy::index::InvertedIndexReader;
use tantivy::query::Bm25Weight;
use tantivy::schema::IndexRecordOption;

use super::build::{FIELDS, fields};
use super::held::boost_place;
use super::lexicon::Entry;

/// What the other scores add to the best one, as a share.
const TIE: f32 = 0.1;

/// The rows of every word in order, 9 bytes each.
pub(super) struct Scores {
    /// Each row with its score.
    scored: Vec<(u32, f32)>,
    /// What the best field of each counts, as a place among the boosts.
    boosts: Vec<u8>,
    /// Where the rows of each word end.
    ends: Vec<u32>,
}

/// One field of the index.
struct OfField {
    index: Arc<InvertedIndexReader>,
    lengths: FieldNormReader,
    /// The weight of a word that stands in one row.
    rarest: Bm25Weight,
    boost: f32,
}

/// A row that holds a word in some field.
struct Posting {
    row: u32,
    score: f32,
    boost: u8,
}

/// What reads the rows of one word after the other.
pub(super) struct Reading {
    rows: u32,
    fields: Vec<OfField>,
    read: Scores,
    /// The rows of the word in hand.
    postings: Vec<Posting>,
}

impl Reading {
    /// The reader of a segment; no row of it is ever deleted.
    pub(super) fn of(segment: &SegmentReader) -> tantivy::Result<Self> {
        let rows = segment.max_doc();
        let fields = fields().zip(FIELDS).map(|(field, (_, boost))| {
            let (index, lengths) = (segment.inverted_index(field)?, segment.get_fieldnorms_reader(field)?);
            let average = index.total_num_tokens() as f32 / rows as f32;
            let rarest = Bm25Weight::for_one_term_without_explain(1, rows.into(), average);
            Ok(OfField { index, lengths, rarest, boost })
        });
        let fields = fields.collect::<tantivy::Result<_>>()?;
        let read = Scores { scored: Vec::new(), boosts: Vec::new(), ends: Vec::new() };
        Ok(Self { rows, fields, read, postings: Vec::new() })
    }

    /// Reads the next word in the fields that hold it.
    pub(super) fn add_word(&mut self, entries: &[Entry]) -> tantivy::Result<()> {
        for entry in entries {
            self.fields[entry.field].read(entry, self.rows, &mut self.postings)?;
        }
        // Stable, so that it finds the runs of which it is made.
        self.postings.sort_by_key(|posting| posting.row);
        for same in self.postings.chunk_by(|one, other| one.row == other.row) {
            self.read.scored.push((same[0].row, best(same.iter().map(|posting| posting.score))));
            self.read.boosts.extend(same.iter().map(|posting| posting.boost).min());
        }
        self.postings.clear();
        self.read.ends.push(self.read.scored.len() as u32);
        Ok(())
    }

    /// The rows of all words that were added.
    pub(super) fn scores(self) -> Scores {
        self.read
    }
}

impl Scores {
    /// The rows of one word with their scores, in order.
    pub(super) fn of_word(&self, word: usize) -> &[(u32, f32)] {
        &self.scored[self.places(word..word + 1)]
    }

    /// The rows of some words, one word after the other, each with the place of what its best field counts.
    pub(super) fn of_words(&self, words: Range<usize>) -> impl ExactSizeIterator<Item = (u32, u8)> {
        let places = self.places(words);
        self.scored[places.clone()].iter().zip(&self.boosts[places]).map(|((row, _), boost)| (*row, *boost))
    }

    fn places(&self, words: Range<usize>) -> Range<usize> {
        let start = |word: usize| if word == 0 { 0 } else { self.ends[word - 1] as usize };
        start(words.start)..start(words.end)
    }
}

impl OfField {
    fn read(&self, entry: &Entry, rows: u32, postings: &mut Vec<Posting>) -> tantivy::Result<()> {
        let rarity = rarity(entry.info.doc_freq, rows) / rarity(1, rows);
        let weight = self.rarest.boost_by(rarity * self.boost);
        let boost = boost_place(entry.field) as u8;
        let freqs = IndexRecordOption::WithFreqs;
        let mut block = self.index.read_block_postings_from_terminfo(&entry.info, freqs)?;
        while !block.docs().is_empty() {
            let rows = block.docs().iter().zip(block.freqs());
            postings.extend(rows.map(|(row, n)| {
                let score = weight.score(self.lengths.fieldnorm_id(*row), *n);
                Posting { row: *row, score, boost }
            }));
            block.advance();
        }
        Ok(())
    }
}

/// The best of the scores of one row, and a share of the others.
pub(super) fn best(scores: impl Iterator<Item = f32>) -> f32 {
    let (greatest, sum) =
        scores.fold((0.0_f32, 0.0), |(greatest, sum), score| (greatest.max(score), sum + score));
    greatest + TIE * (sum - greatest)
}

/// The inverse document frequency of BM25 for a word in `n` of so many rows.
fn rarity(n: u32, rows: u32) -> f32 {
    (1.0 + (rows.saturating_sub(n) as f32 + 0.5) / (n as f32 + 0.5)).ln()
}
