//! What is built in is none of what `.cargo/deny.toml` bans, whether or not `cargo deny` is installed.

use std::fs;

use toml::{Table, Value};

use crate::none_of;
use crate::tree::root;

/// A crate that may not be built in: at all, or in versions below one.
struct Ban {
    name: String,
    below: Option<[u64; 3]>,
    reason: String,
}

fn table(path: &str) -> Table {
    let text = fs::read_to_string(root().join(path)).unwrap_or_else(|fault| panic!("{path}: {fault}"));
    text.parse().unwrap_or_else(|fault| panic!("{path}: {fault}"))
}

fn bans(deny: &Table) -> Vec<Ban> {
    let listed = deny["bans"]["deny"].as_array().expect("bans.deny is a list");
    let text = |ban: &Value, key: &str| ban.get(key).and_then(Value::as_str).unwrap_or_default().to_owned();
    let ban = |ban: &Value| {
        let spec = text(ban, "crate");
        let (name, below) = match spec.split_once(':') {
            Some((name, requirement)) => {
                let below =
                    requirement.strip_prefix('<').unwrap_or_else(|| panic!("{spec}: write name:<version"));
                (name.to_owned(), Some(version(below)))
            }
            None => (spec, None),
        };
        Ban { name, below, reason: text(ban, "reason") }
    };
    listed.iter().map(ban).collect()
}

/// What is before the other comes first; a version before a release counts as the release.
fn version(text: &str) -> [u64; 3] {
    let plain = text.split(['-', '+']).next().unwrap_or_default();
    let mut parts =
        plain.split('.').map(|part| part.parse().unwrap_or_else(|_| panic!("{text} is no version")));
    std::array::from_fn(|_| parts.next().unwrap_or(0))
}

/// Packages of a lock file that a ban names.
fn offences(lock: &Table, bans: &[Ban]) -> Vec<String> {
    let packages = lock["package"].as_array().expect("a lock file lists packages");
    let mut found = Vec::new();
    for package in packages {
        let (name, at) =
            (package["name"].as_str().unwrap_or_default(), package["version"].as_str().unwrap_or_default());
        let hits =
            bans.iter().filter(|ban| ban.name == name && ban.below.is_none_or(|below| version(at) < below));
        found.extend(hits.map(|ban| format!("{name} {at}: {}", ban.reason)));
    }
    found
}

#[test]
fn nothing_that_is_banned_is_built_in() {
    let found = offences(&table("Cargo.lock"), &bans(&table(".cargo/deny.toml")));
    none_of(&found, "`cargo update` the package, or exchange it; .cargo/deny.toml says why");
}

#[test]
fn every_ban_says_why_and_stands_once() {
    let bans = bans(&table(".cargo/deny.toml"));
    assert!(bans.len() > 25, "{} bans were read", bans.len());
    for (at, ban) in bans.iter().enumerate() {
        assert!(!ban.reason.is_empty(), "{} has no reason", ban.name);
        assert!(bans[..at].iter().all(|other| other.name != ban.name), "{} stands twice", ban.name);
    }
}

#[test]
fn a_version_too_old_and_a_crate_not_wanted_are_found_and_others_are_not() {
    let deny: Table =
        "bans.deny = [{ crate = \"a:<1.10.2\", reason = \"old\" }, { crate = \"b\", reason = \"never\" }]"
            .parse()
            .unwrap();
    let lock = |name: &str, version: &str| -> Table {
        format!("[[package]]\nname = \"{name}\"\nversion = \"{version}\"\n").parse().unwrap()
    };
    let found = |name, version| offences(&lock(name, version), &bans(&deny)).len();
    assert_eq!(
        [found("a", "1.10.1"), found("a", "1.9.9"), found("a", "0.99.0"), found("b", "7.0.0")],
        [1; 4]
    );
    assert_eq!(
        [found("a", "1.10.2"), found("a", "1.11.0"), found("a", "2.0.0-rc.1"), found("ab", "0.1.0")],
        [0; 4]
    );
}

/// SQLite before 3.51.3 can spoil its write-ahead log when two connections write and tidy up at once.
#[test]
fn sqlite_is_one_that_keeps_its_log() {
    assert!(rusqlite::version_number() >= 3_051_003, "{}", rusqlite::version());
}
