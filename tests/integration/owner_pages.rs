//! The owner's pages over an empty catalogue: a sheet sent in, looked at, settled, applied and taken back; and sheets
//! that are no sheets.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::process::Command;
use std::sync::Arc;
use std::time::Duration;

use axum::body::Body;
use axum::http::{StatusCode, header};
use catalogue::key::StyleKey;
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::Shop;
use serde_json::Value;
use web::config::Config;
use web::request::runner::RunnerForm;
use web::sample::sample_shop;
use web::wire::rank::RankReply;

use crate::owner_bench::{Owner, reader, sample, upload};

const RANGE: &[u8] = b"Maker,Style number,Model,Heel stack mm\nFeldrast,FR-1,Egge,30\n";

// What is planted where: sample-catalogue/README.md and the rows themselves.
#[tokio::test]
async fn the_planted_faults_of_the_second_supplier_are_shown_with_their_places() {
    let owner = Owner::new();
    let bytes = std::fs::read(sample("second-supplier.csv")).unwrap();
    let (_, page) = owner.preview("second-supplier.csv", &bytes).await;
    let findings = page.all("<section class=\"finding", "</section>");
    let finding = |code: &str| {
        let code = format!("Code {code}");
        findings
            .iter()
            .find(|text| text.ends_with(&code))
            .unwrap_or_else(|| panic!("no {code}: {findings:?}"))
    };
    for (code, at, read) in [
        ("gtin-check-digit", "row 5, column P (EAN)", "2773221293065"),
        ("quantity-negative", "row 22, column Q (Bestand)", "-2"),
        ("not-a-number", "row 43, column R (UVP (€))", "a. A."),
        ("row-repeated", "row 62", "Feldrast"),
    ] {
        assert!(finding(code).contains(at) && finding(code).contains(read), "{code}: {}", finding(code));
    }
    assert!(page.says("windows-1252") || page.says("UTF-8"));
    assert!(page.says("semicolons") && page.says("Decimal comma"));
}

#[tokio::test]
async fn the_counts_of_a_preview_add_up_to_its_rows() {
    let owner = Owner::new();
    let bytes = std::fs::read(sample("second-supplier.csv")).unwrap();
    let rows = String::from_utf8(bytes.clone()).unwrap().lines().count() - 1;
    let (_, page) = owner.preview("second-supplier.csv", &bytes).await;
    let labels = page.all("<dt>", "</dt>");
    let counts = page.all("<dd>", "</dd>");
    let count = |label: &str| -> usize {
        let at = labels.iter().position(|said| said == label).unwrap();
        counts[at].chars().take_while(char::is_ascii_digit).collect::<String>().parse().unwrap()
    };
    assert_eq!(["new", "changed", "unchanged", "held"].map(count).iter().sum::<usize>(), rows);
    assert!(count("new") > 100);
}

#[tokio::test]
async fn a_sheet_is_stored_only_when_applied_and_gone_when_taken_back() {
    let owner = Owner::new();
    let bytes = std::fs::read(sample("second-supplier.csv")).unwrap();
    let (sheet, _) = owner.preview("second-supplier.csv", &bytes).await;
    assert!(!owner.has("feldrast.fr-20m") && owner.changes() == 0);
    let applied = owner.apply(&sheet).await;
    assert_eq!((applied.status, applied.to.as_str()), (StatusCode::SEE_OTHER, "/changes?done=1"));
    assert!(owner.has("feldrast.fr-20m"));
    let history = owner.get(&applied.to).await;
    assert!(history.says("The sheet was applied as change 1:"), "{}", history.text());
    let asked = owner.get("/changes/1/undo").await;
    assert!(asked.says("and nothing stays."), "{}", asked.text());
    let at = asked.hidden("/changes/1/undo", "at");
    let undone = owner.post("/changes/1/undo", &[("at", &at)]).await;
    assert_eq!(undone.to, "/changes?done=2");
    assert!(!owner.has("feldrast.fr-20m"));
    let history = owner.get(&undone.to).await;
    assert!(history.says("Change 1 is taken back, as change 2.") && history.says("taken back by change 2"));
}

#[tokio::test]
async fn a_second_press_of_undo_is_the_same_undo_and_an_undo_can_be_taken_back_and_made_again() {
    let owner = Owner::new();
    let (sheet, _) = owner.preview("range.csv", RANGE).await;
    owner.apply(&sheet).await;
    for _ in 0..2 {
        let undone = owner.post("/changes/1/undo", &[("at", "1")]).await;
        assert_eq!(undone.to, "/changes?done=2");
    }
    assert_eq!(owner.post("/changes/2/undo", &[("at", "2")]).await.to, "/changes?done=3");
    assert!(owner.has("feldrast.fr-1"));
    assert_eq!(owner.post("/changes/1/undo", &[("at", "3")]).await.to, "/changes?done=4");
    assert!(!owner.has("feldrast.fr-1"));
    let refused = owner.post("/changes/1/undo", &[("at", "4")]).await;
    assert_eq!(refused.status, StatusCode::CONFLICT);
    assert!(refused.says("Change 1 is taken back already."));
    assert_eq!(owner.post("/changes/9/undo", &[]).await.status, StatusCode::CONFLICT);
}

