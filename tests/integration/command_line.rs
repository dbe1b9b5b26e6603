//! The command line as a person and a script meet it: exit codes, JSON, and what stands on which stream.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::io::Read;
use std::process::Stdio;

use catalogue::rules::RULES;
use indexer::columns::COLUMNS;
use serde_json::Value;
use tests::program::{Lastbench, Ran, argument};
use tests::sample::{runner, sample};

const SHEET: &str = "Maker,Style number,Name,Heel stack mm,Forefoot stack mm,Bending
Orrelby,OR-1,Sound,32.5,24.5,medium
Orrelby,OR-2,Shoal,30,,
Orrelby,OR-3,Skerry,high,20,stiff
";
/// The same styles, one of them told otherwise.
const LATER: &str = "Maker,Style number,Name,Heel stack mm
Orrelby,OR-1,Sound,33
Orrelby,OR-2,Shoal,30
";

/// A catalogue of the two sheets' styles, one change old.
fn with_a_sheet() -> Lastbench {
    let lastbench = tests::lastbench!();
    let file = lastbench.write("first.csv", SHEET);
    let ran = lastbench.run(&["import", "--yes", argument(&file)]);
    assert_eq!(ran.code, Some(1), "one cell is held: {}", ran.stderr);
    lastbench
}

/// The exit code is `code`, nothing is on standard output, and the words say all of `saying`.
fn refused(ran: &Ran, code: i32, saying: &[&str]) {
    ran.assert_no_panic();
    assert_eq!(ran.code, Some(code), "{ran:?}");
    assert!(ran.stdout.is_empty(), "words belong on standard error: {ran:?}");
    for words in saying {
        assert!(ran.stderr.contains(words), "{words:?} is not in {:?}", ran.stderr);
    }
}

#[test]
fn help_lists_every_command_and_the_exit_codes() {
    let lastbench = tests::lastbench!();
    let help = lastbench.done(&["--help"]);
    let listed =
        |command: &str| help.lines().any(|line| line.trim_start().starts_with(&format!("{command} ")));
    let commands = [
        "serve", "import", "undo", "count", "gaps", "history", "search", "rank", "plan", "export", "rebuild",
        "check", "backup", "restore", "columns", "rules",
    ];
    for command in commands {
        assert!(listed(command), "{command} is not listed");
        assert!(lastbench.done(&[command, "--help"]).contains("Usage:"), "{command}");
    }
    assert!(help.contains("0 done, 1 problems found, 2 usage, 3 cannot read or write, 4 conflict"));
}

#[test]
fn arguments_that_do_not_go_together_are_usage_errors() {
    let lastbench = with_a_sheet();
    let wrong: [&[&str]; 9] = [
        &[],
        &["stroll"],
        &["import"],
        &["import", "--fast", "first.csv"],
        &["import", "--yes", "--check", "first.csv"],
        &["export", "--csv", "--ndjson"],
        &["undo", "the-last-one"],
        &["rank"],
        &["search", "--filter", "colour=blue", "sound"],
    ];
    for arguments in wrong {
        refused(&lastbench.run(arguments), 2, &[]);
    }
    let brackets = "(".repeat(3_000);
    refused(&lastbench.run(&["search", &brackets]), 2, &["3000"]);
}

#[test]
fn an_import_that_can_ask_nobody_is_a_usage_error_and_stores_nothing() {
    let lastbench = with_a_sheet();
    let before = lastbench.done(&["export"]);
    lastbench.write("later.csv", LATER);
    let ran = lastbench.run(&["import", "later.csv"]);
    refused(&ran, 2, &["--yes", "--check"]);
    assert_eq!(lastbench.done(&["export"]), before);
}

#[test]
fn looking_at_a_sheet_makes_no_catalogue() {
    let lastbench = tests::lastbench!();
    lastbench.write("first.csv", SHEET);
    let look = lastbench.run(&["import", "--check", "first.csv"]);
    assert!(look.stdout.contains("Nothing was applied."), "{}", look.stdout);
    refused(&lastbench.run(&["export"]), 3, &["no catalogue"]);
}

