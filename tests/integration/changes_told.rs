//! What the command line tells of one change: its values, what an undo left alone, and what a full sheet left out.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use serde_json::{Value, json};
use tests::program::Lastbench;

const HEAD: &str = "Maker,Style number,Name,Heel stack mm,Drop mm";

fn import(lastbench: &Lastbench, rows: &[&str], more: &[&str]) {
    lastbench.write("range.csv", &format!("{HEAD}\n{}\n", rows.join("\n")));
    lastbench.done(&[&["import", "--yes", "range.csv", "--supplier", "Orrelby"], more].concat());
}

/// Three sheets that speak of one shoe.
fn three() -> Lastbench {
    let lastbench = tests::lastbench!();
    import(&lastbench, &["Orrelby,OR-1,Sound,32,8", "Orrelby,OR-2,Shoal,30,6"], &[]);
    import(&lastbench, &["Orrelby,OR-1,Sound,33,9"], &[]);
    import(&lastbench, &["Orrelby,OR-1,Sound,34,9"], &[]);
    lastbench
}

#[test]
fn an_undo_says_what_went_back_and_which_later_change_keeps_the_rest_and_so_does_the_history() {
    let lastbench = three();
    let undone = lastbench.done(&["undo", "2"]);
    let kept = "kept: heel stack of orrelby.or-1, later value from change 3";
    assert!(undone.contains("1 values went back, 1 were kept."), "{undone}");
    assert!(undone.contains(kept));
    let told = lastbench.done(&["history", "4"]);
    assert!(told.contains("undo of change 2") && told.contains(kept), "{told}");
    assert!(told.contains("drop of orrelby.or-1: 9 mm -> 8 mm, taken back"), "{told}");
    assert!(lastbench.done(&["history"]).contains("taken back by change 4"));
}

#[test]
fn one_change_as_json_holds_its_cells_with_their_places_and_what_was_kept() {
    let lastbench = three();
    let (_, import) = lastbench.json(&["history", "2", "--json"]);
    let cell = &import["cells"][0];
    assert_eq!((&import["change"], &import["cell_count"]), (&json!(2), &json!(2)));
    assert_eq!(
        (&cell["column"], &cell["before"], &cell["after"]),
        (&json!("heel_stack"), &json!(320), &json!(330))
    );
    assert_eq!(
        (&cell["sheet"], &cell["row"], &cell["sheet_column"], &cell["text"]),
        (&json!("range.csv"), &json!(2), &json!("D"), &json!("33"))
    );
    lastbench.done(&["undo", "2"]);
    let (_, undo) = lastbench.json(&["history", "4", "--json"]);
    let kept = json!([{"entity": "style", "key": "orrelby.or-1", "column": "heel_stack", "later_change": 3}]);
    assert_eq!((&undo["kept"], &undo["undoes"]), (&kept, &json!(2)));
    let (_, import) = lastbench.json(&["history", "2", "--json"]);
    assert_eq!((&import["undone"], &import["undone_by"]), (&json!(true), &json!(4)));
}

#[test]
fn a_change_that_does_not_exist_is_refused_by_its_number() {
    let ran = three().run(&["history", "99"]);
    ran.assert_no_panic();
    assert_eq!(ran.code, Some(4));
    assert!(ran.stderr.contains("99"), "{}", ran.stderr);
}

#[test]
fn what_a_full_sheet_leaves_out_is_retired_when_that_is_said_and_the_history_says_so() {
    let lastbench = three();
    lastbench.write("full.toml", "kind = \"full\"\n");
    import(&lastbench, &["Orrelby,OR-1,Sound,34,9"], &["--mapping", "full.toml", "--missing", "retire"]);
    assert!(lastbench.done(&["history"]).contains("1 missing (retire)"));
    let style = lastbench.done(&["export"]);
    let retired = style.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    let retired: Vec<_> = retired.map(|style| style["retired"].clone()).collect();
    assert_eq!(retired, [json!(false), json!(true)], "retired, and never deleted");
    let (_, change) = lastbench.json(&["history", "4", "--json"]);
    assert_eq!(change["missing_policy"], json!("retire"));
}

#[test]
fn a_policy_nobody_knows_is_a_usage_error() {
    let lastbench = three();
    let ran = lastbench.run(&["import", "--yes", "range.csv", "--missing", "delete"]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
}
