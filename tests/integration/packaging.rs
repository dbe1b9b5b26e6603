//! The unit for systemd and the file for a container: how little they may do, and that it is enough.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tests::program::argument;
use tests::sample::sample;

const PROGRAM: &str = env!("CARGO_BIN_EXE_lastbench-under-test");
/// Root alone makes this call, when SQLite gives its files the owner of the catalogue; the unit runs as nobody.
const OF_ROOT: [&str; 1] = ["fchown"];

fn packaged(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../web/packaging").join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(packaged(name)).unwrap()
}

fn said_by(program: &str, arguments: &[&str]) -> String {
    let ran = Command::new(program).args(arguments).output();
    let ran = ran.unwrap_or_else(|fault| panic!("{program}: {fault}. `tests/run` installs what is missing"));
    assert!(ran.status.success(), "{program} {arguments:?}: {}", String::from_utf8_lossy(&ran.stderr));
    String::from_utf8(ran.stdout).unwrap()
}

/// `systemd-analyze security` gives 10 to a service without any limits.
#[test]
fn the_unit_is_exposed_to_two_and_a_half_at_most() {
    let unit = packaged("lastbench.service");
    let report = said_by("systemd-analyze", &["security", "--offline=yes", "--no-pager", argument(&unit)]);
    let (_, overall) = report.split_once("Overall exposure level for lastbench.service: ").unwrap();
    let score: f64 = overall.split(' ').next().unwrap().parse().unwrap();
    println!("systemd-analyze security: {score}");
    assert!(score <= 2.5, "{report}");
    for line in ["DynamicUser=yes", "StateDirectory=lastbench", "ProtectSystem=strict", "NoNewPrivileges=yes"]
    {
        assert!(text("lastbench.service").lines().any(|told| told == line), "{line}");
    }
    assert!(text("lastbench.service").lines().any(|line| line.starts_with("LoadCredential=")));
}

/// The unit with a program that is there has no line that systemd does not know.
#[test]
fn systemd_understands_every_line_of_the_unit() {
    let folder = tempfile::tempdir().unwrap();
    let unit = folder.path().join("lastbench.service");
    std::fs::write(&unit, text("lastbench.service").replace("/usr/local/bin/lastbench", PROGRAM)).unwrap();
    let ran = Command::new("systemd-analyze").arg("verify").arg(&unit).output().unwrap();
    let words = String::from_utf8_lossy(&ran.stderr);
    let of_ours: Vec<&str> = words.lines().filter(|line| line.contains("lastbench.service")).collect();
    assert!(of_ours.is_empty(), "{of_ours:?}");
}

/// The calls of a group of systemd, those of the groups within it included.
fn group(name: &str) -> BTreeSet<String> {
    let listed = said_by("systemd-analyze", &["syscall-filter", "--no-pager", name]);
    let mut calls = BTreeSet::new();
    for word in listed.lines().map(str::trim).filter(|line| !line.starts_with('#') && *line != name) {
        if word.starts_with('@') {
            calls.extend(group(word));
        } else {
            calls.insert(word.to_owned());
        }
    }
    calls
}

/// What the unit's filter lets through.
fn allowed() -> BTreeSet<String> {
    let mut allowed = BTreeSet::new();
    for filter in text("lastbench.service").lines().filter_map(|line| line.strip_prefix("SystemCallFilter="))
    {
        match filter.strip_prefix('~') {
            Some(name) => {
                let denied = group(name);
                allowed.retain(|call| !denied.contains(call));
            }
            None => allowed.extend(group(filter)),
        }
    }
    allowed
}

/// The names in a trace: `123 openat(…` and `123 <... read resumed>…`.
fn called(trace: &Path) -> BTreeSet<String> {
    let text = String::from_utf8_lossy(&std::fs::read(trace).unwrap()).into_owned();
    let name = |line: &str| {
        let (_, call) = line.split_once(' ')?;
        let name = call.trim_start().split('(').next()?;
        let is_name = !name.is_empty()
            && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
        is_name.then(|| name.to_owned())
    };
    text.lines().filter_map(name).collect()
}