#[test]
fn what_cannot_be_read_is_named_with_what_to_do() {
    let lastbench = tests::lastbench!();
    refused(&lastbench.run(&["import", "--yes", "gone.csv"]), 3, &["gone.csv"]);
    let file = lastbench.write("first.csv", SHEET);
    let mapping = ["import", "--yes", "--mapping", "gone.toml", argument(&file)];
    refused(&lastbench.run(&mapping), 3, &["gone.toml"]);
    let a_runner = runner("race");
    refused(&lastbench.run(&["rank", "--runner", "gone.toml"]), 3, &["gone.toml"]);
    let reading: [&[&str]; 6] = [
        &["history"],
        &["export"],
        &["check"],
        &["rebuild"],
        &["search", "sound"],
        &["rank", "--runner", argument(&a_runner)],
    ];
    for arguments in reading {
        refused(&lastbench.run(arguments), 3, &["lastbench-data", "Import a sheet first", "--sample"]);
    }
    assert!(!lastbench.data().exists(), "a reading command makes no folder");
}

#[test]
fn a_command_that_writes_gives_way_to_a_running_server_and_names_its_page() {
    let lastbench = with_a_sheet();
    let serving = lastbench.serve(&[]);
    lastbench.write("later.csv", LATER);
    refused(&lastbench.run(&["import", "--yes", "later.csv"]), 4, &["/sheets"]);
    refused(&lastbench.run(&["undo", "1"]), 4, &["/changes"]);
    refused(&lastbench.run(&["rebuild"]), 4, &["server"]);
    refused(&lastbench.run(&["serve", "--listen", "127.0.0.1:0"]), 4, &["stop it"]);
    assert!(lastbench.done(&["export"]).contains("or-1"), "reading is open to all");
    drop(serving);
    lastbench.done(&["import", "--yes", "later.csv"]);
}

#[test]
fn the_reply_of_an_import_has_its_keys_and_its_rows_add_up() {
    let lastbench = tests::lastbench!();
    lastbench.write("first.csv", SHEET);
    let import = ["import", "--json", "--yes", "--supplier", "Orrelby Ltd", "first.csv"];
    let (code, reply) = lastbench.json(&import);
    assert_eq!(code, Some(1), "a cell is held");
    let keys = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<BTreeSet<_>>();
    let expected = "sheet supplier rows new changed unchanged held missing change findings joined mapping";
    assert_eq!(keys(&reply), expected.split(' ').map(String::from).collect());
    assert_eq!((&reply["supplier"], &reply["change"]), (&"Orrelby Ltd".into(), &1.into()));
    assert_eq!(parts(&reply), [3, 3, 0, 0, 0]);
    let expected = ["code", "severity", "sheet", "row", "column", "heading", "text", "say", "count"];
    let finding = &reply["findings"][0];
    assert_eq!(keys(finding), BTreeSet::from(expected.map(String::from)));
    let place = ["row", "column", "heading", "text"].map(|key| finding[key].clone());
    assert_eq!(place, [Value::from(4), "D".into(), "Heel stack mm".into(), "high".into()]);
    assert_eq!((&finding["code"], &finding["severity"]), (&"not-a-number".into(), &"stop".into()));
}

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

/// Rows, and what became of them, which must add up.
fn parts(reply: &Value) -> [u64; 5] {
    let parts = ["rows", "new", "changed", "unchanged", "held"].map(|key| reply[key].as_u64().unwrap());
    assert_eq!(parts[0], parts[1..].iter().sum::<u64>(), "{reply}");
    parts
}