#[tokio::test]
async fn a_sheet_that_another_change_has_overtaken_is_refused_and_can_be_looked_at_anew() {
    let owner = Owner::new();
    let (first, page) = owner.preview("range.csv", RANGE).await;
    let seen = page.hidden(&format!("{first}/apply"), "seen");
    let other = String::from_utf8(RANGE.to_vec()).unwrap().replace("30", "28");
    let (second, _) = owner.preview("other.csv", other.as_bytes()).await;
    owner.apply(&second).await;
    let refused = owner.post(&format!("{first}/apply"), &[("seen", &seen)]).await;
    assert_eq!(refused.status, StatusCode::CONFLICT);
    assert!(refused.says("Look at it again") && refused.body.contains(&format!("href=\"{first}\"")));
    assert_eq!(owner.changes(), 1);
    let again = owner.get(&first).await;
    assert!(again.says("28 mm") && again.says("30 mm"), "before and after: {}", again.text());
    let stale = owner.post(&format!("{first}/apply"), &[("seen", &seen)]).await;
    assert_eq!(stale.status, StatusCode::CONFLICT, "the page drawn before is not what waits now");
    assert_eq!(owner.apply(&first).await.to, "/changes?done=2");
}

#[tokio::test]
async fn headings_that_say_the_same_are_settled_and_remembered_for_full_sheets_too() {
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Weight,Mass\nFeldrast,FR-1,Egge,250,300\n";
    let (sheet, page) = owner.preview("range.csv", bytes).await;
    assert!(page.says("What is “Weight” in column D?"), "{}", page.text());
    assert!(!page.body.contains(&format!("{sheet}/apply")));
    let settled =
        owner.post(&format!("{sheet}/mapping"), &[("column-0-D", "mass"), ("column-0-E", "ignore")]).await;
    assert_eq!((settled.status, &settled.to), (StatusCode::SEE_OTHER, &sheet));
    assert!(owner.get(&sheet).await.says("250 g"));
    assert_eq!(owner.apply(&sheet).await.status, StatusCode::SEE_OTHER);
    let full = owner.sheet_of("range.csv", bytes, "Feldrast", "full").await;
    let page = owner.get(&full.to).await;
    assert!(page.says("from Feldrast, full, 1 row,") && !page.says("To decide first"), "{}", page.text());
}

