//! The crash laboratory: the real program as a process, a fault, and then what must hold: every acknowledged change is
//! there (I1), the catalogue is as after one change whole (I2), the index follows from the store (I3), what is taken back
//! is as before (I4), and nothing half done is left.
//!
//! `cargo test --test crashlab` runs all of it, with a word behind it what has the word in its name. `LASTBENCH_KILLS`
//! sets the number of random kills, `LASTBENCH_CUTS` of power cuts, `LASTBENCH_EVERY_CALL` takes every system call,
//! `LASTBENCH_SEED` another chance.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a laboratory may fail loudly, and prints its table"
)]

#[path = "crashlab/backups.rs"]
mod backups;
#[path = "crashlab/behind.rs"]
mod behind;
#[path = "crashlab/crowd.rs"]
mod crowd;
#[path = "crashlab/disk.rs"]
mod disk;
#[path = "crashlab/house.rs"]
mod house;
#[path = "crashlab/images.rs"]
mod images;
#[path = "crashlab/kills.rs"]
mod kills;
#[path = "crashlab/logs.rs"]
mod logs;
#[path = "crashlab/memory.rs"]
mod memory;
#[path = "crashlab/oracle.rs"]
mod oracle;
#[path = "crashlab/powercut.rs"]
mod powercut;
#[path = "crashlab/reads.rs"]
mod reads;
#[path = "crashlab/recorded.rs"]
mod recorded;
#[path = "crashlab/script.rs"]
mod script;
#[path = "crashlab/share.rs"]
mod share;
#[path = "crashlab/syscalls.rs"]
mod syscalls;
#[path = "crashlab/table.rs"]
mod table;
#[path = "crashlab/trace.rs"]
mod trace;
#[path = "crashlab/unheard.rs"]
mod unheard;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::time::Instant;

use oracle::Oracle;
use table::{HEAD, Line, Outcome};

type Fault = (&'static str, fn(&Oracle) -> Outcome);

const FAULTS: [Fault; 25] = [
    ("kill -9 at random (C1)", kills::random),
    ("killed again while starting (C4)", kills::double),
    ("SIGTERM at random (P10)", kills::stopped),
    ("the reader of a sheet killed (C9)", kills::reader),
    ("more callers than files (D9)", kills::crowded),
    ("many at once (P1, P3, P4, P5)", crowd::at_once),
    ("answers that nobody hears (N8, N12)", unheard::sent_again),
    ("two servers on one folder (X5)", kills::two_servers),
    ("KILL, EIO, ENOSPC at a system call (C2)", syscalls::sweep),
    ("killed before the index follows (C3)", behind::followed),
    ("a backup at a system call (C7)", backups::broken_off),
    ("no room for a backup (B2)", backups::without_room),
    ("a log taken away or exchanged (S3)", logs::lost),
    ("EIO on a read (D5)", syscalls::unread),
    ("EIO on reads of a server (D5)", reads::at_work),
    ("disk full (D1)", disk::full),
    ("no room for the index (D2)", disk::index_full),
    ("a file that may not grow (D3)", disk::limited),
    ("EIO on every sync (D6)", disk::sync_fails),
    ("read-only folder (D7)", disk::read_only),
    ("memory runs out (D10)", memory::runs_out),
    ("folder on a share (X6)", share::refused),
    ("pulled plug, ext4 (C5)", images::pulled_plug),
    ("writes lost that were not synced (C6)", powercut::unsynced),
    ("folder copied while running (S7)", images::copied_folder),
];

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    if std::env::args().any(|word| word == "--list") {
        for (name, _) in FAULTS {
            println!("{name}: test");
        }
        return ExitCode::SUCCESS;
    }
    let chosen: Vec<&Fault> = FAULTS
        .iter()
        .filter(|(name, _)| words.is_empty() || words.iter().any(|word| name.contains(word.as_str())))
        .collect();
    if chosen.is_empty() {
        println!("\ntest result: ok. 0 passed; 0 failed; 0 ignored");
        return ExitCode::SUCCESS;
    }
    let oracle = Oracle::new();
    let (mut passed, mut failed, mut ignored) = (0, 0, 0);
    let mut lines = Vec::new();
    for (name, fault) in chosen {
        let began = Instant::now();
        let outcome = catch_unwind(AssertUnwindSafe(|| fault(&oracle)));
        let took = began.elapsed().as_secs();
        match outcome {
            Ok(Outcome::Done(found)) if found.is_whole() => {
                println!("{name}: held, {took} s");
                passed += 1;
                lines.push(Line(name, &found).to_string());
            }
            Ok(Outcome::Done(found)) => {
                println!("{name}: FAILED, {took} s");
                failed += 1;
                lines.push(Line(name, &found).to_string());
            }
            Ok(Outcome::Skipped(why)) => {
                println!("{name}: not done here: {why}");
                ignored += 1;
            }
            Err(_) => {
                println!("{name}: FAILED, {took} s, seed {}", tests::chance::Chance::seed());
                failed += 1;
            }
        }
    }
    println!("\n{HEAD}");
    for line in lines {
        println!("{line}");
    }
    let verdict = if failed == 0 { "ok" } else { "FAILED" };
    println!("\ntest result: {verdict}. {passed} passed; {failed} failed; {ignored} ignored");
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