/// An import with its child that limits itself, and a server that answers and is told to stop, under strace.
#[test]
fn every_call_of_the_server_and_of_the_reader_of_sheets_is_one_that_the_unit_allows() {
    let folder = tempfile::tempdir().unwrap();
    let (import, serve) = (folder.path().join("import"), folder.path().join("serve"));
    let data = folder.path().join("data");
    let traced = |trace: &Path, arguments: &[&str]| {
        let mut command = Command::new("strace");
        command.args(["-f", "-qq", "-o"]).arg(trace).arg(PROGRAM).args(arguments).arg("--data").arg(&data);
        command.stdin(Stdio::null()).stdout(Stdio::null());
        command
    };
    let ran = traced(&import, &["import", "--yes", argument(&sample("range.csv"))])
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(ran.success(), "{ran}");
    let mut server = traced(&serve, &["serve", "--listen", "127.0.0.1:0", "--log", "json"])
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut words = std::io::BufReader::new(server.stderr.take().unwrap());
    let mut first = String::new();
    std::io::BufRead::read_line(&mut words, &mut first).unwrap();
    let address = first.split("http://").nth(1).unwrap().split('/').next().unwrap();
    for target in ["/", "/shoes?q=marl", "/shoes.xlsx", "/metrics", "/changes"] {
        assert_eq!(tests::http::get(address, target).unwrap().status, 200, "{target}");
    }
    // The first process in the trace is the server; strace itself hands no signal on.
    let trace = std::fs::read_to_string(&serve).unwrap();
    let of_server = trace.split(' ').next().unwrap();
    assert!(Command::new("kill").args(["-TERM", of_server]).status().unwrap().success());
    assert!(server.wait().unwrap().success(), "a server that is told to stop ends well");
    let mut calls = called(&import);
    calls.extend(called(&serve));
    for needed in ["execve", "prlimit64", "fdatasync", "accept4"] {
        assert!(calls.contains(needed), "{needed} was not seen: {calls:?}");
    }
    assert!(!calls.contains("connect"), "the server calls nobody: {calls:?}");
    let allowed = allowed();
    let refused: Vec<_> =
        calls.iter().filter(|call| !allowed.contains(*call) && !OF_ROOT.contains(&&***call)).collect();
    assert!(allowed.len() > 200 && refused.is_empty(), "the unit refuses {refused:?}");
}

#[test]
fn the_container_is_run_by_nobody_and_asks_the_program_itself_whether_it_lives() {
    let text = text("Containerfile");
    let of = |word: &str| text.lines().filter_map(move |line| line.strip_prefix(word)).collect::<Vec<_>>();
    let users = of("USER ");
    let user: u32 = users.last().unwrap().split(':').next().unwrap().parse().unwrap();
    assert!(user > 999, "{users:?}");
    let images: Vec<&str> = of("FROM ").into_iter().map(|image| image.split(' ').next().unwrap()).collect();
    assert!(
        images.len() == 2 && images.iter().all(|image| !image.contains('/')),
        "plain names of images: {images:?}"
    );
    let health = of("HEALTHCHECK ");
    let (_, exec) = health[0].split_once("CMD ").unwrap();
    let exec: Vec<String> = serde_json::from_str(exec).expect("exec form: no shell is needed for it");
    assert_eq!(exec[1..], ["healthcheck"]);
    assert!(!text.contains("curl") && !text.contains("wget"));
}

/// A name that nobody reads would be silently without effect.
#[test]
fn every_variable_that_unit_and_container_set_is_one_that_the_program_reads() {
    let lastbench = tests::lastbench!();
    let help = lastbench.done(&["serve", "--help"]);
    for file in ["lastbench.service", "Containerfile"] {
        let text = text(file);
        let lines = text.lines().filter(|line| line.starts_with("ENV ") || line.starts_with("Environment="));
        let set: Vec<&str> = lines
            .flat_map(|line| line.split([' ', '=']))
            .filter(|word| word.starts_with("LASTBENCH_"))
            .collect();
        assert!(set.len() >= 3, "{file}: {set:?}");
        for name in set {
            assert!(help.contains(&format!("[env: {name}")), "{file}: {name}");
        }
    }
}
