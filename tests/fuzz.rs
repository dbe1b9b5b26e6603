//! Fuzzing on the stable compiler: seeds out of the hostile corpus, changed by a mutator of our own, without a look at
//! coverage, and for each target what must hold of any input.
//!
//! `cargo test --test fuzz` takes a minute a target, as many at a time as there are processors; `LASTBENCH_FUZZ_SECONDS=1200`
//! takes longer, `LASTBENCH_SEED=2` other inputs, a word behind `--test fuzz --` one target. An input that breaks something is printed as Rust has it: mend the
//! fault, and keep the input among the tests of what was mended.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test may fail loudly, and prints what it did"
)]

#[path = "fuzz/doors.rs"]
mod doors;
#[allow(dead_code, reason = "what is asked of whole cases is asked elsewhere")]
#[path = "integration/hostile/mod.rs"]
mod hostile;
#[path = "fuzz/meaning.rs"]
mod meaning;
#[path = "fuzz/mutate.rs"]
mod mutate;

use std::num::NonZero;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use doors::{Frames, House, Sheets};
use mutate::Seeds;
use tests::chance::{Chance, number};

const SECONDS: u64 = 60;
/// Far beyond anything that a busy machine explains.
const TOO_SLOW: Duration = Duration::from_secs(30);

type Holds = Box<dyn Fn(&[u8], &mut Chance)>;
type Target = (&'static str, fn() -> (Seeds, Holds));

const TARGETS: [Target; 7] = [
    ("sheets", || {
        let sheets = Sheets::new();
        (Sheets::seeds(), Box::new(move |bytes, chance| sheets.read(bytes, chance)))
    }),
    ("frames of the child", || {
        let frames = Frames::new();
        (Frames::seeds(), Box::new(move |bytes, chance| frames.hear(bytes, chance)))
    }),
    ("headings", || (meaning::headings(), Box::new(|bytes, _| meaning::heading(bytes)))),
    ("numbers, units and texts", || (meaning::cells(), Box::new(meaning::cell))),
    ("words to query", || {
        let house = House::new();
        (House::questions(), Box::new(move |bytes, _| house.ask(bytes)))
    }),
    ("multipart", || {
        let house = House::new();
        (House::uploads(), Box::new(move |bytes, chance| house.upload(bytes, chance)))
    }),
    ("files in TOML", || (meaning::toml(), Box::new(|bytes, _| meaning::file(bytes)))),
];

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    if std::env::args().any(|word| word == "--list") {
        for (name, _) in TARGETS {
            println!("{name}: test");
        }
        return ExitCode::SUCCESS;
    }
    let seconds = Duration::from_secs(number("LASTBENCH_FUZZ_SECONDS").unwrap_or(SECONDS));
    let asked = |name: &str| words.is_empty() || words.iter().any(|word| name.contains(word.as_str()));
    let targets: Vec<Target> = TARGETS.into_iter().filter(|(name, _)| asked(name)).collect();
    let passed = held(&targets, seconds);
    let failed = targets.len() - passed;
    let verdict = if failed == 0 { "ok" } else { "FAILED" };
    println!("\ntest result: {verdict}. {passed} passed; {failed} failed; 0 ignored");
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// How many targets held. Each processor takes the next one that nobody has taken.
fn held(targets: &[Target], seconds: Duration) -> usize {
    let (next, held) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let work = || {
        while let Some((name, target)) = targets.get(next.fetch_add(1, Ordering::Relaxed)) {
            held.fetch_add(usize::from(fuzz(name, *target, seconds)), Ordering::Relaxed);
        }
    };
    let processors = std::thread::available_parallelism().map_or(1, NonZero::get);
    std::thread::scope(|scope| {
        for _ in 0..processors.min(targets.len()) {
            scope.spawn(work);
        }
    });
    held.into_inner()
}

/// Every seed as it is, then mutants until the time is over or one breaks something.
fn fuzz(name: &str, target: fn() -> (Seeds, Holds), seconds: Duration) -> bool {
    let (seeds, holds) = target();
    let mut chance = Chance::of(Chance::seed());
    let until = Instant::now() + seconds;
    let (mut inputs, mut slowest) = (0_usize, Duration::ZERO);
    while inputs < seeds.seeds.len() || Instant::now() < until {
        let bytes = seeds.seeds.get(inputs).cloned().unwrap_or_else(|| seeds.mutant(&mut chance));
        let began = Instant::now();
        let held = catch_unwind(AssertUnwindSafe(|| holds(&bytes, &mut chance)));
        let took = began.elapsed();
        slowest = slowest.max(took);
        inputs += 1;
        if held.is_err() || took > TOO_SLOW {
            let seed = Chance::seed();
            println!(
                "{name}: FAILED at input {inputs} of seed {seed} after {took:?}:\nb\"{}\"",
                bytes.escape_ascii()
            );
            return false;
        }
    }
    println!(
        "{name}: {inputs} inputs, {} of them seeds, the slowest {} ms",
        seeds.seeds.len(),
        slowest.as_millis()
    );
    true
}
