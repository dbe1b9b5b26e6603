//! The first peer: tantivy's own aggregations, one query for the groups without a choice and one for each other.
//!
//! Facet values are texts in fast fields, or integer codes, which is quicker and leaves the meaning of the codes to
//! the caller. The histograms have the steps of the indexer's. The index is one segment in memory.

use std::collections::BTreeMap;
use std::ops::Bound;

use catalogue::style::Style;
use indexer::snapshot::Group;
use serde_json::json;
use tantivy::aggregation::agg_req::Aggregations;
use tantivy::aggregation::agg_result::AggregationResults;
use tantivy::aggregation::{AggContextParams, AggregationCollector};
use tantivy::collector::{Count, TopDocs};
use tantivy::directory::RamDirectory;
use tantivy::query::{
    AllQuery, BooleanQuery, ConstScoreQuery, InvertedIndexRangeQuery, Query, RangeQuery, TermQuery,
};
use tantivy::schema::{
    FAST, Field, INDEXED, IndexRecordOption, STRING, Schema, TextFieldIndexing, TextOptions,
};
use tantivy::{Index, ReloadPolicy, Searcher, TantivyDocument, Term};

use crate::question::{Answer, Question};
use crate::shop::{OF_STYLE, number_of, text_of, values_of};

/// The index and what its codes mean.
pub(crate) struct Aggregated {
    searcher: Searcher,
    words: Field,
    groups: Vec<(Group, Field)>,
    numbers: BTreeMap<Group, Field>,
    values: BTreeMap<Group, Vec<String>>,
    /// The request of each group, read from JSON once.
    requests: BTreeMap<Group, Aggregations>,
    form: Form,
}

/// How facet values are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    Texts,
    Codes,
}

/// What was counted, in tantivy's own form.
pub(crate) struct Counted {
    total: usize,
    counts: Vec<AggregationResults>,
}

impl Aggregated {
    pub(crate) fn of(styles: &[Style], form: Form, steps: &BTreeMap<Group, i64>) -> tantivy::Result<Self> {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default()
            .set_tokenizer("whitespace")
            .set_index_option(IndexRecordOption::WithFreqs);
        let words = schema.add_text_field("words", TextOptions::default().set_indexing_options(indexing));
        let groups = OF_STYLE.map(|group| match form {
            Form::Texts => (group, schema.add_text_field(group.key(), STRING | FAST)),
            Form::Codes => (group, schema.add_u64_field(group.key(), INDEXED | FAST)),
        });
        let numbers = steps.keys().map(|group| (*group, schema.add_i64_field(&bars(*group), FAST)));
        let numbers: BTreeMap<Group, Field> = numbers.collect();
        let builder = Index::builder().schema(schema.build());
        let mut writer =
            builder.single_segment_index_writer::<TantivyDocument>(RamDirectory::create(), 50_000_000)?;
        let mut values: BTreeMap<Group, Vec<String>> = BTreeMap::new();
        for style in styles {
            let mut document = TantivyDocument::new();
            document.add_text(words, text_of(style));
            for (group, field) in &groups {
                let known = values.entry(*group).or_default();
                for value in values_of(*group, style) {
                    match form {
                        Form::Texts => document.add_text(*field, value),
                        Form::Codes => document.add_u64(*field, code(known, value)),
                    }
                }
            }
            for (group, field) in &numbers {
                if let Some(number) = number_of(*group, style) {
                    document.add_i64(*field, number);
                }
            }
            writer.add_document(document)?;
        }
        let index = writer.finalize()?;
        let reader = index.reader_builder().reload_policy(ReloadPolicy::Manual).try_into()?;
        let (searcher, groups) = (reader.searcher(), groups.to_vec());
        let requests = OF_STYLE.map(|group| (group, request(group, steps))).into();
        Ok(Self { searcher, words, groups, numbers, values, requests, form })
    }

    /// Everything that a page of facets needs: the total, the first twenty, and a count for every value.
    pub(crate) fn ask(&self, question: &Question) -> tantivy::Result<Counted> {
        let narrowed = question.narrowed();
        let idle = self.groups.iter().map(|(group, _)| *group).filter(|g| !narrowed.contains(g));
        let collectors = (Count, TopDocs::with_limit(20).order_by_score(), self.aggregation(idle));
        let (total, _first, counted) = self.searcher.search(&self.query(question, None), &collectors)?;
        let own = narrowed.iter().map(|group| {
            let query = self.query(question, Some(*group));
            self.searcher.search(&query, &self.aggregation([*group].into_iter()))
        });
        let counts = [Ok(counted)].into_iter().chain(own).collect::<tantivy::Result<_>>()?;
        Ok(Counted { total, counts })
    }

    /// The answer in the form that is compared.
    pub(crate) fn answer(&self, counted: &Counted) -> Answer {
        let mut answer = Answer { total: counted.total as i64, ..Answer::default() };
        counted.counts.iter().for_each(|counts| self.take(counts, &mut answer));
        answer
    }

