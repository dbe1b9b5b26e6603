//! Search beside its peers on the same questions in the same run, as ratios. `cargo bench-search` prints a table.
//!
//! 5,000 styles and 100,000 SKUs, all invented. Every answer is compared: totals, pairs, counts, and the first twenty
//! or the histograms. All peers are spared what each filter hides and the ranking itself.

#![allow(clippy::print_stdout, clippy::expect_used, missing_docs)]

#[path = "search/aggregations.rs"]
mod aggregations;
#[path = "search/question.rs"]
mod question;
#[path = "search/shop.rs"]
mod shop;
#[path = "search/sqlite.rs"]
mod sqlite;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use catalogue::measures::Measures;
use catalogue::policy::HousePolicy;
use catalogue::rank::{Ranker, Score};
use catalogue::runner::Runner;
use indexer::loaded::Loaded;
use indexer::search::Search;
use indexer::snapshot::{Group, Snapshot};
use indexer::words::Words;

use aggregations::{Aggregated, Form};
use question::{Answer, Question, of_one_sku, of_styles};
use sqlite::Sqlite;

const STYLES: u64 = 5_000;
const QUESTIONS: usize = 300;
/// Each question is asked so often of each; the median counts.
const TIMES: usize = 5;

/// How long each question took, in the order of the questions.
struct Timed(Vec<Duration>);

fn main() {
    let loaded = shop::shop(STYLES);
    let words = Words::open_or_build(None, &loaded).expect("an index in memory");
    let snapshot = Snapshot::build(loaded.clone(), words);
    let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).expect("no red flag");
    let steps = steps(&snapshot);
    let sqlite = sqlite(&loaded, &snapshot, &ranker, &steps);
    let aggregated = [Form::Texts, Form::Codes]
        .map(|form| Aggregated::of(&loaded.styles, form, &steps).expect("an index in memory"));
    println!("{} styles, {} SKUs, {QUESTIONS} questions a mix\n", loaded.styles.len(), loaded.skus.len());
    style_facets(&loaded, &snapshot, &aggregated, &sqlite);
    one_sku(&snapshot, &ranker, &sqlite);
}

fn sqlite(loaded: &Loaded, snapshot: &Snapshot, ranker: &Ranker, steps: &Steps) -> Sqlite {
    let score = |style: &catalogue::style::Style| -> Score {
        ranker.score(&Measures::of(&style.specification, style.audience))
    };
    let scores: Vec<Score> = loaded.styles.iter().map(score).collect();
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let prices = known.facets.group(Group::Price).expect("prices");
    let bands: Vec<String> = prices.values.iter().map(|value| value.value.to_string()).collect();
    Sqlite::of(loaded, &scores, &bands, steps).expect("tables in memory")
}

/// The width of the bars of each group of styles.
type Steps = BTreeMap<Group, i64>;

fn steps(snapshot: &Snapshot) -> Steps {
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let of_style = known.ranges.iter().filter(|range| range.group != Group::Price);
    of_style.map(|range| (range.group, range.bins[0].to - range.bins[0].from)).collect()
}

fn style_facets(loaded: &Loaded, snapshot: &Snapshot, [texts, codes]: &[Aggregated; 2], sqlite: &Sqlite) {
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let asked = of_styles(QUESTIONS, &loaded.styles, &known);
    let own = own(&asked, snapshot, None);

    let texts = timed(&asked, |q| texts.ask(q).expect("counts"), |_, counted| texts.answer(counted));
    let codes = timed(&asked, |q| codes.ask(q).expect("counts"), |_, counted| codes.answer(counted));
    let joined = timed(&asked, |q| sqlite.ask(q).expect("counts"), |_, counted| sqlite.answer(counted));
    let peers = [
        ("tantivy aggregations", &texts),
        ("tantivy aggregations of integer codes", &codes),
        ("SQLite FTS5", &joined),
    ];
    table("Style facets and their histograms alone", &asked, &own, &peers);
    plan(&asked, sqlite);
}

