//! From words to rows: the query is built by hand, no text of a user reaches a query parser.

use std::ops::Bound;

use tantivy::collector::{Collector, SegmentCollector};
use tantivy::query::{
    BooleanQuery, BoostQuery, ConstScoreQuery, DisjunctionMaxQuery, InvertedIndexRangeQuery, Occur, Query,
    TermQuery,
};
use tantivy::schema::{Field, IndexRecordOption};
use tantivy::{DocId, Score, SegmentOrdinal, SegmentReader, Term};

use super::build::{FIELDS, fields};
use super::tokens::Word;

/// What a word that only begins alike counts: less than any word that is the same.
const PREFIX_SCORE: f32 = 0.01;
/// What the other fields add to the best one, as a share.
const TIE: f32 = 0.1;

/// All words are needed, each in its best field; the last one may be the beginning of a word.
pub(super) fn query(words: &[Word]) -> BooleanQuery {
    let last = words.len().saturating_sub(1);
    let each = words.iter().enumerate().map(|(at, word)| (Occur::Must, in_best_field(word, at == last)));
    BooleanQuery::new(each.collect())
}

/// The whole word in its best field; where only its beginning is asked for, that or the beginning of another.
fn in_best_field(word: &Word, prefix: bool) -> Box<dyn Query> {
    let (mut exact, mut begins) = (Vec::new(), Vec::new());
    for (field, (_, boost)) in fields().zip(FIELDS) {
        for form in word.forms() {
            exact.push(whole(field, form, boost));
            begins.push(beginning(field, form, boost));
        }
    }
    let exact = DisjunctionMaxQuery::with_tie_breaker(exact, TIE);
    if !prefix {
        return Box::new(exact);
    }
    begins.push(Box::new(exact));
    Box::new(DisjunctionMaxQuery::new(begins))
}

fn whole(field: Field, form: &str, boost: f32) -> Box<dyn Query> {
    let term = TermQuery::new(Term::from_field_text(field, form), IndexRecordOption::WithFreqs);
    Box::new(BoostQuery::new(Box::new(term), boost))
}

/// Every term that begins with `form`: from it up to it with the greatest character behind it.
fn beginning(field: Field, form: &str, boost: f32) -> Box<dyn Query> {
    let beyond = format!("{form}{}", char::MAX);
    let terms = InvertedIndexRangeQuery::new(
        Bound::Included(Term::from_field_text(field, form)),
        Bound::Excluded(Term::from_field_text(field, &beyond)),
    );
    Box::new(ConstScoreQuery::new(Box::new(terms), PREFIX_SCORE * boost))
}

/// Collects every row with its score, in the order of rows.
pub(super) struct Rows;

/// The rows of the one segment.
pub(super) struct RowsOfSegment(Vec<(DocId, Score)>);

impl Collector for Rows {
    type Fruit = Vec<(DocId, Score)>;
    type Child = RowsOfSegment;

    fn for_segment(&self, _: SegmentOrdinal, _: &SegmentReader) -> tantivy::Result<RowsOfSegment> {
        Ok(RowsOfSegment(Vec::new()))
    }

    fn requires_scoring(&self) -> bool {
        true
    }

    fn merge_fruits(&self, segments: Vec<Self::Fruit>) -> tantivy::Result<Self::Fruit> {
        Ok(segments.concat())
    }
}

impl SegmentCollector for RowsOfSegment {
    type Fruit = Vec<(DocId, Score)>;

    fn collect(&mut self, row: DocId, score: Score) {
        self.0.push((row, score));
    }

    fn harvest(self) -> Self::Fruit {
        self.0
    }
}