    fn query(&self, question: &Question, without: Option<Group>) -> BooleanQuery {
        let mut all: Vec<Box<dyn Query>> = Vec::new();
        let last = question.words.len().saturating_sub(1);
        for (at, word) in question.words.iter().enumerate() {
            all.push(if at == last { Box::new(self.beginning(word)) } else { self.whole(word) });
        }
        for (group, field) in self.groups.iter().filter(|(group, _)| Some(*group) != without) {
            if let Some(chosen) = question.styles.get(group) {
                all.push(Box::new(ConstScoreQuery::new(Box::new(self.any_of(*group, *field, chosen)), 0.0)));
            }
            if let Some(ends) = question.ranges.get(group) {
                all.push(Box::new(ConstScoreQuery::new(Box::new(self.range(*group, *ends)), 0.0)));
            }
        }
        if all.is_empty() {
            all.push(Box::new(AllQuery));
        }
        BooleanQuery::intersection(all)
    }

    fn any_of(&self, group: Group, field: Field, chosen: &[String]) -> BooleanQuery {
        let known = &self.values[&group];
        let term = |value: &String| match self.form {
            Form::Texts => Some(Term::from_field_text(field, value)),
            Form::Codes => {
                let code = known.iter().position(|known| known == value)?;
                Some(Term::from_field_u64(field, code as u64))
            }
        };
        BooleanQuery::new_multiterms_query(chosen.iter().filter_map(term).collect())
    }

    /// Over the fast field, which is how tantivy itself answers a range of numbers.
    fn range(&self, group: Group, (from, to): (Option<i64>, Option<i64>)) -> RangeQuery {
        let field = self.numbers[&group];
        let end = |end: Option<i64>| {
            end.map_or(Bound::Unbounded, |end| Bound::Included(Term::from_field_i64(field, end)))
        };
        RangeQuery::new(end(from), end(to))
    }

    fn whole(&self, word: &str) -> Box<dyn Query> {
        Box::new(TermQuery::new(Term::from_field_text(self.words, word), IndexRecordOption::WithFreqs))
    }

    fn beginning(&self, word: &str) -> BooleanQuery {
        let beyond = format!("{word}{}", char::MAX);
        let begins = InvertedIndexRangeQuery::new(
            Bound::Included(Term::from_field_text(self.words, word)),
            Bound::Excluded(Term::from_field_text(self.words, &beyond)),
        );
        BooleanQuery::union(vec![self.whole(word), Box::new(ConstScoreQuery::new(Box::new(begins), 0.01))])
    }

    fn take(&self, counted: &AggregationResults, answer: &mut Answer) {
        let counted = serde_json::to_value(counted).expect("plain numbers");
        for (group, _) in &self.groups {
            let buckets = counted[group.key()]["buckets"].as_array().into_iter().flatten();
            for bucket in buckets {
                let count = bucket["doc_count"].as_i64().expect("a count");
                let value = match self.form {
                    Form::Texts => bucket["key"].as_str().expect("a text").to_owned(),
                    Form::Codes => {
                        self.values[group][bucket["key"].as_f64().expect("a code") as usize].clone()
                    }
                };
                answer.counts.insert((group.key(), value), count);
            }
            for bucket in counted[bars(*group)]["buckets"].as_array().into_iter().flatten() {
                let count = bucket["doc_count"].as_i64().expect("a count");
                let from = bucket["key"].as_f64().expect("where it begins") as i64;
                answer.bars.insert((group.key(), from), count);
            }
        }
    }

    fn aggregation(&self, groups: impl Iterator<Item = Group>) -> AggregationCollector {
        let requests = groups.flat_map(|group| self.requests[&group].clone()).collect();
        AggregationCollector::from_aggs(requests, AggContextParams::default())
    }
}

/// What is asked of one group: its values and, with numbers, its histogram.
fn request(group: Group, steps: &BTreeMap<Group, i64>) -> Aggregations {
    let terms = json!({"terms": {"field": group.key(), "size": 1000, "segment_size": 1000}});
    let mut asked = serde_json::Map::from_iter([(group.key().to_owned(), terms)]);
    if let Some(step) = steps.get(&group) {
        let field = bars(group);
        let histogram = json!({"field": field, "interval": step, "min_doc_count": 1});
        asked.insert(field, json!({"histogram": histogram}));
    }
    serde_json::from_value(serde_json::Value::Object(asked)).expect("the form of aggregations")
}

/// The name of the field of numbers behind a group.
fn bars(group: Group) -> String {
    format!("{}_number", group.key())
}

/// The code of a value, which is new when nobody has said it yet.
pub(crate) fn code(known: &mut Vec<String>, value: String) -> u64 {
    let at = known.iter().position(|own| *own == value).unwrap_or_else(|| {
        known.push(value);
        known.len() - 1
    });
    at as u64
}
