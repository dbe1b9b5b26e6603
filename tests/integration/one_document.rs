//! A command whose reply is JSON gives one document however it ends.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use serde_json::Value;

#[test]
fn a_command_that_fails_gives_one_document_in_json_where_one_was_asked_for() {
    let lastbench = tests::lastbench!();
    lastbench.write("odd.xlsx", "PK but no workbook");
    let asked: [&[&str]; 4] = [
        // Reading first: an import makes the folder that is missing here.
        &["search", "--json", "sound"],
        &["history", "--json"],
        &["import", "--json", "--check", "gone.csv"],
        &["import", "--json", "--yes", "odd.xlsx"],
    ];
    for arguments in asked {
        let ran = lastbench.run(arguments);
        let reply: Value =
            serde_json::from_str(&ran.stdout).unwrap_or_else(|e| panic!("{e}: {}", ran.stdout));
        assert_eq!(reply["exit_code"].as_i64(), ran.code.map(i64::from), "{reply}");
        let why = reply["failed"].as_str().unwrap();
        assert!(ran.code != Some(0) && ran.stderr.contains(why), "{arguments:?}: {why}: {}", ran.stderr);
        let plain: Vec<&str> = arguments.iter().copied().filter(|word| *word != "--json").collect();
        assert_eq!(lastbench.run(&plain).stdout, "", "nobody asked for a document");
    }
}
