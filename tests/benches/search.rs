//! Search beside its peers on the same questions in the same run, as ratios.
//!
//! `cargo bench --bench search` asks a shop of 5,000 styles and 100,000 SKUs; with numbers behind `--` shops of so many
//! styles, twenty SKUs each and ten of a million (`-- 5000 100000 1000000`), and draws how the answers grow. All is invented. Every answer is
//! compared: totals, pairs, counts, and the first twenty or the histograms. All peers are spared what each filter hides
//! and the ranking itself; `-- alone 5000` asks nobody else. The memory of a shop is measured in a process of its own (`-- memory 5000`).

#![allow(clippy::print_stdout, clippy::expect_used, missing_docs)]

#[path = "search/aggregations.rs"]
mod aggregations;
#[path = "search/export.rs"]
mod export;
#[path = "search/growth.rs"]
mod growth;
#[path = "search/question.rs"]
mod question;
#[path = "search/scan.rs"]
mod scan;
#[path = "search/shop.rs"]
mod shop;
#[path = "search/sqlite.rs"]
mod sqlite;
#[path = "search/sqlite_mask.rs"]
mod sqlite_mask;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use catalogue::measures::Measures;
use catalogue::policy::HousePolicy;
use catalogue::rank::{Ranker, Score};
use catalogue::runner::Runner;
use indexer::search::Search;
use indexer::snapshot::{Group, Snapshot};
use indexer::words::Words;

use aggregations::{Aggregated, Form};
use export::Mix;
use growth::Point;
use question::{Answer, Question, of_one_sku, of_styles};
use scan::Scan;
use sqlite::Sqlite;

const STYLES: usize = 5_000;
/// Each question is asked so often of each, unless that takes too long; the median counts.
const TIMES: usize = 5;
const LONGEST: Duration = Duration::from_millis(100);

/// How long each question took, in the order of the questions.
struct Timed(Vec<Duration>);

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let mut sizes: Vec<usize> = words.iter().filter_map(|word| word.parse().ok()).collect();
    if sizes.is_empty() {
        sizes.push(STYLES);
    }
    if words.iter().any(|word| word == "memory") {
        sizes.into_iter().for_each(memory);
        return;
    }
    if words.iter().any(|word| word == "alone") {
        sizes.into_iter().for_each(alone);
        return;
    }
    if let Some(folder) = words.iter().skip_while(|word| *word != "export").nth(1) {
        for styles in sizes {
            exported(styles, folder);
        }
        return;
    }
    let points: Vec<Point> = sizes.into_iter().flat_map(asked_at).collect();
    if let Some(drawing) = growth::drawn(&points) {
        let place = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/search/growth.svg");
        std::fs::write(&place, drawing).expect("the drawing beside the bench");
        println!("The growth is drawn in tests/benches/search/growth.svg.");
    }
}

/// What a shop holds in memory once it can be asked, step by step, with the texts of its pages and its words in a folder
/// as a server has them.
fn memory(styles: usize) {
    let folder = tempfile::tempdir().expect("a folder for the words");
    let before = resident();
    let loaded = shop::shop(styles as u64);
    let (skus, after_load) = (loaded.skus.len(), resident());
    let of_skus = (skus * size_of::<catalogue::stock::Sku>()) as u64 / 1_000_000;
    let of_styles = (styles * size_of::<catalogue::style::Style>()) as u64 / 1_000_000;
    let words = Words::open_or_build(Some(folder.path()), &loaded).expect("an index in a folder");
    let after_words = resident();
    let snapshot = Snapshot::build(loaded, words);
    snapshot.search(&Search::default(), None).expect("an answer");
    let last = resident();
    println!("{styles} styles, {skus} SKUs: {} MB resident", last - before);
    println!(
        "- {} MB as the store loads them: SKUs {of_skus}, styles {of_styles}, the rest their texts",
        after_load - before
    );
    println!("- {} MB words", after_words.saturating_sub(after_load));
    println!("- {} MB columns, bits and orders, less what building let go", last.saturating_sub(after_words));
}

/// Megabytes that the process has in memory.
fn resident() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").expect("Linux");
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).expect("a line of proc(5)");
    line.trim().trim_end_matches(" kB").parse::<u64>().expect("a number") / 1000
}

