//! From words to rows, straight from the postings: no text of a user reaches a query parser.
//!
//! All words are needed, each in its best field; the last one may be the beginning of a word. A row scores for each
//! word by BM25 in the best field, and by a tenth of the other fields.

use std::collections::HashMap;
use std::sync::Arc;

use tantivy::SegmentReader;
use tantivy::fieldnorm::FieldNormReader;
use tantivy::index::InvertedIndexReader;
use tantivy::query::Bm25Weight;
use tantivy::schema::IndexRecordOption;

use super::build::{FIELDS, fields};
use super::held::{Beginnings, Held};
use super::lexicon::{Entry, Lexicon};
use super::tokens::Word;

/// What the other fields add to the best one, as a share.
const TIE: f32 = 0.1;
/// The rows of a beginning of so many characters are kept ready,
const KEPT_CHARS: usize = 2;
/// if the words with it stand in more than one in so many rows; the others are quickly read.
const KEPT_FROM: u64 = 4;

/// The postings of one segment.
pub(super) struct Postings {
    lexicon: Lexicon,
    fields: Vec<OfField>,
    rows: u32,
    kept: HashMap<String, Arc<Beginnings>>,
}

/// One field of the index.
struct OfField {
    index: Arc<InvertedIndexReader>,
    lengths: FieldNormReader,
    /// The weight of a word that stands in one row.
    rarest: Bm25Weight,
    boost: f32,
}

/// Rows in order, each with its score.
type Scored = Vec<(u32, f32)>;

impl Postings {
    /// The postings of a segment; no row of it is ever deleted.
    pub(super) fn of(segment: &SegmentReader) -> tantivy::Result<Self> {
        let fields = fields().zip(FIELDS).map(|(field, (_, boost))| {
            let (index, lengths) = (segment.inverted_index(field)?, segment.get_fieldnorms_reader(field)?);
            let rows = segment.max_doc();
            let average = index.total_num_tokens() as f32 / rows as f32;
            let rarest = Bm25Weight::for_one_term_without_explain(1, rows.into(), average);
            Ok(OfField { index, lengths, rarest, boost })
        });
        let fields = fields.collect::<tantivy::Result<_>>()?;
        let lexicon = Lexicon::of(segment)?;
        let mut postings = Self { lexicon, fields, rows: segment.max_doc(), kept: HashMap::new() };
        postings.kept = postings.keep()?;
        Ok(postings)
    }

    /// The rows that hold all words.
    pub(super) fn held(&self, words: &[Word]) -> tantivy::Result<Held> {
        let rows = self.rows as usize;
        let Some((last, before)) = words.split_last() else { return Ok(Held::scored(rows, Vec::new())) };
        let (begins, whole) = (self.begins(last)?, self.whole(last)?);
        let Some((first, between)) = before.split_first() else {
            return Ok(Held::beginning(begins, whole));
        };
        let mut all = self.whole(first)?;
        for word in between {
            all = both(all, &self.whole(word)?);
        }
        all.retain(|(row, _)| begins.score(*row).is_some());
        let last = Held::beginning(begins, whole);
        let scores: Vec<f32> = last.scores(all.iter().map(|(row, _)| *row)).map(|(_, score)| score).collect();
        all.iter_mut().zip(scores).for_each(|((_, sum), score)| *sum += score);
        Ok(Held::scored(rows, all))
    }

    /// The rows that hold a word in any of its forms, each by its best field and a share of the others.
    fn whole(&self, word: &Word) -> tantivy::Result<Scored> {
        let entries = || word.forms().flat_map(|form| self.lexicon.whole(form));
        let mut each = Vec::with_capacity(entries().map(|entry| entry.info.doc_freq as usize).sum());
        entries().try_for_each(|entry| self.score(entry, &mut each))?;
        // Stable, so that it finds the runs of which it is made.
        each.sort_by_key(|(row, _)| *row);
        let mut best: Scored = Vec::with_capacity(each.len());
        for same in each.chunk_by(|(row, _), (other, _)| row == other) {
            let (greatest, sum) =
                same.iter().fold((0.0_f32, 0.0), |(max, sum), (_, score)| (max.max(*score), sum + score));
            best.push((same[0].0, greatest + TIE * (sum - greatest)));
        }
        Ok(best)
    }

    fn score(&self, entry: &Entry, scored: &mut Scored) -> tantivy::Result<()> {
        let field = &self.fields[entry.field];
        let rarity = self.rarity(entry.info.doc_freq) / self.rarity(1);
        let weight = field.rarest.boost_by(rarity * field.boost);
        let freqs = IndexRecordOption::WithFreqs;
        let mut block = field.index.read_block_postings_from_terminfo(&entry.info, freqs)?;
        while !block.docs().is_empty() {
            let rows = block.docs().iter().zip(block.freqs());
            scored.extend(rows.map(|(row, n)| (*row, weight.score(field.lengths.fieldnorm_id(*row), *n))));
            block.advance();
        }
        Ok(())
    }

    /// The inverse document frequency of BM25 for a word in `n` rows.
    fn rarity(&self, n: u32) -> f32 {
        (1.0 + (self.rows.saturating_sub(n) as f32 + 0.5) / (n as f32 + 0.5)).ln()
    }

    fn begins(&self, word: &Word) -> tantivy::Result<Arc<Beginnings>> {
        let mut forms = word.forms();
        if let (Some(only), None) = (forms.next(), forms.next())
            && let Some(kept) = self.kept.get(only)
        {
            return Ok(kept.clone());
        }
        let mut begins = Beginnings::none(self.rows as usize);
        word.forms().try_for_each(|form| self.begin(form, &mut begins))?;
        Ok(Arc::new(begins))
    }

    fn begin(&self, form: &str, begins: &mut Beginnings) -> tantivy::Result<()> {
        let entries = self.lexicon.beginning(form);
        let Some(first) = entries.first() else { return Ok(()) };
        let index = |entry: &Entry| &self.fields[entry.field].index;
        // One reader serves all words, since the fields are written alike.
        let mut block =
            index(first).read_block_postings_from_terminfo(&first.info, IndexRecordOption::Basic)?;
        for (entry, at) in entries.iter().zip(0..) {
            if at > 0 {
                index(entry).reset_block_postings_from_terminfo(&entry.info, &mut block)?;
            }
            let rows = begins.of_field(entry.field);
            while !block.docs().is_empty() {
                block.docs().iter().for_each(|row| rows.insert(*row));
                block.advance();
            }
        }
        Ok(())
    }

    /// The rows of the short beginnings that many words share.
    fn keep(&self) -> tantivy::Result<HashMap<String, Arc<Beginnings>>> {
        let mut kept = HashMap::new();
        for beginning in (1..=KEPT_CHARS).flat_map(|chars| self.lexicon.beginnings(chars)) {
            let entries = self.lexicon.beginning(beginning);
            let rows: u64 = entries.iter().map(|entry| u64::from(entry.info.doc_freq)).sum();
            if rows * KEPT_FROM > u64::from(self.rows) {
                let mut begins = Beginnings::none(self.rows as usize);
                self.begin(beginning, &mut begins)?;
                kept.insert(beginning.to_owned(), Arc::new(begins));
            }
        }
        Ok(kept)
    }
}

/// The rows of both, their scores added.
fn both(mut one: Scored, other: &[(u32, f32)]) -> Scored {
    let mut others = other.iter().peekable();
    one.retain_mut(|(row, score)| {
        while others.next_if(|(other, _)| other < row).is_some() {}
        let same = others.peek().filter(|(other, _)| other == row);
        *score += same.map_or(0.0, |(_, other)| *other);
        same.is_some()
    });
    one
}