#[test]
fn the_rows_of_every_sample_sheet_add_up_and_the_same_sheet_again_changes_nothing() {
    let lastbench = tests::lastbench!();
    for sheet in ["range.csv", "stock.csv", "corrections.csv", "second-supplier.csv"] {
        let file = sample(sheet);
        let import = ["import", "--json", "--yes", "--supplier", "Sample supplier", argument(&file)];
        let first = parts(&lastbench.json(&import).1);
        assert!(first[1] + first[2] > 0, "{sheet}");
        let export = lastbench.done(&["export"]);
        let again = parts(&lastbench.json(&import).1);
        assert_eq!(again, [first[0], 0, 0, first[0], 0], "{sheet}");
        assert_eq!(lastbench.done(&["export"]), export, "{sheet}");
    }
}

#[test]
fn looking_only_says_what_would_change_and_stores_nothing() {
    let lastbench = with_a_sheet();
    let seen = |lastbench: &Lastbench| [&["export"][..], &["history"]].map(|command| lastbench.done(command));
    let before = seen(&lastbench);
    lastbench.write("later.csv", LATER);
    let (code, reply) = lastbench.json(&["import", "--check", "--json", "later.csv"]);
    assert_eq!((code, &reply["change"]), (Some(0), &Value::Null));
    assert_eq!(parts(&reply), [2, 0, 1, 1, 0]);
    assert_eq!(seen(&lastbench), before);
}

#[test]
fn a_mapping_that_was_written_down_and_changed_is_followed() {
    let lastbench = tests::lastbench!();
    lastbench.write("odd.csv", "Maker,Style number,Name,Absatz\nOrrelby,OR-1,Sound,32\n");
    let look = lastbench.run(&["import", "--check", "--mapping-out", "map.toml", "odd.csv"]);
    look.assert_no_panic();
    let written = std::fs::read_to_string(lastbench.at("map.toml")).unwrap();
    assert!(written.contains("\nAbsatz = "), "every heading is in it: {written}");
    let mapped = written
        .lines()
        .map(|line| if line.starts_with("Absatz = ") { "Absatz = \"heel_stack\"" } else { line });
    lastbench.write("map.toml", &mapped.collect::<Vec<_>>().join("\n"));
    lastbench.done(&["import", "--yes", "--mapping", "map.toml", "odd.csv"]);
    assert!(lastbench.done(&["export"]).contains("\"heel_stack_mm\":32,"));
}

#[test]
fn a_mapping_written_down_and_given_back_reads_the_sheet_the_same_way() {
    let (guessed, told) = (tests::lastbench!(), tests::lastbench!());
    let file = sample("second-supplier.csv");
    let supplier = ["--supplier", "Feldrast"];
    // A note of a heading that the mapping says to ignore is not said again.
    let import = |lastbench: &Lastbench, more: &[&str]| {
        let command = [&["import", "--json"], &supplier[..], more, &[argument(&file)]].concat();
        let (code, mut reply) = lastbench.json(&command);
        reply["findings"].as_array_mut().unwrap().retain(|finding| finding["severity"] != "note");
        // Where the mapping comes from is what differs.
        reply.as_object_mut().unwrap().remove("mapping");
        (code, reply)
    };
    let map = guessed.at("map.toml");
    import(&guessed, &["--check", "--mapping-out", argument(&map)]);
    let first = import(&guessed, &["--yes"]);
    assert_eq!(import(&told, &["--yes", "--mapping", argument(&map)]), first);
    assert_eq!(told.done(&["export"]), guessed.done(&["export"]));
}

