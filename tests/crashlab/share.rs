//! X6: a folder on a file system that another computer might open as well, which for the system is any that a program
//! serves.

use std::fs;

use crate::disk::Mounted;
use crate::house::{House, tool};
use crate::oracle::Oracle;
use crate::script::{self, Heard};
use crate::table::{Found, Outcome};

const COMMANDS: [&[&str]; 6] =
    [&["check"], &["export", "--ndjson"], &["search", "egge"], &["history"], &["undo", "1"], &["rebuild"]];

/// Whoever looks after the folder says that nobody else opens it there.
const OURS_ALONE: [&str; 2] = ["env", "LASTBENCH_ON_A_SHARE=true"];

/// It is refused with what to do, by the server and by every command, and nothing is written; said to be safe it is a folder
/// like any other, after kills too.
pub(crate) fn refused(oracle: &Oracle) -> Outcome {
    if !tool(&["bindfs", "--version"]) {
        return Outcome::Skipped("bindfs is not installed; tests/run installs it".to_owned());
    }
    let house = oracle.house("office");
    let mount = ["bindfs", house.0.to_str().unwrap()];
    let Some(share) = Mounted::with(&mount, &oracle.at("share")) else {
        return Outcome::Skipped("this system lets no program serve files".to_owned());
    };
    let there = House(share.path().to_owned());
    let store = house.0.join("catalogue.sqlite");
    let before = fs::read(&store).unwrap();
    let Err(words) = there.serve(&[]) else { panic!("a folder on a share is served") };
    assert!(words.starts_with("exit Some(3)"), "{words}");
    assert_told(&there, &words);
    for command in COMMANDS {
        let run = there.run(command);
        assert!(run.status.code() == Some(3) && run.stdout.is_empty(), "{command:?}: {:?}", run.status);
        assert_told(&there, &String::from_utf8_lossy(&run.stderr));
    }
    assert!(fs::read(&store).unwrap() == before, "the store is another");
    let mut found = Found::default();
    for change in 2..=6 {
        let server = there.serve(&OURS_ALONE).unwrap();
        assert!(matches!(script::make(&server.address, change), Heard::Acknowledged));
        server.kill();
        // What is opened from two sides is what it is not to be.
        let copy = House::copy(&house.0, oracle.at(&format!("office-{change}")));
        let (last, one) = oracle.look(&copy, change);
        assert_eq!(last, change, "another change stands");
        found = found.and(&one);
        found.acknowledged += 1;
    }
    let commands = COMMANDS.len();
    Outcome::Done(found.noted(&format!(
        "exit 3 of a server and {commands} commands with what to do; said to be safe it is killed after each change"
    )))
}

fn assert_told(there: &House, words: &str) {
    let is_told = words.contains(there.0.to_str().unwrap()) && words.contains("lies on a share (FUSE)");
    assert!(is_told && words.contains("--on-a-share"), "{words}");
}
