//! The table of the OWASP Application Security Verification Standard: every requirement has its state, what is held names
//! tests that are there, and two of these tests, which are about the sources themselves, stand here.

use std::fs;

use crate::none_of;
use crate::tree::{Source, root, sources};

const TABLE: &str = "tests/tables/asvs_5_0.csv";
/// How many requirements version 5.0.0 has of each level, counted in its text.
const REQUIREMENTS: [(&str, usize); 2] = [("1", 70), ("2", 183)];
/// The chapters of the standard.
const CHAPTERS: u32 = 17;
const HELD: &str = "held";
const STATES: [&str; 3] = [HELD, "not applicable", "not yet"];
/// The one source that starts another program: this very one, as a child that reads a sheet.
const STARTS_A_PROGRAM: &str = "indexer/src/sheet/reader.rs";
/// Ways by which a script makes markup or code out of a text.
const RUNS_TEXT: [&str; 8] = [
    "innerHTML",
    "outerHTML",
    "insertAdjacentHTML",
    "document.write",
    "srcdoc",
    "javascript:",
    "eval(",
    "new Function",
];

/// One requirement.
struct Row {
    id: String,
    level: String,
    asks: String,
    state: String,
    /// Tests, where it is held; else why not.
    held_by: String,
}

impl Row {
    fn of(line: &str) -> Self {
        let cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        let [id, level, asks, state, held_by] = <[String; 5]>::try_from(cells)
            .unwrap_or_else(|cells| panic!("{TABLE}: {} cells, not five, in: {line}", cells.len()));
        Self { id, level, asks, state, held_by }
    }

    /// Chapter, section and number of `V6.2.11`; `None` of what is written otherwise.
    fn numbers(&self) -> Option<[u32; 3]> {
        let parts: Option<Vec<u32>> =
            self.id.strip_prefix('V')?.split('.').map(|part| part.parse().ok()).collect();
        let [chapter, section, number] = <[u32; 3]>::try_from(parts?).ok()?;
        (self.id == format!("V{chapter}.{section}.{number}")).then_some([chapter, section, number])
    }
}

fn text(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|fault| panic!("{path}: {fault}"))
}

fn rows() -> Vec<Row> {
    let text = text(TABLE);
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    assert_eq!(lines.next(), Some("id,level,asks,state,held_by"), "{TABLE}");
    lines.map(Row::of).collect()
}

/// Whether a function of this name has the attribute of a test above it.
pub(crate) fn is_a_test(source: &Source, name: &str) -> bool {
    let header = format!("fn {name}(");
    source.all_code.match_indices(&header).any(|(at, _)| {
        let above = source.all_code[..at].lines().rev().map(str::trim);
        above
            .skip_while(|line| ["", "async", "pub"].contains(line))
            .take_while(|line| line.starts_with("#["))
            .any(|line| line.starts_with("#[test]") || line.starts_with("#[tokio::test"))
    })
}

#[test]
fn every_requirement_of_the_standard_stands_once_and_in_order() {
    let rows = rows();
    for (level, expected) in REQUIREMENTS {
        let count = rows.iter().filter(|row| row.level == level).count();
        assert_eq!(count, expected, "requirements of level {level}");
    }
    let all: usize = REQUIREMENTS.iter().map(|(_, count)| count).sum();
    assert_eq!(rows.len(), all, "a row of another level");
    let numbers: Vec<[u32; 3]> = rows
        .iter()
        .map(|row| row.numbers().unwrap_or_else(|| panic!("{} is no number of a requirement", row.id)))
        .collect();
    for (row, pair) in rows.iter().skip(1).zip(numbers.windows(2)) {
        assert!(pair[0] < pair[1], "{} stands twice or out of its order", row.id);
    }
    for chapter in 1..=CHAPTERS {
        assert!(numbers.iter().any(|number| number[0] == chapter), "chapter {chapter} is left out");
    }
}

#[test]
fn every_requirement_that_is_held_names_tests_that_are_there() {
    let sources = sources();
    let mut bare = Vec::new();
    for row in rows().iter().filter(|row| row.state == HELD) {
        let named: Vec<&str> = row.held_by.split(' ').filter(|name| !name.is_empty()).collect();
        if named.is_empty() {
            bare.push(format!("{} {}: no test is named", row.id, row.asks));
        }
        let missing = named.iter().filter(|name| !sources.iter().any(|source| is_a_test(source, name)));
        bare.extend(missing.map(|name| format!("{} {}: there is no test {name}", row.id, row.asks)));
    }
    none_of(&bare, "what no test holds is not held: write the test, or say `not yet` and why");
}

#[test]
fn every_requirement_that_is_not_held_says_why() {
    for row in rows() {
        assert!(STATES.contains(&row.state.as_str()), "{}: no state is called {}", row.id, row.state);
        assert!(!row.asks.is_empty(), "{}: what does it ask?", row.id);
        assert!(row.state == HELD || !row.held_by.is_empty(), "{}: why is it {}?", row.id, row.state);
    }
}

