//! `count` and `gaps` as a person and a script meet them.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use tests::program::{Lastbench, argument};

/// Codes: worked examples of GS1, `tests/tables/gtin_examples.csv`.
const STOCK: &str = "Maker,Style number,Name,Colour,Size system,Size,EAN,Qty,Place
Feldrast,FR-1,Egge,grey,EU,42,7300011000017,3,A1
Feldrast,FR-1,Egge,grey,EU,43,6291041500213,1,A1
";

fn stocked() -> Lastbench {
    let lastbench = tests::lastbench!();
    let file = lastbench.write("stock.csv", STOCK);
    lastbench.done(&["import", "--yes", argument(&file)]);
    lastbench
}

#[test]
fn a_count_is_looked_at_applied_and_taken_back() {
    let lastbench = stocked();
    let before = lastbench.done(&["export"]);
    lastbench.write("codes.txt", "7300011000017\n7300011000017 x1\n");
    let (code, look) = lastbench.json(&["count", "codes.txt", "--check", "--json"]);
    assert_eq!((code, &look["change"], &look["pairs"]), (Some(0), &serde_json::Value::Null, &2.into()));
    assert_eq!(look["found"][0]["difference"], -1);
    assert_eq!(lastbench.done(&["export"]), before);
    let shelf = ["count", "codes.txt", "--place", "A1", "--all", "shelf", "--yes", "--json"];
    let (code, applied) = lastbench.json(&shelf);
    assert_eq!((code, &applied["change"], &applied["none"]), (Some(0), &2.into(), &1.into()));
    let told = lastbench.done(&["history"]);
    assert!(told.contains("count") && told.contains("2 sizes, 2 changed, 2 pairs"), "{told}");
    let (_, told) = lastbench.json(&["history", "2", "--json"]);
    assert_eq!(told["counted"], serde_json::json!({"sizes": 2, "changed": 2, "pairs": 2}));
    lastbench.done(&["undo", "2"]);
    assert_eq!(lastbench.done(&["export"]), before);
}

#[test]
fn a_held_line_is_exit_code_one_and_named_and_the_rest_is_counted() {
    let lastbench = stocked();
    lastbench.write("codes.txt", "7300011000018\n6291041500213;4\n");
    let ran = lastbench.run(&["count", "codes.txt", "--yes"]);
    assert_eq!(ran.code, Some(1), "{ran:?}");
    assert!(ran.stdout.contains("held: line 1, \"7300011000018\""), "{}", ran.stdout);
    assert!(ran.stdout.contains("Applied as change 2."), "{}", ran.stdout);
    assert!(lastbench.done(&["export", "--csv"]).contains(",4,"), "four pairs of 43");
}

#[test]
fn codes_come_from_standard_input_too() {
    let lastbench = stocked();
    let codes = lastbench.write("codes.txt", "6291041500213\n");
    let mut command = lastbench.command(&["count", "-", "--check", "--json"]);
    let output = command.stdin(std::fs::File::open(codes).unwrap()).output().unwrap();
    let reply: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((output.status.code(), &reply["pairs"]), (Some(0), &1.into()));
}

#[test]
fn what_count_cannot_do_has_its_exit_code() {
    let lastbench = stocked();
    lastbench.write("codes.txt", "7300011000017\n");
    lastbench.write("blank.txt", "\n");
    for (arguments, code) in [
        (&["count"][..], 2),
        (&["count", "codes.txt"], 2),
        (&["count", "codes.txt", "--yes", "--check"], 2),
        (&["count", "codes.txt", "--yes", "--all", "shelf"], 2),
        (&["count", "gone.txt", "--yes"], 3),
        (&["count", "blank.txt", "--yes"], 1),
    ] {
        let ran = lastbench.run(arguments);
        ran.assert_no_panic();
        assert_eq!(ran.code, Some(code), "{arguments:?}: {ran:?}");
    }
    let serving = lastbench.serve(&[]);
    let ran = lastbench.run(&["count", "codes.txt", "--yes"]);
    assert_eq!(ran.code, Some(4), "{ran:?}");
    assert!(ran.stderr.contains("/count"), "{}", ran.stderr);
    drop(serving);
    let empty = tests::lastbench!();
    empty.write("codes.txt", "7300011000017\n");
    assert_eq!(
        empty.run(&["count", "codes.txt", "--yes"]).code,
        Some(3),
        "there is no catalogue to count in"
    );
    assert!(!empty.data().exists());
}

#[test]
fn what_the_catalogue_does_not_know_can_be_listed() {
    let lastbench = stocked();
    assert!(lastbench.done(&["gaps"]).contains("Drop: not given of 1 of 1 styles"));
    let (code, gaps) = lastbench.json(&["gaps", "--json"]);
    assert_eq!(code, Some(0));
    let drop = gaps["missing"].as_array().unwrap().iter().find(|hole| hole["measure"] == "drop").unwrap();
    assert_eq!(
        (&drop["missing"], &drop["of"], &drop["styles"][0]),
        (&1.into(), &1.into(), &"feldrast.fr-1".into())
    );
}
