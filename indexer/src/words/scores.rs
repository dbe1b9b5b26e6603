//! The postings of one segment read into memory once: the rows of every word in every field, each with its score.
//!
//! They stand in the order of the entries of the lexicon, so that the rows of all words that begin alike are one piece.

use std::ops::Range;
use std::sync::Arc;

use tantivy::SegmentReader;
use tantivy::fieldnorm::FieldNormReader;
use tantivy::index::InvertedIndexReader;
use tantivy::query::Bm25Weight;
use tantivy::schema::IndexRecordOption;

use super::build::{FIELDS, fields};
use super::lexicon::{Entry, Lexicon};

/// Rows with what each scores, 8 bytes a posting.
pub(super) struct Scores {
    scored: Vec<(u32, f32)>,
    /// Where the rows of each entry end.
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

impl Scores {
    /// Those of a segment; no row of it is ever deleted.
    pub(super) fn of(segment: &SegmentReader, lexicon: &Lexicon) -> tantivy::Result<Self> {
        let rows = segment.max_doc();
        let fields = fields().zip(FIELDS).map(|(field, (_, boost))| {
            let (index, lengths) = (segment.inverted_index(field)?, segment.get_fieldnorms_reader(field)?);
            let average = index.total_num_tokens() as f32 / rows as f32;
            let rarest = Bm25Weight::for_one_term_without_explain(1, rows.into(), average);
            Ok(OfField { index, lengths, rarest, boost })
        });
        let fields = fields.collect::<tantivy::Result<Vec<_>>>()?;
        let mut scores = Self { scored: Vec::new(), ends: Vec::new() };
        for entry in lexicon.entries() {
            fields[entry.field].score(entry, rows, &mut scores.scored)?;
            scores.ends.push(scores.scored.len() as u32);
        }
        Ok(scores)
    }

    /// The rows of some entries with their scores, one entry after the other.
    pub(super) fn of_entries(&self, entries: Range<usize>) -> &[(u32, f32)] {
        let start = |at: usize| if at == 0 { 0 } else { self.ends[at - 1] as usize };
        &self.scored[start(entries.start)..start(entries.end)]
    }
}

impl OfField {
    fn score(&self, entry: &Entry, rows: u32, scored: &mut Vec<(u32, f32)>) -> tantivy::Result<()> {
        let rarity = rarity(entry.info.doc_freq, rows) / rarity(1, rows);
        let weight = self.rarest.boost_by(rarity * self.boost);
        let freqs = IndexRecordOption::WithFreqs;
        let mut block = self.index.read_block_postings_from_terminfo(&entry.info, freqs)?;
        while !block.docs().is_empty() {
            let rows = block.docs().iter().zip(block.freqs());
            scored.extend(rows.map(|(row, n)| (*row, weight.score(self.lengths.fieldnorm_id(*row), *n))));
            block.advance();
        }
        Ok(())
    }
}

/// The inverse document frequency of BM25 for a word in `n` of so many rows.
fn rarity(n: u32, rows: u32) -> f32 {
    (1.0 + (rows.saturating_sub(n) as f32 + 0.5) / (n as f32 + 0.5)).ln()
}
