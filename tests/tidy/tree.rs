//! The tree as it stands on disk: its files, and Rust sources split into code, strings and comments.

use std::fs;
use std::path::{Path, PathBuf};

/// Folders at the root that a build or a run leaves there (`.gitignore`).
const LEFT_BEHIND: [&str; 4] = ["target", "lastbench-data", "node_modules", ".git"];

/// One file, with its path from the root.
pub(crate) struct File {
    pub(crate) path: String,
    pub(crate) text: String,
}

/// A Rust source. Code holds neither comments nor what stands between quotes.
pub(crate) struct Source {
    pub(crate) path: String,
    pub(crate) text: String,
    /// Lines before the tests at the end of the file; none in a module of tests.
    pub(crate) lines: usize,
    /// The code of those lines.
    pub(crate) code: String,
    /// The code, tests included.
    pub(crate) all_code: String,
    /// What stands between quotes in those lines.
    pub(crate) strings: Vec<String>,
}

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// What stands at the root, without what a build leaves there.
pub(crate) fn root_entries() -> Vec<String> {
    entries(&root()).into_iter().map(|path| name(&path)).filter(|name| !left_behind(name)).collect()
}

/// Every text file; pictures and other bytes are left out.
pub(crate) fn files() -> Vec<File> {
    let mut found = Vec::new();
    walk(&root(), "", &mut found);
    assert!(found.len() > 50, "the tree was not found from {}", env!("CARGO_MANIFEST_DIR"));
    found
}

/// Every Rust source.
pub(crate) fn sources() -> Vec<Source> {
    let mut rust = files();
    rust.retain(|file| Path::new(&file.path).extension().is_some_and(|end| end == "rs"));
    let of_tests: Vec<String> = rust.iter().flat_map(modules_of_tests).collect();
    rust.into_iter().map(|file| Source::of(file, &of_tests)).collect()
}

/// The files behind `#[cfg(test)] mod …;`, from the root; of one that heads a folder, the folder.
fn modules_of_tests(file: &File) -> impl Iterator<Item = String> {
    let path = Path::new(&file.path);
    let heads_folder = ["lib.rs", "main.rs", "mod.rs"].iter().any(|head| path.ends_with(head));
    let folder = if heads_folder { path.with_file_name("") } else { path.with_extension("") };
    let declared = file.text.split("#[cfg(test)]\n").skip(1).filter_map(|after| {
        let (line, _) = after.split_once('\n').unwrap_or((after, ""));
        line.split_once("mod ")?.1.strip_suffix(';')
    });
    let names: Vec<_> = declared.flat_map(|name| [format!("{name}.rs"), format!("{name}/mod.rs")]).collect();
    names.into_iter().map(move |name| folder.join(name).to_string_lossy().into_owned())
}

impl Source {
    fn of(file: File, of_tests: &[String]) -> Self {
        let in_tests = of_tests.iter().any(|tests| {
            let folder = tests.strip_suffix("mod.rs").filter(|folder| file.path.starts_with(folder));
            *tests == file.path || folder.is_some()
        });
        let before = if in_tests { "" } else { before_tests(&file.text) };
        let (code, strings) = split(before);
        let (all_code, _) = split(&file.text);
        Self { lines: before.lines().count(), path: file.path, code, strings, all_code, text: file.text }
    }

    /// Whether the code names this word, as a whole.
    pub(crate) fn names(&self, word: &str) -> bool {
        has_word(&self.code, word)
    }

    /// Whether any code, tests included, names this library: as the head of a path or of an import.
    pub(crate) fn uses(&self, library: &str) -> bool {
        let heads = ["use ", "pub use ", "extern crate "];
        let imported = self.all_code.lines().map(str::trim_start).any(|line| {
            heads.iter().any(|head| line.strip_prefix(head).is_some_and(|rest| starts_word(rest, library)))
        });
        let head = format!("{library}::");
        let path_head = self.all_code.match_indices(&head).any(|(at, _)| {
            let before = &self.all_code[..at];
            !before.strip_suffix("::").unwrap_or(before).ends_with(part_of_word)
        });
        imported || path_head
    }
}

/// The source before `#[cfg(test)] mod … {`, which stands at the end of a file.
fn before_tests(text: &str) -> &str {
    let begins = |at: usize| {
        let module = text[at..].lines().nth(1).unwrap_or_default();
        module.starts_with("mod ") && module.ends_with('{')
    };
    let at = text.match_indices("#[cfg(test)]\n").map(|(at, _)| at).find(|at| begins(*at));
    at.map_or(text, |at| &text[..at])
}

