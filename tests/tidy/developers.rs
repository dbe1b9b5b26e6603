//! The tables of DEVELOPERS.md are those of the program.
//!
//! `cargo test --test tidy -- --ignored --nocapture print_tables` prints them as they should be.

use std::fs;

use catalogue::rules::{RULES, Rule};
use indexer::columns::{COLUMNS, Column, Level};

use crate::tree::{files, root};

#[test]
fn the_table_of_rules_is_the_registry() {
    holds("rules", &rules());
}

#[test]
fn the_table_of_columns_is_the_registry() {
    holds("columns", &columns());
}

/// The rows of the table between two marks, cell by cell, without its head; its first column is `id`.
pub(super) fn rows_of<'t>(mark: &str, text: &'t str) -> Vec<Vec<&'t str>> {
    let (begin, end) = (format!("<!-- {mark} -->"), format!("<!-- /{mark} -->"));
    let told = text.split_once(&begin).and_then(|(_, rest)| rest.split_once(&end));
    let lines = told.map_or("", |(told, _)| told).lines();
    let rows = lines.filter(|line| line.starts_with("| ") && !line.starts_with("| id "));
    rows.map(|line| line.trim_matches('|').split(" | ").map(str::trim).collect()).collect()
}

/// How many statements there are of each kind.
const STATEMENTS: [(&str, usize); 9] =
    [("SE", 20), ("SC", 8), ("CO", 8), ("PR", 6), ("AX", 10), ("SP", 7), ("AP", 5), ("CL", 8), ("OP", 11)];

#[test]
fn every_statement_names_tests_that_are_there_or_says_that_none_is() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap_or_default();
    let rows = rows_of("acceptance", &text);
    let numbers =
        |(kind, most): (&str, usize)| (1..=most).map(move |n| format!("{kind}{n}")).collect::<Vec<_>>();
    let expected: Vec<String> = STATEMENTS.into_iter().flat_map(numbers).collect();
    assert_eq!(rows.iter().map(|row| row[0]).collect::<Vec<_>>(), expected);
    let sources: String = files().into_iter().map(|file| file.text).collect();
    for row in &rows {
        let named: Vec<&str> =
            row[2].split('`').skip(1).step_by(2).filter(|name| name.contains('_')).collect();
        let measured = row[2].contains("not yet") || row[2].contains("measured in the bench");
        assert!(!named.is_empty() || measured, "{}: no test, and no word about it", row[0]);
        for name in named {
            assert!(sources.contains(&format!("fn {name}(")), "{}: there is no test {name}", row[0]);
        }
    }
}

#[test]
#[ignore = "prints the tables for DEVELOPERS.md"]
fn print_tables() {
    println!("{}\n\n{}", block("rules", &rules()), block("columns", &columns()));
}

fn holds(name: &str, table: &str) {
    let text = fs::read_to_string(root().join("DEVELOPERS.md"))
        .unwrap_or_else(|fault| panic!("DEVELOPERS.md is needed at the root: {fault}"));
    let begins = format!("<!-- {name} -->\n");
    let told = text
        .split_once(&begins)
        .and_then(|(_, after)| after.split_once(&format!("\n<!-- /{name} -->")))
        .unwrap_or_else(|| panic!("DEVELOPERS.md has no <!-- {name} --> and <!-- /{name} --> around a table"))
        .0;
    for line in table.lines() {
        assert!(told.lines().any(|told| told == line), "DEVELOPERS.md, {name}, lacks {line}\n{HELP}");
    }
    assert_eq!(told, table, "DEVELOPERS.md, {name}: a row too many, or another order\n{HELP}");
}

const HELP: &str = "print it with `cargo test --test tidy -- --ignored --nocapture print_tables`";

fn block(name: &str, table: &str) -> String {
    format!("<!-- {name} -->\n{table}\n<!-- /{name} -->")
}

fn rules() -> String {
    let row = |rule: &&Rule| {
        let sources: Vec<_> = rule.evidence.sources.iter().map(|source| source.id).collect();
        [
            format!("`{}`", rule.id),
            rule.evidence.grade.word().into(),
            rule.says.into(),
            rule.evidence.studied.into(),
            sources.join(", "),
        ]
    };
    table(["rule", "grade", "says", "who was studied", "sources"], RULES.iter().map(row))
}

fn columns() -> String {
    let row = |column: &&Column| {
        let level = match column.level {
            Level::Style => "style",
            Level::Sku => "size",
            Level::Either => "size, else style",
            Level::Others => "other columns",
            Level::LeftOut => "left out",
        };
        let headings = column.headings.iter().map(|heading| format!("`{heading}`")).collect::<Vec<_>>();
        [format!("`{}`", column.key), level.into(), column.says.into(), headings.join(", ")]
    };
    table(["column", "of", "holds", "headings"], COLUMNS.iter().map(row))
}

/// A Markdown table; a bar in a cell is escaped.
fn table<const N: usize>(headings: [&str; N], rows: impl Iterator<Item = [String; N]>) -> String {
    let line = |cells: [String; N]| format!("| {} |", cells.map(|cell| cell.replace('|', "\\|")).join(" | "));
    let head = [line(headings.map(String::from)), format!("|{}", "---|".repeat(N))];
    head.into_iter().chain(rows.map(line)).collect::<Vec<_>>().join("\n")
}