#[tokio::test]
async fn an_answer_that_is_no_column_settles_nothing_and_two_headings_that_read_alike_are_settled_one_by_one()
{
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Weight,Weight\nFeldrast,FR-1,Egge,250,300\n";
    let (sheet, _) = owner.preview("range.csv", bytes).await;
    let action = format!("{sheet}/mapping");
    let refused = owner.post(&action, &[("column-0-D", "wings")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("\"wings\", which is no column"));
    assert!(owner.get(&sheet).await.says("To decide first"));
    owner.post(&action, &[("column-0-D", "ignore"), ("column-0-E", "mass")]).await;
    assert!(
        owner.get(&sheet).await.says("Mass 300 g"),
        "two columns of one heading are told apart by their places"
    );
}

#[tokio::test]
async fn a_column_that_is_needed_can_be_named_among_the_unknown_ones() {
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Qty,Zzz\nFeldrast,FR-1,Egge,3,42\n";
    let (sheet, page) = owner.preview("range.csv", bytes).await;
    assert!(
        page.says("Nobody knows this heading, and a column that is needed is missing"),
        "{}",
        page.text()
    );
    owner.post(&format!("{sheet}/mapping"), &[("column-0-E", "size")]).await;
    assert!(!owner.get(&sheet).await.says("To decide first"));
}

#[tokio::test]
async fn a_sheet_that_is_left_or_too_old_waits_no_more() {
    let owner = Owner::new();
    let (left, _) = owner.preview("range.csv", RANGE).await;
    assert_eq!(owner.post(&format!("{left}/leave"), &[]).await.to, "/sheets");
    assert_eq!(owner.get(&left).await.status, StatusCode::GONE);
    let (old, _) = owner.preview("range.csv", RANGE).await;
    assert!(owner.get("/sheets").await.body.contains(&format!("href=\"{old}\"")));
    owner.state.clock.advance(Duration::from_hours(4));
    assert_eq!(owner.post(&format!("{old}/apply"), &[]).await.status, StatusCode::GONE);
    assert!(!owner.get("/sheets").await.body.contains(&format!("href=\"{old}\"")));
    assert_eq!(owner.changes(), 0);
}

#[tokio::test]
async fn a_sheet_that_cannot_be_read_is_refused_with_its_place_and_what_to_do() {
    let owner = Owner::new();
    let damaged = [b"\xEF\xBB\xBFMaker,Model\nFeldrast,Eg".to_vec(), b"\xFF\xFEge\n".to_vec()].concat();
    let cases: [(&str, &[u8], [&str; 2]); 5] = [
        ("empty.csv", b"", ["“empty.csv” holds no rows", "Check that the right sheet"]),
        ("nul.csv", b"Maker,Model\nFeldrast,Eg\0ge\n", ["nul.csv, row 2, column B", "Save the sheet again"]),
        ("bytes.csv", &damaged, ["bytes.csv, row 2, column B", "Save the sheet again"]),
        ("quote.csv", b"Maker,Model\nFeldrast,\"Egge\n", ["quote.csv, row 2, column B", "Close or delete"]),
        ("book.xlsx", b"PK\x03\x04", ["book.xlsx: it is damaged or cut short", "save it again"]),
    ];
    for (name, bytes, said) in cases {
        let refused = owner.sheet(name, bytes).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
        for words in said {
            assert!(refused.says(words), "{name} does not say “{words}”: {}", refused.text());
        }
        assert!(refused.says("Nothing was stored.") && refused.body.contains("href=\"/sheets\""), "{name}");
        assert_eq!(owner.get("/sheets").await.status, StatusCode::OK, "{name}");
    }
    assert!(owner.state.waiting.list(owner.state.clock.now().instant).is_empty());
    assert_eq!(owner.changes(), 0);
}

#[tokio::test]
async fn the_server_goes_on_answering_while_a_sheet_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    // Written by another process: a file open for writing in this one cannot be run.
    let script = "printf '#!/bin/sh\\n: > \"%s/begun\"\\nwhile [ ! -e \"%s/end\" ]; do /bin/sleep 0.02; done\\nexit 1\\n' \
                  \"$1\" \"$1\" > \"$1/reader\" && chmod 700 \"$1/reader\"";
    let written = Command::new("/bin/sh").args(["-c", script, "sh"]).arg(folder.path()).status().unwrap();
    assert!(written.success());
    let reader = SheetReader::new(at("reader"), SheetLimits::standard());
    let mut config = Config::for_testing();
    config.requests.sheet_patience = Duration::from_millis(20);
    let owner = Arc::new(Owner::within(Shop::in_memory(reader).unwrap(), config));
    let sender = Arc::clone(&owner);
    let sent = tokio::spawn(async move { sender.sheet("range.csv", RANGE).await });
    while !at("begun").exists() {
        tokio::task::yield_now().await;
    }
    for page in ["/sheets", "/changes"] {
        assert_eq!(owner.get(page).await.status, StatusCode::OK, "{page}");
    }
    let sent = sent.await.unwrap();
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "the answer does not wait for the reader");
    let page = owner.look(&sent.to).await;
    assert!(page.says("Reading") && page.says("Cancel") && page.refresh, "{}", page.text());
    assert!(owner.get("/sheets").await.says("is being read"));
    std::fs::write(at("end"), "").unwrap();
    let refused = owner.get(&sent.to).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("was stopped") && refused.says("Nothing was stored."), "{}", refused.text());
}

#[tokio::test]
async fn a_sheet_of_another_separator_or_encoding_is_read_and_says_how() {
    let owner = Owner::new();
    let text = "Maker|Style number|Model|Notes\nFeldrast|FR-1|Egge|größer\n";
    let utf16: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let latin: Vec<u8> = text.chars().map(|letter| letter as u8).collect();
    for (bytes, encoding) in [(text.as_bytes(), "UTF-8"), (&utf16, "UTF-16LE"), (&latin, "windows-1252")] {
        let (_, page) = owner.preview("range.csv", bytes).await;
        assert!(page.says(encoding) && page.says("vertical bars") && page.says("größer"), "{}", page.text());
    }
}

