//! C6: a power cut that takes along what was never synced. What a server did to its folder is recorded, and played back up
//! to some moment as a disk may keep it: all that was synced before, and of the rest anything, whole, torn or not at all.
//!
//! The disk is a meaner one than most: a name is kept once its folder is synced, and by nothing else.

use std::collections::HashMap;
use std::fs;
use std::thread;

use indexer::keeping::backups;
use rusqlite::Connection;
use rusqlite::config::DbConfig;
use tests::chance::{Chance, number};

use crate::backups::is_good;
use crate::house::{House, Server};
use crate::oracle::{Oracle, index_is_derived};
use crate::recorded::{Content, Deed, Done, Node, Recorded, Tree};
use crate::script::{self, Heard, LAST};
use crate::table::{Found, Outcome};
use crate::trace::{calls, tracer};

const WORKERS: usize = 2;
/// How many disks that do not do what they are asked are looked at: each of them may be lucky.
const MEAN_DISKS: u64 = 16;
/// A disk tears a write between two of these, and nowhere else.
const SECTOR: usize = 512;
/// The first server is killed after this change, and the second goes on with its log.
const KILLED: usize = 4;
/// The second is stopped in order after this one, and takes the log away; a third begins another.
const STOPPED: usize = 38;

/// A moment, and the chance of what was not synced by then.
struct Moment {
    line: usize,
    seed: u64,
}

/// Which syncs count.
#[derive(Clone, Copy, PartialEq)]
enum Syncs {
    All,
    /// A disk that keeps nothing.
    OfNoFile,
    /// A program that forgets its folders.
    OfNoFolder,
}

/// What is left at `LASTBENCH_CUTS` moments: every change acknowledged by then, and the state after one change whole.
pub(crate) fn unsynced(oracle: &Oracle) -> Outcome {
    if let Some(why) = crate::syscalls::missing() {
        return Outcome::Skipped(why);
    }

    let recorded = record(oracle);

    let told = teeth(oracle, &recorded);

    let cuts = number("LASTBENCH_CUTS").unwrap_or(100) as usize;
    let moments = moments(&recorded, cuts);
    let kept_from = kept_from(&recorded, Syncs::All);
    let found = thread::scope(|scope| {
        let worker = |worker: usize| {
            let (recorded, kept_from, moments) = (&recorded, &kept_from, &moments);
            let own = move || moments.iter().enumerate().skip(worker).step_by(WORKERS);
            scope.spawn(move || {
                own()
                    .map(|moment| cut(oracle, recorded, kept_from, moment))
                    .fold(Found::default(), |all, one| all.and(&one))
            })
        };
        let workers: Vec<_> = (0..WORKERS).map(worker).collect();
        workers.into_iter().map(|one| one.join().unwrap()).reduce(|all, one| all.and(&one)).unwrap()
    });
    let done = recorded.done.len();
    Outcome::Done(found.noted(&format!("moments among {done} calls of three servers; {told}")))
}

/// Three servers one after the other: one that makes its index and is killed, one that is stopped, one that is killed.
fn record(oracle: &Oracle) -> Recorded {
    let house = oracle.house("recorded");
    let house = House(fs::canonicalize(&house.0).unwrap());
    fs::remove_dir_all(house.0.join("index")).unwrap();
    lengthen_log(&house);
    let (mut recorded, mut lines) = (Recorded::of(&house.0), 0);
    for (session, changes) in [2..=KILLED, KILLED + 1..=STOPPED, STOPPED + 1..=LAST].into_iter().enumerate() {
        let log = oracle.at(&format!("server-{session}"));
        let words = tracer(log.to_str().unwrap());
        let server = house.serve(&words.iter().map(String::as_str).collect::<Vec<_>>()).unwrap();
        make_all(&server, changes.clone());
        if *changes.end() == STOPPED {
            assert_eq!(server.stop(), Some(0));
        } else {
            server.kill();
        }
        let trace = fs::read_to_string(&log).unwrap();
        let (begin, log) = (recorded.done.len(), recorded.at_root("catalogue.sqlite-wal"));
        recorded.add(&calls(&trace, lines));
        if let Some(log) = log {
            log_is_synced_first(&recorded, begin, log);
        }
        lines += trace.lines().count();
    }
    let heard: Vec<usize> = acknowledged(&recorded).map(|(change, _)| change).collect();
    assert_eq!(heard, (2..=LAST).collect::<Vec<_>>(), "the receipts of the trace");
    // Nothing was done to the folder that the record does not know.
    let (played, there) = (keep_all(&recorded), Tree::read(&house.0));
    assert_eq!(played.files().keys().collect::<Vec<_>>(), there.files().keys().collect::<Vec<_>>());
    for (path, bytes) in there.files() {
        assert!(played.files()[&path] == bytes, "{path} is not as it was recorded");
    }
    recorded
}