#[test]
fn an_undo_gives_back_every_byte_of_the_export_and_the_history_says_so() {
    let lastbench = with_a_sheet();
    let before = lastbench.done(&["export", "--ndjson"]);
    lastbench.write("later.csv", LATER);
    lastbench.done(&["import", "--yes", "later.csv"]);
    assert_ne!(lastbench.done(&["export", "--ndjson"]), before);
    assert!(lastbench.done(&["undo", "2"]).contains("change 3"));
    assert_eq!(lastbench.done(&["export", "--ndjson"]), before);
    let history = lastbench.done(&["history", "--json"]);
    let changes: Vec<Value> = history.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let told: Vec<_> = changes.iter().map(|c| (&c["change"], &c["undoes"], &c["undone"])).collect();
    let [third, second, first] = told[..] else { panic!("three changes, newest first: {told:?}") };
    assert_eq!(third, (&3.into(), &2.into(), &false.into()));
    assert_eq!(second, (&2.into(), &Value::Null, &true.into()));
    assert_eq!(first, (&1.into(), &Value::Null, &false.into()));
    refused(&lastbench.run(&["undo", "2"]), 4, &["change 2"]);
    refused(&lastbench.run(&["undo", "99"]), 4, &["99", "history"]);
}

#[test]
fn an_undo_can_be_taken_back_and_made_again() {
    let lastbench = with_a_sheet();
    let before = lastbench.done(&["export"]);
    lastbench.write("later.csv", LATER);
    lastbench.done(&["import", "--yes", "later.csv"]);
    let after = lastbench.done(&["export"]);
    for (change, expected) in [("2", &before), ("3", &after), ("2", &before)] {
        lastbench.done(&["undo", change]);
        assert_eq!(&lastbench.done(&["export"]), expected, "undo {change}");
    }
}

#[test]
fn the_sheet_that_is_written_out_can_be_imported_into_an_empty_catalogue() {
    let (lastbench, empty) = (tests::lastbench!(), tests::lastbench!());
    for sheet in ["range.csv", "stock.csv", "corrections.csv"] {
        let file = sample(sheet);
        lastbench.done(&["import", "--yes", argument(&file)]);
    }
    let written = lastbench.done(&["export", "--csv"]);
    let file = empty.write("export.csv", &written);
    let (_, reply) = empty.json(&["import", "--yes", "--json", argument(&file)]);
    assert_eq!((&reply["held"], reply["new"].as_u64()), (&0.into(), reply["rows"].as_u64()), "{reply}");
    assert_eq!(empty.done(&["export", "--csv"]), written);
}