#[tokio::test]
async fn letters_in_number_cells_are_held_with_their_place_and_the_rest_is_taken() {
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Heel stack mm,Weight g\nFeldrast,FR-1,Egge,thirty,250\n";
    let (sheet, page) = owner.preview("range.csv", bytes).await;
    let finding = page.all("<section class=\"finding stop", "</section>").concat();
    assert!(finding.contains("row 2, column D (Heel stack mm): thirty"), "{finding}");
    owner.apply(&sheet).await;
    let snapshot = owner.state.snapshot();
    let style = snapshot.style(&StyleKey::parse("feldrast.fr-1").unwrap()).unwrap().style;
    assert_eq!(style.specification.heel_stack, None);
    assert_eq!(style.specification.mass.map(|mass| mass.in_tenths()), Some(2_500));
}

#[tokio::test]
async fn a_sheet_without_headings_says_so_and_offers_nothing_to_apply() {
    let owner = Owner::new();
    let (sheet, page) = owner.preview("odd.csv", b"a;b;c\n1;2;3\n").await;
    assert!(page.says("the sheet as a whole") && page.says("Put one row of headings above the data"));
    let refused = owner.post(&format!("{sheet}/apply"), &[]).await;
    assert_eq!((refused.status, owner.changes()), (StatusCode::CONFLICT, 0));
    assert!(
        refused.says("settle its headings first.") && refused.body.contains(&format!("href=\"{sheet}\""))
    );
}

#[tokio::test]
async fn fifty_megabytes_are_refused_whether_or_not_their_length_is_told() {
    let owner = Owner::new();
    let told = upload().header(header::CONTENT_LENGTH, 50 * 1024 * 1024);
    let told = owner.send(told.body(Body::from(vec![b'x'; 50 * 1024 * 1024])).unwrap()).await;
    assert_eq!(told.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(told.says("At most 128 kB are taken here. This one has 50 MB."), "{}", told.text());
    let untold = owner.sheet("range.csv", &vec![b'x'; 50 * 1024 * 1024]).await;
    assert_eq!(untold.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(untold.says("At most 128 kB are taken here."), "{}", untold.text());
    assert_eq!(owner.get("/sheets").await.status, StatusCode::OK);
    assert_eq!(owner.changes(), 0);
}

#[tokio::test]
async fn a_form_without_a_file_comes_back_with_what_was_typed() {
    let owner = Owner::new();
    let page = owner.sheet("", b"").await;
    assert_eq!(page.status, StatusCode::BAD_REQUEST);
    assert!(page.says("No file was chosen") && page.body.contains("value=\"Feldrast\""));
    let page = owner.sheet_of("range.csv", RANGE, &"x".repeat(81), "partial").await;
    assert!(page.status == StatusCode::BAD_REQUEST && page.says("at most 80 characters"));
    let broken = owner.send(upload().body(Body::from("--cut\r\nnothing")).unwrap()).await;
    assert_eq!(broken.status, StatusCode::BAD_REQUEST);
    assert!(broken.says("did not arrive whole"), "{}", broken.text());
}

#[tokio::test]
async fn the_machines_reply_is_the_command_lines_reply() {
    let owner = Owner::over(sample_shop(reader(), 1_000).unwrap());
    let snapshot = owner.state.snapshot();
    let body = r#"{"size": {"system": "EU", "worn_label": "42.5"}, "stage": {"heading": "same"}}"#;
    let runner = RunnerForm::from_json(body.as_bytes()).unwrap().to_runner(&|_| true).unwrap();
    let list = snapshot.ranked(&runner, &BTreeSet::new()).unwrap();
    let expected = serde_json::to_value(RankReply::of(&list, &snapshot)).unwrap();
    let reply = owner.rank(body).await;
    assert_eq!(reply.status, StatusCode::OK);
    assert!(serde_json::from_str::<Value>(&reply.body).unwrap() == expected);
    assert!(!expected["results"].as_array().unwrap().is_empty());
}

#[tokio::test]
async fn a_stop_is_an_answer_and_a_fault_is_a_problem_with_its_place() {
    let owner = Owner::over(sample_shop(reader(), 1_000).unwrap());
    let stopped = owner.rank(r#"{"flags": {"bone_pain_spot": true}}"#).await;
    assert_eq!(stopped.status, StatusCode::OK);
    let reply: Value = serde_json::from_str(&stopped.body).unwrap();
    assert_eq!((reply["stopped"].as_array().unwrap().len(), &reply["results"]), (1, &serde_json::json!([])));
    for (body, place) in [(r#"{"run": {"strike": "sideways"}}"#, "run.strike"), ("[", "line 1")] {
        let fault = owner.rank(body).await;
        assert_eq!(fault.status, StatusCode::BAD_REQUEST, "{body}");
        let problem: Value = serde_json::from_str(&fault.body).unwrap();
        let places = problem["errors"].as_array().unwrap().iter().map(|error| error.to_string());
        assert!(places.collect::<String>().contains(place), "{}", fault.body);
    }
}
