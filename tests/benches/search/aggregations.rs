//! The first peer: tantivy's own aggregations, one query for the groups without a choice and one for each other.
//!
//! Values are integer codes in fast fields, so that no strings are compared; the index is one segment in memory.

use std::collections::BTreeMap;
use std::ops::Bound;

use catalogue::style::Style;
use indexer::snapshot::Group;
use tantivy::aggregation::agg_req::Aggregations;
use tantivy::aggregation::agg_result::AggregationResults;
use tantivy::aggregation::{AggContextParams, AggregationCollector};
use tantivy::collector::{Count, TopDocs};
use tantivy::directory::RamDirectory;
use tantivy::query::{AllQuery, BooleanQuery, ConstScoreQuery, InvertedIndexRangeQuery, Query, TermQuery};
use tantivy::schema::{FAST, Field, INDEXED, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::{Index, ReloadPolicy, Searcher, TantivyDocument, Term};

use crate::question::{Answer, Question};
use crate::shop::{OF_STYLE, values_of};

/// The index and what its codes mean.
pub(crate) struct Aggregated {
    searcher: Searcher,
    words: Field,
    groups: Vec<(Group, Field)>,
    values: BTreeMap<Group, Vec<String>>,
}

/// What was counted, in tantivy's own form.
pub(crate) struct Counted {
    total: usize,
    counts: Vec<AggregationResults>,
}

impl Aggregated {
    pub(crate) fn of(styles: &[Style]) -> tantivy::Result<Self> {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default()
            .set_tokenizer("whitespace")
            .set_index_option(IndexRecordOption::WithFreqs);
        let words = schema.add_text_field("words", TextOptions::default().set_indexing_options(indexing));
        let groups =
            OF_STYLE.map(|group| (group, schema.add_u64_field(group.key(), INDEXED | FAST))).to_vec();
        let builder = Index::builder().schema(schema.build());
        let mut writer =
            builder.single_segment_index_writer::<TantivyDocument>(RamDirectory::create(), 50_000_000)?;
        let mut values: BTreeMap<Group, Vec<String>> = BTreeMap::new();
        for style in styles {
            let mut document = TantivyDocument::new();
            let text = format!("{} {}", style.name, style.notes.as_deref().unwrap_or_default());
            document.add_text(words, text);
            for (group, field) in &groups {
                let known = values.entry(*group).or_default();
                for value in values_of(*group, style) {
                    document.add_u64(*field, code(known, value));
                }
            }
            writer.add_document(document)?;
        }
        let index = writer.finalize()?;
        let reader = index.reader_builder().reload_policy(ReloadPolicy::Manual).try_into()?;
        Ok(Self { searcher: reader.searcher(), words, groups, values })
    }

    /// Everything that a page of facets needs: the total, the first twenty, and a count for every value.
    pub(crate) fn ask(&self, question: &Question) -> tantivy::Result<Counted> {
        let idle = self.groups.iter().map(|(group, _)| *group).filter(|g| !question.styles.contains_key(g));
        let collectors = (Count, TopDocs::with_limit(20).order_by_score(), aggregation(idle));
        let (total, _first, counted) = self.searcher.search(&self.query(question, None), &collectors)?;
        let own = question.styles.keys().map(|group| {
            let query = self.query(question, Some(*group));
            self.searcher.search(&query, &aggregation([*group].into_iter()))
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
        if !question.word.is_empty() {
            all.push(Box::new(self.word(&question.word)));
        }
        for (group, field) in self.groups.iter().filter(|(group, _)| Some(*group) != without) {
            if let Some(chosen) = question.styles.get(group) {
                all.push(Box::new(ConstScoreQuery::new(Box::new(self.any_of(*group, *field, chosen)), 0.0)));
            }
        }
        if all.is_empty() {
            all.push(Box::new(AllQuery));
        }
        BooleanQuery::intersection(all)
    }

    fn any_of(&self, group: Group, field: Field, chosen: &[String]) -> BooleanQuery {
        let known = &self.values[&group];
        let terms = chosen.iter().filter_map(|value| known.iter().position(|known| known == value));
        BooleanQuery::new_multiterms_query(
            terms.map(|code| Term::from_field_u64(field, code as u64)).collect(),
        )
    }

    fn word(&self, word: &str) -> BooleanQuery {
        let beyond = format!("{word}{}", char::MAX);
        let begins = InvertedIndexRangeQuery::new(
            Bound::Included(Term::from_field_text(self.words, word)),
            Bound::Excluded(Term::from_field_text(self.words, &beyond)),
        );
        let whole = TermQuery::new(Term::from_field_text(self.words, word), IndexRecordOption::WithFreqs);
        BooleanQuery::union(vec![Box::new(whole), Box::new(ConstScoreQuery::new(Box::new(begins), 0.01))])
    }

    fn take(&self, counted: &AggregationResults, answer: &mut Answer) {
        let counted = serde_json::to_value(counted).expect("plain numbers");
        for (group, _) in &self.groups {
            let buckets = counted[group.key()]["buckets"].as_array().into_iter().flatten();
            for bucket in buckets {
                let code = bucket["key"].as_f64().expect("a code") as usize;
                let count = bucket["doc_count"].as_i64().expect("a count");
                answer.counts.insert((group.key(), self.values[group][code].clone()), count);
            }
        }
    }
}

/// The code of a value, which is new when nobody has said it yet.
pub(crate) fn code(known: &mut Vec<String>, value: String) -> u64 {
    let at = known.iter().position(|own| *own == value).unwrap_or_else(|| {
        known.push(value);
        known.len() - 1
    });
    at as u64
}

fn aggregation(groups: impl Iterator<Item = Group>) -> AggregationCollector {
    let terms = groups.map(|group| {
        let terms = serde_json::json!({"field": group.key(), "size": 1000, "segment_size": 1000});
        (group.key().to_owned(), serde_json::json!({"terms": terms}))
    });
    let asked: Aggregations = serde_json::from_value(serde_json::Value::Object(terms.collect()))
        .expect("the form of an aggregation");
    AggregationCollector::from_aggs(asked, AggContextParams::default())
}
