//! The table of faults in DEVELOPERS.md: each row has its test or its fault in the laboratory, or says that it has none.

use std::collections::BTreeSet;
use std::fs;

use crate::developers::rows_of;
use crate::tree::{files, root};

/// How many faults there are of each kind, counted in the failure model that the program is held to.
const FAULTS: [(char, usize); 11] = [
    ('C', 10),
    ('D', 10),
    ('S', 7),
    ('X', 6),
    ('P', 10),
    ('T', 2),
    ('N', 12),
    ('Q', 3),
    ('A', 6),
    ('L', 2),
    ('B', 2),
];

#[test]
fn every_fault_has_its_test_or_its_place_in_the_laboratory_or_says_that_it_has_none() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap_or_default();
    let rows = rows_of("faults", &text);
    let numbers = |(kind, most): (char, usize)| (1..=most).map(move |n| format!("{kind}{n}"));
    let expected: Vec<String> = FAULTS.into_iter().flat_map(numbers).collect();
    assert_eq!(rows.iter().map(|row| row[0]).collect::<Vec<_>>(), expected);
    let sources: String = files().into_iter().map(|file| file.text).collect();
    let laboratory = laboratory();
    for row in &rows {
        let (id, held_by) = (row[0], row[2]);
        let tests: Vec<&str> =
            held_by.split('`').skip(1).step_by(2).filter(|name| name.contains('_')).collect();
        let tests: Vec<&str> = tests.into_iter().filter(|name| !name.starts_with("LASTBENCH_")).collect();
        for name in &tests {
            assert!(sources.contains(&format!("fn {name}(")), "{id}: there is no test {name}");
        }
        let is_there = held_by.contains("laboratory");
        assert_eq!(is_there, laboratory.contains(id), "{id}: is it a fault of the laboratory?");
        assert!(is_there || !tests.is_empty() || held_by.starts_with("not held: "), "{id}: no word about it");
    }
}

/// The numbers in brackets behind the names of the faults that the laboratory does.
fn laboratory() -> BTreeSet<String> {
    let source = fs::read_to_string(root().join("tests/crashlab.rs")).unwrap_or_default();
    let named = source.lines().filter(|line| line.trim_start().starts_with("(\""));
    let brackets = named.filter_map(|line| line.split_once("\", ")?.0.rsplit_once('(')?.1.split_once(')'));
    brackets.flat_map(|(ids, _)| ids.split(", ").map(str::to_owned).collect::<Vec<_>>()).collect()
}