#[test]
fn the_registries_print_every_key() {
    let lastbench = tests::lastbench!();
    let starts = |text: &str, key: &str| text.lines().any(|line| line.split(' ').next() == Some(key));
    let columns = lastbench.done(&["columns"]);
    for column in COLUMNS {
        assert!(starts(&columns, column.key) && columns.contains(column.says), "{}", column.key);
    }
    let rules = lastbench.done(&["rules"]);
    for rule in RULES {
        let grade = format!("{} ({})", rule.id, rule.evidence.grade.word());
        assert!(rules.contains(&grade) && rules.contains(rule.evidence.studied), "{}", rule.id);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_panic_and_not_worth_a_word() {
    let lastbench = tests::lastbench!();
    for arguments in [&["export", "--sample"][..], &["rules"], &["columns"]] {
        let piped = lastbench.command(arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
        let mut child = piped.unwrap();
        drop(child.stdout.take());
        let mut words = String::new();
        child.stderr.take().unwrap().read_to_string(&mut words).unwrap();
        assert!(child.wait().unwrap().code().is_some(), "{arguments:?} was ended by a signal");
        assert_eq!(words, "", "{arguments:?}");
    }
}

#[test]
fn an_import_whose_report_nobody_reads_says_that_the_change_was_kept() {
    let lastbench = with_a_sheet();
    lastbench.write("later.csv", LATER);
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = lastbench.command(&["import", "--yes", "later.csv"]).stdout(full).output().unwrap();
    let words = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(words.contains("change 2 was kept"), "{words}");
    assert_eq!(lastbench.done(&["history"]).lines().count(), 2);
}

#[test]
fn an_unknown_word_in_a_runner_file_is_named_with_its_place_and_the_known_words() {
    let lastbench = with_a_sheet();
    let text =
        "[size]\nsystem = \"EU\"\n[run]\nstrike = \"backfoot\"\npace = 3\n[flags]\nbone_pain_sport = true\n";
    let file = lastbench.write("runner.toml", text);
    let rank = ["rank", "--runner", argument(&file)];
    let place = ["line 4", "run.strike", "backfoot", "rearfoot, midfoot, forefoot"];
    refused(&lastbench.run(&rank), 1, &place);
    refused(&lastbench.run(&rank), 1, &["line 5", "run.pace", "strike_seen"]);
    refused(&lastbench.run(&rank), 1, &["line 7", "flags.bone_pain_sport", "bone_pain_spot"]);
}

#[test]
fn a_runner_file_that_is_no_toml_is_refused_with_its_line() {
    let lastbench = with_a_sheet();
    let file = lastbench.write("runner.toml", "[size]\nsystem = EU\n");
    refused(&lastbench.run(&["rank", "--runner", argument(&file)]), 1, &["runner.toml", "line 2"]);
}

#[test]
fn the_order_is_on_standard_output_and_what_surrounds_it_is_not() {
    let lastbench = tests::lastbench!();
    let ran = lastbench.run(&["rank", "--sample", "--runner", argument(&runner("race"))]);
    assert!(ran.stdout.starts_with("Bring out first\n") && !ran.stdout.contains("Row in force"), "{ran:?}");
    assert!(ran.stderr.contains("Row in force: race"), "{ran:?}");
    for quiet in [&["export", "--sample"][..], &["history", "--sample"], &["rules"], &["columns"]] {
        assert_eq!(lastbench.run(quiet).stderr, "", "{quiet:?}");
    }
}

#[test]
fn a_sheet_that_cannot_be_used_is_refused_with_its_place_and_nothing_is_stored() {
    let lastbench = with_a_sheet();
    let before = lastbench.done(&["export"]);
    let wrong = [
        ("nul.csv", "Maker,Style number\nOrr\0elby,OR-9\n", "nul.csv, row 2, column A"),
        ("open.csv", "Maker,Style number\nOrrelby,\"OR-9\nOrrelby,OR-8\n", "open.csv, row 2, column B"),
        ("book.csv", "PK\u{3}\u{4}and so on", "book.csv"),
        ("empty.csv", "", "empty.csv"),
        ("headless.csv", "1,2\n3,4\n", "headless.csv"),
        ("sizeless.csv", "Maker,Style number,Qty\nOrrelby,OR-9,3\n", "sizeless.csv, row 2"),
    ];
    for (name, text, place) in wrong {
        lastbench.write(name, text);
        let ran = lastbench.run(&["import", "--yes", name]);
        ran.assert_no_panic();
        assert_eq!(ran.code, Some(1), "{ran:?}");
        assert!(format!("{}{}", ran.stdout, ran.stderr).contains(place), "{place:?} is not in {ran:?}");
        assert_eq!(lastbench.done(&["export"]), before, "{name}");
    }
    assert_eq!(lastbench.done(&["history"]).lines().count(), 1);
}

#[test]
fn a_server_outlives_absurd_questions() {
    let lastbench = with_a_sheet();
    let serving = lastbench.serve(&[]);
    let brackets = format!("/shoes?q={}", "(".repeat(3_000));
    let encoded = format!("/shoes?q={}", "%28".repeat(600));
    for target in ["/shoes?page=2000000000", "/shoes.json?page=2000000000", &brackets, &encoded] {
        let answer = serving.get(target);
        let expected = if target.contains("page") { 200..300 } else { 400..500 };
        assert!(
            expected.contains(&answer.status),
            "{} for {}",
            answer.status,
            &target[..30.min(target.len())]
        );
        assert_eq!(serving.get("/healthz").status, 200);
    }
    assert!(serving.get("/shoes?q=sound").body.contains("Sound"));
}
