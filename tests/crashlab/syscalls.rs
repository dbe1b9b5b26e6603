//! C2: SIGKILL, EIO and ENOSPC at each system call that changes a file, by strace.

use std::collections::BTreeMap;
use std::fs;
use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};

use tests::chance::{Chance, number};

use crate::house::{House, tool};
use crate::oracle::{Oracle, export, last_change};
use crate::table::{Found, Outcome};

const CALLS: &str = "pwrite64,write,fdatasync,fsync,/^rename,/^unlink,ftruncate,/^mkdir";
const FAULTS: [&str; 3] = ["signal=SIGKILL", "error=EIO", "error=ENOSPC"];
const WORKERS: usize = 2;
/// Every call under `LASTBENCH_EVERY_CALL`; otherwise as many of them, by the seed, as this time allows.
const SECONDS: u64 = 40;

/// A command, and the folder that it is given.
struct Deed {
    name: &'static str,
    arguments: Vec<String>,
    /// With the index to build anew.
    bare: bool,
    before: Vec<u8>,
    after: Vec<u8>,
    last: usize,
}

/// One call that goes wrong: the `at`-th of its name.
#[derive(Clone)]
struct Point {
    deed: usize,
    call: String,
    at: usize,
    fault: &'static str,
}

pub(crate) fn sweep(oracle: &Oracle) -> Outcome {
    if let Some(why) = missing() {
        return Outcome::Skipped(why);
    }
    let deeds = deeds(oracle);
    let mut points: Vec<Point> =
        (0..deeds.len()).flat_map(|deed| points(oracle, &deeds[deed], deed)).collect();
    Chance::of(Chance::seed() ^ 0xC2).shuffle(&mut points);
    let every = number("LASTBENCH_EVERY_CALL").is_some();
    let until = Instant::now() + if every { Duration::from_hours(6) } else { Duration::from_secs(SECONDS) };
    let (deeds, all) = (&deeds, &points);
    let found = thread::scope(|scope| {
        let worker = |worker: usize| {
            scope.spawn(move || {
                let own = all.iter().skip(worker).step_by(WORKERS).take_while(|_| Instant::now() < until);
                own.map(|point| hit(oracle, deeds, point, worker))
                    .fold(Found::default(), |all, one| all.and(&one))
            })
        };
        let workers: Vec<_> = (0..WORKERS).map(worker).collect();
        workers.into_iter().map(|one| one.join().unwrap()).reduce(|all, one| all.and(&one)).unwrap()
    });
    let note = format!("of {} points in import, count, undo and rebuild", points.len());
    Outcome::Done(Found { note, ..found })
}

/// D5: EIO at each read of the store while it is written out. What comes is whole, or is refused.
pub(crate) fn unread(oracle: &Oracle) -> Outcome {
    if let Some(why) = missing() {
        return Outcome::Skipped(why);
    }
    let house = oracle.house("unread");
    let (store, whole) = (house.0.join("catalogue.sqlite"), export(&house));
    let mut found = Found::default();
    let mut refused = 0;
    for at in 1..200 {
        let inject = format!("inject=pread64:error=EIO:when={at}");
        let tracer = ["strace", "-f", "-o", "/dev/null", "-P", store.to_str().unwrap(), "-e", &inject];
        let run = house.behind(&tracer, &["export", "--ndjson"]).output().unwrap();
        let words = String::from_utf8_lossy(&run.stderr);
        assert!(!words.contains("panicked"), "read {at}: {words}");
        found.tries += 1;
        if run.status.success() {
            found.mixed += usize::from(run.stdout != whole);
            break;
        }
        let told = run.status.code() == Some(3) && run.stdout.is_empty() && words.contains("lastbench: ");
        assert!(told, "read {at}: {:?} {words}", run.status);
        refused += 1;
    }
    assert!(refused > 0, "no read was met");
    found.note = format!("{refused} times exit 3 without a line of data");
    Outcome::Done(found)
}

/// Why it cannot be done here.
pub(crate) fn missing() -> Option<String> {
    if !tool(&["strace", "--version"]) {
        return Some("strace is not installed; tests/run installs it".to_owned());
    }
    (!tool(&["strace", "-f", "-o", "/dev/null", "true"])).then(|| "this system allows no ptrace".to_owned())
}

