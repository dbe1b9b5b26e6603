//! Where things stand, how long they are, how they begin, and that nothing of a machine is in them.

use crate::none_of;
use crate::tree::{files, has_word, root_entries, sources};

/// Beside dotfiles.
const AT_THE_ROOT: [&str; 11] = [
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "SAFETY.md",
    "DEVELOPERS.md",
    "LICENSE",
    "catalogue",
    "indexer",
    "web",
    "tests",
    "sample-catalogue",
];
/// A rule of thumb says 250; nobody reads a file beyond this with pleasure.
const LINES: usize = 400;
/// Files that may be longer, each with its reason; one that is short again is to be taken out.
const LONGER: [(&str, &str); 0] = [];
/// Paths of machines. Written in halves, so that this file holds none of them.
const MACHINE: [&str; 5] = [
    concat!("/wo", "rk/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Us", "ers/"),
    concat!("C:", "\\\\Us"),
];
/// What a private mirror of a registry would look like in a file, in halves as above.
const HOSTS: [&str; 5] = [
    concat!("index", "-url"),
    concat!("registry", "="),
    concat!("GOP", "ROXY"),
    concat!("arti", "factory"),
    concat!("--reg", "istry"),
];

#[test]
fn every_source_begins_with_a_sentence_on_what_it_is() {
    let mut mute = Vec::new();
    for source in sources() {
        let paragraph: Vec<_> = source
            .text
            .lines()
            .map_while(|line| line.strip_prefix("//!"))
            .map(str::trim)
            .take_while(|line| !line.is_empty())
            .collect();
        if !paragraph.last().is_some_and(|line| line.ends_with(['.', '?', ':'])) {
            mute.push(format!("{}: {}", source.path, source.text.lines().next().unwrap_or("empty")));
        }
    }
    none_of(&mute, "begin each source with `//!` and a sentence, full stop included");
}

#[test]
fn no_source_is_longer_than_a_reader_follows() {
    let mut long = Vec::new();
    for source in sources() {
        let (lines, excused) = (source.lines, LONGER.iter().any(|(path, _)| *path == source.path));
        if (lines > LINES) != excused {
            long.push(format!("{}: {lines} lines before its tests", source.path));
        }
    }
    none_of(&long, &format!("split what is beyond {LINES} lines; take out of LONGER what no longer is"));
}

#[test]
fn nothing_stands_at_the_root_beside_the_listed() {
    let strange: Vec<_> = root_entries()
        .into_iter()
        .filter(|name| !name.starts_with('.') && !AT_THE_ROOT.contains(&&**name))
        .collect();
    none_of(&strange, "move it into a part, or agree on it in the list of this test");
}

#[test]
fn no_file_holds_a_path_of_a_machine_or_a_host_of_packages() {
    let mut found = Vec::new();
    for file in files() {
        let words = MACHINE.iter().chain(&HOSTS).filter(|word| file.text.contains(**word));
        found.extend(words.map(|word| format!("{}: {word}", file.path)));
    }
    none_of(&found, "a repository knows no machine: take these out");
}

/// A grade decides how strongly a page may speak; no sentence says more than the strongest of them. A sheet may
/// correct a catalogue, no shoe a runner.
#[test]
fn no_sentence_promises_a_cure() {
    let mut found = Vec::new();
    for source in sources().iter().filter(|source| source.path.contains("/src/")) {
        for (word, within) in [("prevents", ""), ("cures", ""), ("corrects", "catalogue/")] {
            let told = source.strings.iter().filter(|_| source.path.starts_with(within));
            let said = told.filter(|string| has_word(&string.to_lowercase(), word));
            found.extend(said.map(|string| format!("{}: \"{string}\"", source.path)));
        }
    }
    none_of(&found, "no shoe prevents, cures or corrects: say what was studied, and in whom");
}