/// Code with its comments gone and its strings empty, and the strings.
fn split(text: &str) -> (String, Vec<String>) {
    let (mut code, mut strings, mut rest) = (String::new(), Vec::new(), text);
    while let Some(c) = rest.chars().next() {
        if rest.starts_with("//") {
            rest = &rest[rest.find('\n').unwrap_or(rest.len())..];
        } else if rest.starts_with("/*") {
            rest = rest.split_once("*/").map_or("", |(_, after)| after);
        } else if let Some((string, after)) = string_at(rest, &code) {
            code.push_str("\"\"");
            strings.push(string.to_owned());
            rest = after;
        } else if let Some(after) = character_at(rest) {
            code.push_str("' '");
            rest = after;
        } else {
            code.push(c);
            rest = &rest[c.len_utf8()..];
        }
    }
    (code, strings)
}

/// The string that begins here, raw or plain, and what follows it.
fn string_at<'t>(text: &'t str, before: &str) -> Option<(&'t str, &'t str)> {
    let inside_name = before.ends_with(part_of_word);
    if let Some(raw) = text.strip_prefix('r').filter(|_| !inside_name || before.ends_with(['b', 'c'])) {
        let hashes = raw.len() - raw.trim_start_matches('#').len();
        if let Some(body) = raw[hashes..].strip_prefix('"') {
            return body.split_once(&format!("\"{}", "#".repeat(hashes)));
        }
    }
    let body = text.strip_prefix('"')?;
    let mut escaped = false;
    let end = body.find(|c| {
        let ends = c == '"' && !escaped;
        escaped = c == '\\' && !escaped;
        ends
    })?;
    Some((&body[..end], &body[end + 1..]))
}

/// What follows the character literal that begins here; a lifetime is none.
fn character_at(text: &str) -> Option<&str> {
    let body = text.strip_prefix('\'')?;
    if let Some(escape) = body.strip_prefix('\\') {
        let skipped = escape.chars().next()?.len_utf8();
        return escape[skipped..].split_once('\'').map(|(_, after)| after);
    }
    let one = body.chars().next()?;
    body[one.len_utf8()..].strip_prefix('\'')
}

pub(crate) fn has_word(text: &str, word: &str) -> bool {
    text.match_indices(word)
        .any(|(at, _)| !text[..at].ends_with(part_of_word) && starts_word(&text[at..], word))
}

fn part_of_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

fn starts_word(text: &str, word: &str) -> bool {
    text.strip_prefix(word).is_some_and(|rest| !rest.starts_with(part_of_word))
}

fn walk(folder: &Path, prefix: &str, found: &mut Vec<File>) {
    for path in entries(folder) {
        let name = name(&path);
        if prefix.is_empty() && left_behind(&name) {
            continue;
        }
        let from_root = format!("{prefix}{name}");
        if path.is_dir() {
            walk(&path, &format!("{from_root}/"), found);
        } else if let Ok(text) = fs::read_to_string(&path) {
            found.push(File { path: from_root, text });
        }
    }
}

fn left_behind(name: &str) -> bool {
    LEFT_BEHIND.contains(&name)
}

fn entries(folder: &Path) -> Vec<PathBuf> {
    let read = fs::read_dir(folder).unwrap_or_else(|fault| panic!("{}: {fault}", folder.display()));
    let mut paths: Vec<_> = read.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    paths.sort();
    paths
}

fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

#[test]
fn code_is_told_from_strings_comments_and_characters() {
    let (code, strings) = split("a(\"b // \\\" c\", r#\"d \" e\"#, '\"', 'x'); // f\n/* g */ fn h<'i>() {}");
    assert_eq!(code, "a(\"\", \"\", ' ', ' '); \n fn h<'i>() {}");
    assert_eq!(strings, ["b // \\\" c", "d \" e"]);
}

#[test]
fn a_library_is_named_as_the_head_of_a_path_and_not_as_a_part_of_one() {
    let uses = |text: &str| {
        let file = File { path: "a.rs".into(), text: text.into() };
        Source::of(file, &[]).uses("csv")
    };
    assert!(
        uses("use csv;") && uses("use csv::Reader;") && uses("let a = csv::b();") && uses("f(&::csv::A)")
    );
    assert!(
        !uses("use crate::csv::write;") && !uses("// csv::b") && !uses("\"csv::b\"") && !uses("let csv = 1;")
    );
}

#[test]
fn a_module_of_tests_is_known_by_its_declaration() {
    let declared = |path: &str, text: &str| {
        let file = File { path: path.into(), text: text.into() };
        modules_of_tests(&file).next()
    };
    let text = "mod a;\n#[cfg(test)]\npub(crate) mod b;\n";
    assert_eq!(declared("web/src/lib.rs", text).as_deref(), Some("web/src/b.rs"));
    assert_eq!(declared("web/src/c.rs", text).as_deref(), Some("web/src/c/b.rs"));
    assert_eq!(declared("web/src/lib.rs", "#[cfg(test)]\nmod tests {\n"), None);
}