/// Both mixes without peers, beside the bare columns: what a profile looks at.
fn alone(styles: usize) {
    let snapshot = snapshot(styles);
    let scan = Scan::of(styles, snapshot.skus().len());
    let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).expect("no red flag");
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let asked = of_styles(questions(styles), snapshot.styles(), &known);
    let run = own(&asked, &snapshot, None);
    table("Style facets and their histograms alone", &asked, &run, &[]);
    bare("the columns of all styles, summed", || scan.styles(), &run, &asked);
    let asked = of_one_sku(questions(styles), &known);
    let run = own(&asked, &snapshot, Some(&ranker));
    table("Size, width, stock and price on one SKU", &asked, &run, &[]);
    bare("the columns of all SKUs, summed", || scan.skus(), &run, &asked);
}

/// Tables, questions and our answers as files, for the peers of `search/peers.py`.
fn exported(styles: usize, folder: &str) {
    let snapshot = snapshot(styles);
    let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).expect("no red flag");
    let peer = sqlite(&snapshot, &ranker, &steps(&snapshot));
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let of_styles = of_styles(questions(styles), snapshot.styles(), &known);
    let of_skus = of_one_sku(questions(styles), &known);
    let of_styles = (&of_styles, own(&of_styles, &snapshot, None));
    let of_skus = (&of_skus, own(&of_skus, &snapshot, Some(&ranker)));
    let mixes = [("styles", of_styles), ("one_sku", of_skus)].map(|(name, (asked, (answers, timed)))| {
        let micros = timed.0.iter().map(|took| took.as_secs_f64() * 1e6).collect::<Vec<_>>();
        (name, asked, answers, micros)
    });
    let mixes = mixes.iter().map(|(name, asked, answers, micros)| {
        let answered = answers.iter().zip(micros.iter().copied()).collect();
        Mix { name, asked, answered }
    });
    export::write(std::path::Path::new(folder), &peer, &mixes.collect::<Vec<_>>());
}

/// As many questions as a large shop leaves time for.
fn questions(styles: usize) -> usize {
    match styles {
        0..=20_000 => 300,
        20_001..=200_000 => 150,
        _ => 40,
    }
}

fn snapshot(styles: usize) -> Snapshot {
    let loaded = shop::shop(styles as u64);
    let words = Words::open_or_build(None, &loaded).expect("an index in memory");
    Snapshot::build(loaded, words)
}

/// One size: both mixes, and how long half of the questions took.
fn asked_at(styles: usize) -> Vec<Point> {
    let snapshot = snapshot(styles);
    let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).expect("no red flag");
    let steps = steps(&snapshot);
    let sqlite = sqlite(&snapshot, &ranker, &steps);
    let aggregated = [Form::Texts, Form::Codes]
        .map(|form| Aggregated::of(snapshot.styles(), form, &steps).expect("an index in memory"));
    let scan = Scan::of(styles, snapshot.skus().len());
    let asked = questions(styles);
    println!("# {styles} styles, {} SKUs, {asked} questions a mix\n", snapshot.skus().len());
    let of_styles = style_facets(&snapshot, &aggregated, &sqlite, &scan);
    let of_skus = one_sku(&snapshot, &ranker, &sqlite, &scan, asked);
    let point = |(who, took): (String, Duration)| Point { who, styles, took };
    of_styles.into_iter().chain(of_skus).map(point).collect()
}

fn sqlite(snapshot: &Snapshot, ranker: &Ranker, steps: &Steps) -> Sqlite {
    let score = |style: &catalogue::style::Style| -> Score {
        ranker.score(&Measures::of(&style.specification, style.audience))
    };
    let scores: Vec<Score> = snapshot.styles().iter().map(score).collect();
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let prices = known.facets.group(Group::Price).expect("prices");
    let bands: Vec<String> = prices.values.iter().map(|value| value.value.to_string()).collect();
    Sqlite::of(snapshot, &scores, &bands, steps).expect("tables in memory")
}

/// The width of the bars of each group of styles.
type Steps = BTreeMap<Group, i64>;