/// A killed server may have written a whole change and not have synced it: whoever finds that in its log, and tells of it,
/// has it kept before.
fn log_is_synced_first(recorded: &Recorded, begin: usize, log: Node) {
    let first = recorded.done[begin..].iter().find(|done| match done.deed {
        Deed::Sync(node) | Deed::Write { file: node, .. } | Deed::Cut { file: node, .. } => node == log,
        _ => false,
    });
    let is_synced = matches!(first, Some(Done { deed: Deed::Sync(_), .. }));
    assert!(is_synced, "what a killed server has left in its log is not synced");
}

/// So that it is long enough, in the middle of the changes, to be written into the store.
fn lengthen_log(house: &House) {
    let store = Connection::open(house.0.join("catalogue.sqlite")).unwrap();
    store.pragma_update(None, "synchronous", "OFF").unwrap();
    store.pragma_update(None, "wal_autocheckpoint", 0).unwrap();
    store.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true).unwrap();
    let version: i64 = store.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    for _ in 0..700 {
        store.pragma_update(None, "user_version", version).unwrap();
    }
}

fn make_all(server: &Server, changes: std::ops::RangeInclusive<usize>) {
    for change in changes {
        assert!(matches!(script::make(&server.address, change), Heard::Acknowledged), "change {change}");
    }
}

/// Each change with the line at which its receipt was sent.
fn acknowledged(recorded: &Recorded) -> impl Iterator<Item = (usize, usize)> {
    let mut last = 1;
    recorded.done.iter().filter_map(move |done| match done.deed {
        // A receipt may be shown again.
        Deed::Acknowledge(change) if change > last => {
            last = change;
            Some((change, done.begin))
        }
        _ => None,
    })
}

fn keep_all(recorded: &Recorded) -> Tree {
    let mut tree = recorded.start.clone();
    recorded.done.iter().for_each(|done| redo(&mut tree, &done.deed));
    tree
}

/// A third of them anywhere; a third as an answer is sent, since what it promises is to be there; and a third from where
/// the log is written into the store, after which it begins anew.
fn moments(recorded: &Recorded, cuts: usize) -> Vec<Moment> {
    let mut chance = Chance::of(Chance::seed() ^ 0xC6);
    let receipts: Vec<usize> = acknowledged(recorded).map(|(_, line)| line).collect();
    let done = &recorded.done;
    let into_store = into_store(recorded);
    let moment = |at: usize| {
        let line = match at % 3 {
            0 => done[chance.below(done.len())].begin,
            1 => *chance.one(&receipts).unwrap(),
            _ => done[into_store + chance.below(done.len() - into_store)].begin,
        };
        Moment { line, seed: chance.draw() }
    };
    (0..cuts).map(moment).collect()
}

/// The first deed after the last receipt before the log was written into the store, which the second server does at work.
fn into_store(recorded: &Recorded) -> usize {
    let done = &recorded.done;
    let is_store =
        |node: Node| matches!(&recorded.start.0[node], Content::File(bytes) if bytes.starts_with(b"SQLite"));
    let first = done.iter().position(|one| matches!(one.deed, Deed::Write { file, .. } if is_store(file)));
    let first = first.expect("the log was written into the store");
    let receipt = |one: &Done| matches!(one.deed, Deed::Acknowledge(change) if change < STOPPED - 1);
    let before = done[..first].iter().rposition(|one| matches!(one.deed, Deed::Acknowledge(_)));
    let before = before.filter(|at| receipt(&done[*at])).expect("the log was begun anew before the end");
    before + 1
}

fn cut(oracle: &Oracle, recorded: &Recorded, kept_from: &[usize], (at, moment): (usize, &Moment)) -> Found {
    let (house, acknowledged) = leave(oracle, recorded, kept_from, moment, &format!("cut-{at}"));
    let (_, mut one) = oracle.look(&house, acknowledged);
    let said = format!("line {}, seed {}, after change {acknowledged}", moment.line, moment.seed);
    assert!(one.refused == 0, "{said}: refused: {}", one.note);
    assert!(one.is_whole(), "{said}: lost {}, mixed {}", one.lost, one.mixed);
    if at.is_multiple_of(10) {
        index_is_derived(&house);
        for backup in backups(&house.0.join("backups")).unwrap() {
            assert!(is_good(&house, &backup.path), "{said}: {} is none", backup.path.display());
        }
    }
    one.acknowledged = acknowledged - 1;
    fs::remove_dir_all(&house.0).unwrap();
    one
}