fn deeds(oracle: &Oracle) -> Vec<Deed> {
    let write = |name: &str, text: &str| {
        let path = oracle.at(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let second = write("second.csv", &crate::script::sheet(777));
    let codes = write("codes.txt", &crate::script::counted(2));
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let deed = |name, arguments: Vec<String>, bare| {
        let house = oracle.house("deed");
        let before = export(&house);
        let run = house.run(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(run.status.success(), "{name}: {}", String::from_utf8_lossy(&run.stderr));
        let (after, last) = (export(&house), last_change(&house));
        fs::remove_dir_all(&house.0).unwrap();
        Deed { name, arguments, bare, before, after, last }
    };
    vec![
        deed("import", words(&["import", "--yes", "--supplier", "Feldrast", &second]), false),
        deed("count", words(&["count", "--yes", &codes]), false),
        deed("undo", words(&["undo", "1"]), false),
        deed("rebuild", words(&["rebuild"]), true),
    ]
}

fn house(oracle: &Oracle, deed: &Deed, name: &str) -> House {
    let house = oracle.house(name);
    if deed.bare {
        let _ = fs::remove_dir_all(house.0.join("index"));
    }
    house
}

/// Every call of a run without a fault, each with every fault.
fn points(oracle: &Oracle, deed: &Deed, at: usize) -> Vec<Point> {
    let house = house(oracle, deed, "traced");
    let log = oracle.at("trace");
    let traced = traced(&house, deed, &["-o", log.to_str().unwrap(), "-e", &format!("trace={CALLS}")])
        .output()
        .unwrap();
    assert!(traced.status.success(), "{}", String::from_utf8_lossy(&traced.stderr));
    let mut most: BTreeMap<(String, String), usize> = BTreeMap::new();
    for line in fs::read_to_string(&log).unwrap().lines() {
        let Some((thread, rest)) = line.split_once(' ') else { continue };
        let Some((call, _)) = rest.trim_start().split_once('(') else { continue };
        if call.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
            *most.entry((call.to_owned(), thread.to_owned())).or_default() += 1;
        }
    }
    fs::remove_dir_all(&house.0).unwrap();
    // Calls are counted in each thread by itself: the busiest has them all.
    let mut calls: BTreeMap<String, usize> = BTreeMap::new();
    for ((call, _), times) in most {
        let most = calls.entry(call).or_default();
        *most = times.max(*most);
    }
    let of = |(call, times): (String, usize)| {
        (1..=times).flat_map(move |at_call| {
            let call = call.clone();
            FAULTS.map(|fault| Point { deed: at, call: call.clone(), at: at_call, fault })
        })
    };
    calls.into_iter().flat_map(of).collect()
}

fn traced(house: &House, deed: &Deed, tracer: &[&str]) -> Command {
    let before = [&["strace", "-f", "--seccomp-bpf"], tracer].concat();
    house.behind(&before, &deed.arguments.iter().map(String::as_str).collect::<Vec<_>>())
}

fn hit(oracle: &Oracle, deeds: &[Deed], point: &Point, worker: usize) -> Found {
    let deed = &deeds[point.deed];
    let Point { call, at, fault, .. } = point;
    let what = format!("{}: {fault} at {call} {at}", deed.name);
    let house = house(oracle, deed, &format!("call-{worker}"));
    let inject = format!("inject={call}:{fault}:when={at}");
    let run = traced(&house, deed, &["-o", "/dev/null", "-e", &format!("trace={call}"), "-e", &inject])
        .output()
        .unwrap();
    let words = String::from_utf8_lossy(&run.stderr);
    assert!(!words.contains("panicked"), "{what}: {words}");
    let acknowledged = run.status.success();
    if !acknowledged && *fault != FAULTS[0] {
        assert!(matches!(run.status.code(), Some(1..=4)), "{what}: {:?} {words}", run.status);
        let blind = *call == "write";
        assert!(blind || words.contains("lastbench: "), "{what} is not told: {words}");
    }
    let mut found = Found { tries: 1, acknowledged: usize::from(acknowledged), ..Found::default() };
    let check = house.run(&["check"]);
    let told = String::from_utf8_lossy(&[check.stdout, check.stderr].concat()).into_owned();
    assert!(check.status.success(), "{what}: {told}");
    let now = export(&house);
    assert!(now == deed.before || now == deed.after, "{what}: left something between");
    found.lost = usize::from(acknowledged && now != deed.after);
    assert_eq!(found.lost, 0, "{what}: acknowledged and gone");
    // The store can be written on, by the same hands.
    if now == deed.before && now != deed.after {
        let again = house.run(&deed.arguments.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(again.status.success(), "{what}: again: {}", String::from_utf8_lossy(&again.stderr));
        assert!(export(&house) == deed.after && last_change(&house) == deed.last, "{what}: again");
    }
    fs::remove_dir_all(&house.0).unwrap();
    found
}