fn steps(snapshot: &Snapshot) -> Steps {
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let of_style = known.ranges.iter().filter(|range| range.group != Group::Price);
    of_style.map(|range| (range.group, range.bins[0].to - range.bins[0].from)).collect()
}

/// Who answered, and how long half of the questions took.
type Half = (String, Duration);

fn style_facets(
    snapshot: &Snapshot,
    [texts, codes]: &[Aggregated; 2],
    sqlite: &Sqlite,
    scan: &Scan,
) -> Vec<Half> {
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let asked = of_styles(questions(snapshot.styles().len()), snapshot.styles(), &known);
    let own = own(&asked, snapshot, None);
    let texts = timed(&asked, |q| texts.ask(q).expect("counts"), |_, counted| texts.answer(counted));
    let codes = timed(&asked, |q| codes.ask(q).expect("counts"), |_, counted| codes.answer(counted));
    let joined = timed(&asked, |q| sqlite.ask(q).expect("counts"), |_, counted| sqlite.answer(counted));
    let masked =
        timed(&asked, |q| sqlite.ask_by_mask(q).expect("counts"), |_, counted| sqlite.answer(counted));
    let peers = [
        ("tantivy aggregations", &texts),
        ("tantivy aggregations of integer codes", &codes),
        ("SQLite FTS5, a statement a group", &joined),
        ("SQLite FTS5, one pass and a mask", &masked),
    ];
    table("Style facets and their histograms alone", &asked, &own, &peers);
    let bare = bare("the columns of all styles, summed", || scan.styles(), &own, &asked);
    plan(&asked, sqlite);
    let half = |run: &Run| run.1.at(50, &asked, |_| true);
    vec![
        ("Lastbench, style facets".to_owned(), half(&own)),
        ("tantivy aggregations".to_owned(), half(&texts)),
        ("SQLite FTS5, style facets".to_owned(), half(&joined).min(half(&masked))),
        ("bare scan of the styles".to_owned(), bare),
    ]
}

fn one_sku(
    snapshot: &Snapshot,
    ranker: &Ranker,
    sqlite: &Sqlite,
    scan: &Scan,
    questions: usize,
) -> Vec<Half> {
    let known = snapshot.search(&Search::default(), None).expect("an answer");
    let asked = of_one_sku(questions, &known);
    let own = own(&asked, snapshot, Some(ranker));
    let peer = timed(&asked, |q| sqlite.ask(q).expect("counts"), |_, counted| sqlite.answer(counted));
    let title = "Size, width, stock and price on one SKU, first twenty by suitability";
    table(title, &asked, &own, &[("SQLite FTS5, join to the SKUs", &peer)]);
    let bare = bare("the columns of all SKUs, summed", || scan.skus(), &own, &asked);
    plan(&asked, sqlite);
    let half = |run: &Run| run.1.at(50, &asked, |_| true);
    vec![
        ("Lastbench, one SKU".to_owned(), half(&own)),
        ("SQLite FTS5, one SKU".to_owned(), half(&peer)),
        ("bare scan of the SKUs".to_owned(), bare),
    ]
}

/// What reading the columns alone takes, and how often that is in an answer of ours.
fn bare(what: &str, scan: impl Fn() -> u64, own: &Run, asked: &[Question]) -> Duration {
    let mut took: Vec<Duration> = (0..21)
        .map(|_| {
            let start = Instant::now();
            scan();
            start.elapsed()
        })
        .collect();
    took.sort_unstable();
    let (bare, half) = (took[took.len() / 2], own.1.at(50, asked, |_| true));
    println!(
        "Bare scan, {what}: {bare:.1?}; half of our answers take {:.1}x of it.\n",
        half.as_secs_f64() / bare.as_secs_f64()
    );
    bare
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
        let begun = Instant::now();
        let mut times: Vec<Duration> = Vec::with_capacity(TIMES);
        while times.len() < TIMES && (times.is_empty() || begun.elapsed() < LONGEST) {
            let start = Instant::now();
            std::hint::black_box(ask(question));
            times.push(start.elapsed());
        }
        times.sort_unstable();
        times[times.len() / 2]
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
