//! The word index is disposable: deleted, cut short or damaged, it is built anew and nobody sees a difference.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;

use tests::program::{Lastbench, argument};
use tests::sample::sample;

/// Maker, name, number, the beginning of a word, and a word of the notes.
const WORDS: [&str; 5] = ["quillmark", "drumlin", "fm410", "fennick mar", "tongue"];

fn stocked() -> Lastbench {
    let lastbench = tests::lastbench!();
    lastbench.done(&["import", "--yes", argument(&sample("range.csv"))]);
    assert!(is_built_anew(&lastbench), "an import leaves the index on the disk to the next start");
    assert!(!is_built_anew(&lastbench), "and the start after that finds it whole");
    lastbench
}

/// What a search shows for each of the words; every one of them finds something.
fn found(lastbench: &Lastbench) -> Vec<String> {
    let seen = WORDS.map(|words| {
        let (code, reply) = lastbench.json(&["search", "--json", words]);
        assert_eq!(code, Some(0));
        assert!(reply["total"].as_u64() > Some(0), "{words}");
        reply.to_string()
    });
    seen.to_vec()
}

/// Whether `check` says so; it must find the store whole and end well either way.
fn is_built_anew(lastbench: &Lastbench) -> bool {
    let said = lastbench.done(&["check"]);
    assert!(said.contains("The store is whole."), "{said}");
    let (anew, whole) = (said.contains("built anew"), said.contains("The word index is whole."));
    assert!(anew != whole, "one of the two: {said}");
    anew
}

fn index(lastbench: &Lastbench) -> PathBuf {
    lastbench.data().join("index")
}

/// Every file of the index that holds something, by kind: the names before the dot differ from build to build.
fn files(lastbench: &Lastbench) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for home in fs::read_dir(index(lastbench)).unwrap() {
        let entries = fs::read_dir(home.unwrap().path()).unwrap().map(|entry| entry.unwrap().path());
        found.extend(entries.filter(|path| fs::metadata(path).unwrap().len() > 0));
    }
    found.sort_by_key(|path| (path.extension().map(ToOwned::to_owned), path.clone()));
    assert!(found.len() >= 6, "{found:?}");
    found
}

/// Deletes a folder in which the check after the start may be building at the same moment, and so add a file meanwhile.
fn removed_under_a_server(folder: &Path) {
    for _ in 0..1000 {
        match fs::remove_dir_all(folder) {
            Ok(()) => return,
            Err(fault) if fault.kind() == ErrorKind::NotFound => return,
            Err(_) => std::thread::sleep(Duration::from_millis(5)),
        }
    }
    panic!("{} comes again and again", folder.display());
}

/// The library's own list of files it may clean up: outside the seal, since an index that never changes needs none.
fn is_housekeeping(file: &Path) -> bool {
    file.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'))
}

/// Damages each file of the index in turn, a fresh index each time.
fn after_each(damage: impl Fn(&Path)) {
    let lastbench = stocked();
    let before = found(&lastbench);
    for at in 0..files(&lastbench).len() {
        let file = files(&lastbench).remove(at);
        damage(&file);
        assert_eq!(found(&lastbench), before, "{}", file.display());
        // The search has built it anew already; the file of the same kind has the same place.
        let file = files(&lastbench).remove(at);
        damage(&file);
        let anew = is_built_anew(&lastbench);
        assert!(anew || is_housekeeping(&file), "{} was damaged and believed", file.display());
    }
    assert_eq!(found(&lastbench), before);
}

#[test]
fn a_byte_flipped_in_any_file_of_the_index_changes_nothing_a_user_sees() {
    after_each(|file| {
        let mut bytes = fs::read(file).unwrap();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 0x04;
        fs::write(file, bytes).unwrap();
    });
}

#[test]
fn any_file_of_the_index_cut_short_changes_nothing_a_user_sees() {
    after_each(|file| {
        let bytes = fs::read(file).unwrap();
        fs::write(file, &bytes[..bytes.len() / 2]).unwrap();
    });
}

#[test]
fn an_index_folder_that_is_deleted_changes_nothing_a_user_sees() {
    let lastbench = stocked();
    let before = found(&lastbench);
    fs::remove_dir_all(index(&lastbench)).unwrap();
    assert_eq!(found(&lastbench), before);
    fs::remove_dir_all(index(&lastbench)).unwrap();
    assert!(is_built_anew(&lastbench));
    assert!(!is_built_anew(&lastbench));
    assert_eq!(found(&lastbench), before);
}

#[test]
fn an_index_folder_that_is_a_file_changes_nothing_a_user_sees() {
    let lastbench = stocked();
    let before = found(&lastbench);
    fs::remove_dir_all(index(&lastbench)).unwrap();
    fs::write(index(&lastbench), "not a folder").unwrap();
    assert_eq!(found(&lastbench), before);
}

#[test]
fn the_index_of_another_catalogue_is_not_believed() {
    let (lastbench, other) = (stocked(), tests::lastbench!());
    other.run(&["import", "--yes", argument(&sample("second-supplier.csv"))]);
    assert!(is_built_anew(&other));
    let before = found(&lastbench);
    // Its files under the name that this catalogue's own index has.
    let home = files(&lastbench)[0].parent().unwrap().to_owned();
    fs::remove_dir_all(&home).unwrap();
    fs::rename(files(&other)[0].parent().unwrap(), &home).unwrap();
    assert_eq!(found(&lastbench), before);
}

#[test]
fn a_server_goes_on_searching_while_its_index_is_deleted() {
    let lastbench = stocked();
    let serving = lastbench.serve(&[]);
    let before = serving.get("/shoes.json?q=drumlin");
    assert_eq!(before.status, 200);
    removed_under_a_server(&index(&lastbench));
    assert_eq!(serving.get("/shoes.json?q=drumlin").body, before.body);
    assert_eq!(serving.get("/healthz").status, 200);
}

#[test]
fn rebuild_makes_the_index_anew_and_the_next_check_finds_it_whole() {
    let lastbench = stocked();
    let before = found(&lastbench);
    fs::write(&files(&lastbench)[0], "spoilt").unwrap();
    let said = lastbench.done(&["rebuild"]);
    assert!(said.contains("163 styles"), "{said}");
    assert!(!is_built_anew(&lastbench));
    assert_eq!(found(&lastbench), before);
}

#[test]
fn the_order_for_a_runner_needs_no_index() {
    let lastbench = stocked();
    lastbench.done(&["import", "--yes", argument(&sample("stock.csv"))]);
    let runner = tests::sample::runner("race");
    let rank = ["rank", "--json", "--runner", argument(&runner)];
    let before = lastbench.done(&rank);
    fs::remove_dir_all(index(&lastbench)).unwrap();
    assert_eq!(lastbench.done(&rank), before);
}