fn one_sku(snapshot: &Snapshot, ranker: &Ranker, sqlite: &Sqlite) {
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let asked = of_one_sku(QUESTIONS, &known);
    let own = own(&asked, snapshot, Some(ranker));
    let peer = timed(&asked, |q| sqlite.ask(q).expect("counts"), |_, counted| sqlite.answer(counted));
    let title = "Size, width, stock and price on one SKU, first twenty by suitability";
    table(title, &asked, &own, &[("SQLite FTS5, join to the SKUs", &peer)]);
    plan(&asked, sqlite);
}

/// The plan of what is found, for the first question with words and choices.
fn plan(asked: &[Question], sqlite: &Sqlite) {
    let question = asked.iter().find(|q| !q.words.is_empty() && !q.styles.is_empty());
    println!("Query plan of SQLite, first question with words and choices:");
    for line in question.into_iter().flat_map(|question| sqlite.plan(question).expect("a plan")) {
        println!("- {line}");
    }
    println!();
}

fn own(asked: &[Question], snapshot: &Snapshot, ranker: Option<&Ranker>) -> Run {
    let ask = |question: &Question| snapshot.search(&question.search(), ranker).expect("an answer");
    timed(asked, ask, |question, found| question.answer(found))
}

/// Answers and times. Timed is the asking, not the turning into the form that is compared; and not the first
/// asking, in which statements are prepared.
fn timed<R>(
    asked: &[Question],
    ask: impl Fn(&Question) -> R,
    answer: impl Fn(&Question, &R) -> Answer,
) -> Run {
    let answers = asked.iter().map(|question| answer(question, &ask(question))).collect();
    let time = |question: &Question| {
        let mut times: Vec<Duration> = (0..TIMES)
            .map(|_| {
                let start = Instant::now();
                std::hint::black_box(ask(question));
                start.elapsed()
            })
            .collect();
        times.sort_unstable();
        times[TIMES / 2]
    };
    (answers, Timed(asked.iter().map(time).collect()))
}

type Run = (Vec<Answer>, Timed);

/// Whether a question is of a class.
type IsOf = fn(&Question) -> bool;

fn table(title: &str, asked: &[Question], own: &Run, peers: &[(&str, &Run)]) {
    let different = |peer: &Run| {
        let pairs = own.0.iter().zip(&peer.0).zip(asked).filter(|((own, peer), _)| own != peer);
        let shown: Vec<_> = pairs.map(|((own, peer), question)| (question, own, peer)).collect();
        if let Some((question, own, peer)) = shown.first() {
            println!("DIFFERENT: {question:?}\n own {own:?}\npeer {peer:?}");
        }
        shown.len()
    };
    println!(
        "{title}\n\n| who | questions | p50 | p99 | times slower, p50 | p99 | answers that differ |\n\
         |---|---|---|---|---|---|---|"
    );
    let classes: [(&str, IsOf); 3] = [
        ("all", |_| true),
        ("without words", |question| question.words.is_empty()),
        ("with words", |question| !question.words.is_empty()),
    ];
    for (name, run) in [("lastbench", own)].iter().chain(peers) {
        let differ = different(run);
        for (class, is_of) in classes {
            let at = |run: &Run, percent| run.1.at(percent, asked, is_of);
            let ratio = |percent| at(run, percent).as_secs_f64() / at(own, percent).as_secs_f64();
            let (p50, p99) = (at(run, 50), at(run, 99));
            let (slower, slowest) = (ratio(50), ratio(99));
            println!("| {name} | {class} | {p50:.1?} | {p99:.1?} | {slower:.0} | {slowest:.0} | {differ} |");
        }
    }
    println!();
}

impl Timed {
    fn at(&self, percent: usize, asked: &[Question], is_of: IsOf) -> Duration {
        let own = self.0.iter().zip(asked).filter(|(_, question)| is_of(question));
        let mut own: Vec<Duration> = own.map(|(time, _)| *time).collect();
        own.sort_unstable();
        own[(own.len() - 1) * percent / 100]
    }
}