#[test]
fn the_section_for_developers_has_the_counts_of_the_table_and_all_that_is_not_yet() {
    let developers = text("DEVELOPERS.md");
    let section = developers
        .split_once("<!-- asvs -->")
        .and_then(|(_, rest)| rest.split_once("<!-- /asvs -->"))
        .unwrap_or_else(|| panic!("DEVELOPERS.md has no <!-- asvs --> and <!-- /asvs --> around the counts"))
        .0;
    let rows = rows();
    let counts = STATES.map(|state| {
        let count = rows.iter().filter(|row| row.state == state).count();
        format!("{count} {state}")
    });
    assert!(section.trim_start().starts_with(&format!("{}. ", counts.join(", "))), "{counts:?} in {section}");
    let words: Vec<&str> = section.split(|sign: char| !sign.is_ascii_alphanumeric() && sign != '.').collect();
    let named = |id: &str| words.iter().any(|word| word.trim_end_matches('.') == id);
    let told_otherwise = rows.iter().filter(|row| named(&row.id) != (row.state == "not yet"));
    let lacking: Vec<String> =
        told_otherwise.map(|row| format!("{}, which is {}", row.id, row.state)).collect();
    none_of(&lacking, "DEVELOPERS.md, asvs: what is not yet is named there, and nothing else");
}

// V1.2.5: whoever starts no shell has no command line to inject into.
#[test]
fn the_reader_of_sheets_alone_starts_a_program() {
    let starts = |source: &Source| source.path.contains("/src/") && source.code.contains("Command::new(");
    let found: Vec<String> = sources().into_iter().filter(starts).map(|source| source.path).collect();
    assert_eq!(found, [STARTS_A_PROGRAM]);
}

// V11.4.1. The hash maps of the standard library and the check sums of frames keep nothing secret.
#[test]
fn nothing_is_hashed_but_by_sha_256_and_argon2id() {
    let of_libraries = ["sha2", "argon2"];
    let others = [
        "md5",
        "md_5",
        "md4",
        "sha1",
        "sha_1",
        "sha3",
        "blake2",
        "blake3",
        "ripemd",
        "bcrypt",
        "scrypt",
        "pbkdf2",
        "siphasher",
        "xxhash",
        "fnv",
        "ahash",
        "hmac",
    ];
    let weaker = ["Sha1", "Sha224", "Sha384", "Sha512", "Argon2i", "Argon2d", "new_with_secret"];
    let (mut found, mut used) = (Vec::new(), Vec::new());
    for source in sources().into_iter().filter(|source| source.path.contains("/src/")) {
        used.extend(of_libraries.iter().filter(|library| source.uses(library)));
        let named = others
            .iter()
            .filter(|name| source.uses(name))
            .chain(weaker.iter().filter(|name| source.names(name)));
        found.extend(named.map(|name| format!("{} in {}", name, source.path)));
    }
    assert!(of_libraries.iter().all(|library| used.contains(library)), "the sources are looked at: {used:?}");
    none_of(&found, "hash by SHA-256, a password by Argon2id");
}

// V14.3.3.
#[test]
fn the_script_keeps_a_switch_and_codes_of_boxes_in_the_browser_and_nothing_else() {
    let script = text("web/src/assets/lastbench.js");
    let kept: Vec<&str> = script.split("keep('").skip(1).filter_map(|rest| rest.split(')').next()).collect();
    let expected = [
        "sessionStorage', NEXT, JSON.stringify(others",
        "sessionStorage', NEXT, JSON.stringify(waiting.slice(1",
        "localStorage', OFF, off(",
    ];
    assert_eq!(kept, expected);
    assert_eq!(script.matches(".setItem(").count(), 1, "what `keep` does");
    for way in ["document.cookie", "indexedDB", "caches.", "serviceWorker", "localStorage.", "localStorage["]
    {
        assert!(!script.contains(way), "{way}");
    }
    let page = text("web/src/owner/what_is_kept/elsewhere.rs");
    for name in ["OFF", "NEXT"] {
        let key = script
            .split(&format!("const {name} = '"))
            .nth(1)
            .and_then(|rest| rest.split('\'').next())
            .unwrap_or_default();
        assert!(
            !key.is_empty() && page.contains(&format!("\"{key}\"")),
            "the page of what is kept names {key}"
        );
    }
}

// V1.3.2 and V3.2.2.
#[test]
fn the_script_writes_text_and_runs_none() {
    let script = text("web/src/assets/lastbench.js");
    assert!(script.contains("textContent"), "the script is looked at");
    let found: Vec<String> =
        RUNS_TEXT.iter().filter(|way| script.contains(**way)).map(|way| (*way).to_owned()).collect();
    none_of(&found, "let the script set textContent, and make elements by createElement");
}