/// The folder as it is after the power is back, and the last change that was acknowledged before.
fn leave(
    oracle: &Oracle,
    recorded: &Recorded,
    kept_from: &[usize],
    moment: &Moment,
    name: &str,
) -> (House, usize) {
    let house = House(oracle.at(name));
    fs::create_dir_all(&house.0).unwrap();
    for (path, bytes) in play(recorded, kept_from, moment).files() {
        let path = house.0.join(path.trim_start_matches('/'));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let heard = acknowledged(recorded).filter(|(_, line)| *line <= moment.line).last();
    (house, heard.map_or(1, |(change, _)| change))
}

/// What a disk keeps.
fn play(recorded: &Recorded, kept_from: &[usize], moment: &Moment) -> Tree {
    let mut chance = Chance::of(moment.seed);
    // In a hundred: from a disk that had no time for anything to one that was nearly done.
    let kept = *chance.one(&[0, 10, 50, 90, 100]).unwrap();
    let mut tree = recorded.start.clone();
    let done = recorded.done.iter().zip(kept_from);
    for (done, from) in done.filter(|(done, _)| done.begin <= moment.line) {
        if *from <= moment.line || chance.below(100) < kept {
            redo(&mut tree, &done.deed);
        } else if let Deed::Write { file, at, bytes } = &done.deed {
            let torn = front(*at, bytes, &mut chance);
            if !torn.is_empty() {
                tree.write(*file, *at, torn);
            }
        }
    }
    tree
}

/// The sectors of a write that were reached, its first ones, and often none.
fn front<'b>(at: usize, bytes: &'b [u8], chance: &mut Chance) -> &'b [u8] {
    let (first, end) = (at / SECTOR + 1, (at + bytes.len()).div_ceil(SECTOR));
    let inside: Vec<usize> = (first..end).map(|sector| sector * SECTOR - at).collect();
    match chance.one(&inside) {
        Some(reached) if chance.below(2) == 0 => &bytes[..*reached],
        _ => &[],
    }
}

/// For each deed the line at which a sync that began after it was over, none where there is none: from then on it stays.
fn kept_from(recorded: &Recorded, syncs: Syncs) -> Vec<usize> {
    let counts = |node: Node| match recorded.start.0[node] {
        Content::File(_) => syncs != Syncs::OfNoFile,
        Content::Folder(_) => syncs != Syncs::OfNoFolder,
    };
    let mut of_node: HashMap<Node, Vec<&Done>> = HashMap::new();
    for done in &recorded.done {
        if let Deed::Sync(node) = done.deed
            && counts(node)
        {
            of_node.entry(node).or_default().push(done);
        }
    }
    let synced = |node: &Node, end: usize| {
        let later = of_node.get(node).into_iter().flatten().filter(|sync| sync.begin > end);
        later.map(|sync| sync.end).min().unwrap_or(usize::MAX)
    };
    let from = |Done { deed, end, .. }: &Done| match deed {
        Deed::Write { file, .. } | Deed::Cut { file, .. } => synced(file, *end),
        Deed::Name { folder, .. } => synced(folder, *end),
        Deed::Move { from, to, .. } => synced(&from.0, *end).max(synced(&to.0, *end)),
        Deed::Sync(_) | Deed::Acknowledge(_) => 0,
    };
    recorded.done.iter().map(from).collect()
}

fn redo(tree: &mut Tree, deed: &Deed) {
    match deed {
        Deed::Write { file, at, bytes } => tree.write(*file, *at, bytes),
        Deed::Cut { file, length } => tree.cut(*file, *length),
        Deed::Name { folder, name, node } => tree.name(*folder, name, *node),
        Deed::Move { from, to, node } => {
            tree.name(from.0, &from.1, None);
            tree.name(to.0, &to.1, Some(*node));
        }
        Deed::Sync(_) | Deed::Acknowledge(_) => {}
    }
}

/// A disk that does not do what a sync asks, and a program that never asks it for its folders, lose what was
/// acknowledged: a test that found nothing there would find nothing anywhere.
fn teeth(oracle: &Oracle, recorded: &Recorded) -> String {
    let (_, line) = acknowledged(recorded).last().unwrap();
    let told = [(Syncs::OfNoFile, "files"), (Syncs::OfNoFolder, "folders")].map(|(syncs, of)| {
        let (kept_from, mut bad) = (kept_from(recorded, syncs), 0);
        for seed in 0..MEAN_DISKS {
            let moment = Moment { line, seed };
            let (house, acknowledged) = leave(oracle, recorded, &kept_from, &moment, &format!("{of}-{seed}"));
            let (_, one) = oracle.look(&house, acknowledged);
            bad += usize::from(one.lost + one.mixed + one.refused > 0);
            fs::remove_dir_all(&house.0).unwrap();
        }
        assert!(bad > 0, "nothing is lost where syncs of {of} are not done");
        format!("{bad} of {MEAN_DISKS} where syncs of {of}")
    });
    format!("{} do nothing", told.join(" and "))
}
