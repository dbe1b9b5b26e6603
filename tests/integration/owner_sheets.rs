//! A supplier's sheet on the owner's pages: read another way, mapped, remembered, counted, mended and sent again.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fmt::Write as _;

use axum::http::StatusCode;
use indexer::proposal::Missing;
use indexer::shop::{Progress, Shop, Told};
use indexer::store::Signed;
use serde_json::Value;
use tests::program::argument;
use tests::python;
use web::config::Config;

use crate::owner_bench::{Answer, Owner, reader, sample};

const RANGE: &[u8] = b"Maker,Style number,Model,Heel stack mm,Drop mm\nFeldrast,FR-1,Egge,30,8\n";

fn roomy() -> Owner {
    let mut config = Config::for_testing();
    config.requests.sheet = 40_000_000;
    Owner::within(Shop::in_memory(reader()).unwrap(), config)
}

fn json(answer: &Answer) -> Value {
    serde_json::from_str(&answer.body).unwrap_or_else(|fault| panic!("{fault}: {}", answer.text()))
}

#[tokio::test]
async fn sending_a_sheet_changes_nothing_and_its_number_cannot_be_guessed() {
    let owner = Owner::new();
    let before = owner.get("/shoes.json").await.body;
    let (first, _) = owner.preview("range.csv", RANGE).await;
    let (second, _) = owner.preview("range.csv", RANGE).await;
    assert_eq!(owner.get("/shoes.json").await.body, before);
    let number = |sheet: &str| sheet.rsplit('/').next().unwrap().to_owned();
    assert_eq!(number(&first).len(), 32);
    assert_ne!(number(&first)[..16], number(&second)[..16]);
    assert_eq!(owner.get("/sheets/1").await.status, StatusCode::GONE);
}

#[tokio::test]
async fn how_it_was_read_is_said_with_its_evidence_and_reading_it_otherwise_and_back_gives_the_same_page() {
    let owner = Owner::new();
    let text = "Maker;Style number;Model;Weight\nFeldrast;FR-1;Egge;250,5\nFeldrast;FR-2;Halm;251,5\n";
    let (sheet, first) = owner.preview("range.csv", text.as_bytes()).await;
    for evidence in
        ["every byte reads so", "3 of the first 3 rows have 4 columns", "headings in row 1", "2 of 2 cells"]
    {
        assert!(first.says(evidence), "{evidence}: {}", first.text());
    }
    let action = format!("{sheet}/mapping");
    for (field, other) in [
        ("delimiter", "comma"),
        ("encoding", "UTF-16LE"),
        ("tab-0-row", "2"),
        ("mark-0-D", "."),
        ("unit-0-D", "oz"),
        ("column-0-D", "ignore"),
        ("kind", "full"),
        ("size_system", "UK"),
        ("maker", "Talvik"),
    ] {
        let back = if field == "kind" { "partial" } else { "" };
        owner.post(&action, &[(field, other)]).await;
        let changed = owner.get(&sheet).await;
        if field != "encoding" {
            assert_ne!(changed.body, first.body, "{field} changes something");
        }
        owner.post(&action, &[(field, back)]).await;
        assert_eq!(owner.get(&sheet).await.body, first.body, "{field} there and back");
    }
}

#[tokio::test]
async fn an_answer_that_cannot_be_is_said_at_its_field_and_everything_else_stands() {
    let owner = Owner::new();
    let (sheet, _) = owner.preview("range.csv", RANGE).await;
    let refused = owner.post(&format!("{sheet}/mapping"), &[("tab-0-row", "900")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("There is no row “900”") && refused.body.contains("href=\"#tab-0-row\""));
    assert!(owner.get(&sheet).await.body.contains("/apply\""));
}

#[tokio::test]
async fn an_undecided_heading_keeps_the_sheet_from_being_applied_and_leads_to_its_row() {
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Colorwai,Size,Qty\nFeldrast,FR-1,Egge,red,EU 42,1\n";
    let (sheet, page) = owner.preview("stock.csv", bytes).await;
    assert!(page.body.contains("href=\"#column-0-D\"") && page.body.contains("id=\"column-0-D\""));
    assert!(page.says("To decide first") && page.says("of 100"), "{}", page.text());
    let refused = owner.post(&format!("{sheet}/apply"), &[]).await;
    assert_eq!((refused.status, owner.changes()), (StatusCode::CONFLICT, 0));
    owner.post(&format!("{sheet}/mapping"), &[("column-0-D", "colourway")]).await;
    assert_eq!(owner.apply(&sheet).await.to, "/changes?done=1");
}

#[tokio::test]
async fn a_mapping_is_remembered_whatever_the_order_of_its_headings_and_can_be_forgotten() {
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Massa\nFeldrast,FR-1,Egge,9.4\n";
    let (sheet, _) = owner.preview("range.csv", bytes).await;
    owner.post(&format!("{sheet}/mapping"), &[("column-0-D", "mass"), ("unit-0-D", "oz")]).await;
    owner.apply(&sheet).await;
    let (again, page) =
        owner.preview("later.csv", b"Massa,Maker,Model,Style number\n9.9,Feldrast,Egge,FR-1\n").await;
    assert!(page.says("as on 1 January 1970"), "{}", page.text());
    assert_eq!(json(&owner.get(&format!("{again}.json")).await)["mapping"]["source"], "remembered");
    assert!(page.says("280.7 g"), "{}", page.text());
    owner.post(&format!("{again}/forget"), &[]).await;
    assert_eq!(json(&owner.get(&format!("{again}.json")).await)["mapping"]["source"], "guessed");
}

#[tokio::test]
async fn the_mapping_can_be_taken_away_as_a_file_and_read_by_again() {
    let owner = Owner::new();
    let bytes = b"Maker,Style number,Model,Gew\nFeldrast,FR-1,Egge,9.4\n";
    let (sheet, _) = owner.preview("range.csv", bytes).await;
    owner.post(&format!("{sheet}/mapping"), &[("column-0-D", "mass"), ("unit-0-D", "oz")]).await;
    let file = owner.get(&format!("{sheet}/mapping.toml")).await.body;
    let (other, _) = owner.preview("range.csv", bytes).await;
    let read =
        owner.upload_to(&format!("{other}/mapping.toml"), "mapping", "map.toml", file.as_bytes()).await;
    assert_eq!(read.to, other);
    assert!(owner.get(&other).await.says("266.5 g"), "{}", owner.get(&other).await.text());
    let unfit = owner.upload_to(&format!("{other}/mapping.toml"), "mapping", "map.toml", b"kind = 3").await;
    assert_eq!(unfit.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn five_thousand_bad_cells_are_one_group_with_a_true_total_and_a_small_page() {
    let owner = roomy();
    let mut text = "Maker,Style number,Name,Colour,Size,Qty,Heel stack mm\n".to_owned();
    for row in 0..20_000 {
        let heel = if row % 4 == 0 { "tall" } else { "30" };
        let _ = writeln!(text, "Feldrast,FR-{row},Egge {row},red,EU 42,1,{heel}");
    }
    let sent = owner.sheet("range.csv", text.as_bytes()).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER);
    let page = owner.get(&sent.to).await;
    assert!(page.body.len() < 300_000, "{} bytes", page.body.len());
    assert!(page.says("5000 ×") && page.says("all 5000"), "true totals");
    let reply = json(&owner.get(&format!("{}.json", sent.to)).await);
    let group = reply["findings"].as_array().unwrap().iter().find(|f| f["code"] == "not-a-number").unwrap();
    assert_eq!(group["count"], 5_000);
    let last = format!("{}/findings?code=not-a-number&heading=Heel+stack+mm&page=50", sent.to);
    let last = owner.get(&last).await;
    assert!(last.says("row 19998") && last.says("Page 50 of 50"), "every place can be reached");
    let sizes = owner.get(&format!("{}?list=sizes&page=400", sent.to)).await;
    assert!(sizes.says("Page 400 of 400") && sizes.says("row 20001"), "every change can be reached");
}

#[tokio::test]
async fn what_machines_are_told_of_a_sheet_is_what_the_command_line_says_of_the_same_bytes() {
    let owner = Owner::new();
    let file = sample("second-supplier.csv");
    let (sheet, _) = owner.preview("second-supplier.csv", &std::fs::read(&file).unwrap()).await;
    let lastbench = tests::lastbench!();
    let file = argument(&file);
    let (_, told) = lastbench.json(&["import", "--check", "--json", "--supplier", "Feldrast", file]);
    assert_eq!(json(&owner.get(&format!("{sheet}.json")).await), told);
    assert_eq!(told["joined"]["number"], 168);
}

#[tokio::test]
async fn applying_twice_is_applying_once_with_the_same_answer() {
    let owner = Owner::new();
    let (sheet, page) = owner.preview("range.csv", RANGE).await;
    let action = format!("{sheet}/apply");
    let seen = page.hidden(&action, "seen");
    let fields = [("seen", seen.as_str())];
    let (first, second) = tokio::join!(owner.post(&action, &fields), owner.post(&action, &fields));
    let third = owner.post(&action, &fields).await;
    for answer in [&first, &second, &third] {
        assert_eq!((answer.status, answer.to.as_str()), (StatusCode::SEE_OTHER, "/changes?done=1"));
    }
    assert_eq!(owner.changes(), 1);
    assert_eq!(owner.get(&sheet).await.to, "/changes?done=1", "its page leads to what became of it");
}

#[tokio::test]
async fn what_is_pasted_is_a_sheet_like_any_other() {
    let owner = Owner::new();
    let cells = "Maker\tStyle number\tModel\tWeight\nFeldrast\tFR-1\tEgge\t250\n";
    let sent = owner.pasted(cells, "").await;
    let page = owner.get(&sent.to).await;
    assert!(
        page.says("pasted.txt") && page.says("columns split at tabs") && page.says("Mass 250 g"),
        "{}",
        page.text()
    );
    assert_eq!(owner.apply(&sent.to).await.to, "/changes?done=1");
    let named = owner.pasted(cells, "spring mail").await;
    assert!(owner.get(&named.to).await.says("spring mail.txt"));
}

#[tokio::test]
async fn the_rows_to_mend_come_as_a_workbook_and_mended_they_touch_only_themselves() {
    let owner = Owner::new();
    let range = "Maker;Style number;Model;Weight;Notes\nFeldrast;007;Egge;250;plain\nFeldrast;008;Halm;heavy;=1+1\nFeldrast;009;Flur;260;x\n";
    let (sheet, page) = owner.preview("range.csv", range.as_bytes()).await;
    assert!(page.body.contains("/problems.xlsx\""));
    let file = owner.get(&format!("{sheet}/problems.xlsx")).await;
    assert_eq!(file.status, StatusCode::OK);
    let german = owner.look_in_german(&format!("{sheet}/problems.xlsx")).await;
    let (ours, theirs) = (indexer_texts(&file.bytes), indexer_texts(&german.bytes));
    let said =
        |texts: &[String]| texts.iter().find_map(|text| Some(text.strip_prefix("Weight: ")?.to_owned()));
    let (english, german) = (said(&ours).unwrap(), said(&theirs).unwrap());
    assert!(
        english.contains("is not a number") && german.contains("ist keine Zahl") && english != german,
        "{english} | {german}"
    );
    assert!(theirs.contains(&"Problem".to_owned()), "the column is known when it comes back");
    owner.apply(&sheet).await;
    let (held, mended) = owner.preview("range-problems.xlsx", &file.bytes).await;
    let reply = json(&owner.get(&format!("{held}.json")).await);
    assert_eq!(
        (&reply["rows"], &reply["changed"], &reply["new"]),
        (&1.into(), &0.into(), &0.into()),
        "{reply}"
    );
    assert_eq!(reply["mapping"]["source"], "remembered", "the column of problems makes no other sheet of it");
    assert!(mended.says("heavy") && !mended.says("heading-unknown"), "{}", mended.text());
    let words = indexer_texts(&file.bytes);
    for text in ["008", "=1+1", "Problem", "Weight: "] {
        assert!(words.iter().any(|word| word.contains(text)), "{text}: {words:?}");
    }
    assert!(!words.iter().any(|word| word == "007" || word == "009"), "only the rows to mend");
    let (again, page) = owner.preview("range-problems.xlsx", &mended_in_a_spreadsheet(&file.bytes)).await;
    assert!(page.says("270 g"), "{}", page.text());
    owner.apply(&again).await;
    let reply = owner.state.shop.ask(|store| store.history(1)).unwrap();
    assert_eq!(reply[0].rows, Some([1, 0, 1, 0, 0, 0]), "one row, changed");
}

/// The workbook with `heavy` mended to 270 and kept by openpyxl, a program that is not ours.
fn mended_in_a_spreadsheet(bytes: &[u8]) -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("problems.xlsx");
    std::fs::write(&path, bytes).unwrap();
    python::run("integration/mended.py", &[argument(&path), "heavy", "270"]);
    std::fs::read(path).unwrap()
}

/// The texts of a workbook's first tab, as the reader of sheets sees them.
fn indexer_texts(bytes: &[u8]) -> Vec<String> {
    let sheet = reader().read("problems.xlsx", bytes).unwrap();
    sheet.tabs[0].rows.iter().flat_map(|row| row.cells.iter().map(ToString::to_string)).collect()
}

#[tokio::test]
async fn a_sheet_being_read_can_be_called_off_and_leaves_nothing() {
    let owner = roomy();
    let mut text = "Maker,Style number,Name,Colour,Size,Qty\n".to_owned();
    for row in 0..60_000 {
        let _ = writeln!(text, "Feldrast,FR-{row},Egge {row},red,EU 42,1");
    }
    let sent = owner.sheet("range.csv", text.as_bytes()).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER);
    let cancelled = owner.post(&format!("{}/cancel", sent.to), &[]).await;
    assert_eq!(cancelled.to, "/sheets");
    assert_eq!(owner.get(&sent.to).await.status, StatusCode::GONE);
    assert!(!owner.get("/sheets").await.body.contains(&sent.to));
    assert_eq!(owner.changes(), 0);
}

#[tokio::test]
async fn what_a_full_sheet_leaves_out_is_counted_apart_and_never_deleted() {
    let owner = Owner::new();
    let (sheet, _) = owner
        .preview("range.csv", b"Maker,Style number,Model\nFeldrast,FR-1,Egge\nFeldrast,FR-2,Halm\n")
        .await;
    owner.apply(&sheet).await;
    let full = owner
        .sheet_of("range.csv", b"Maker,Style number,Model\nFeldrast,FR-1,Egge 2\n", "Feldrast", "full")
        .await;
    let reply = json(&owner.get(&format!("{}.json", full.to)).await);
    let count = |key: &str| reply[key].as_u64().unwrap();
    assert_eq!(count("new") + count("changed") + count("unchanged") + count("held"), count("rows"));
    assert_eq!(count("missing"), 1);
    owner.apply(&full.to).await;
    assert!(owner.has("feldrast.fr-2"));
}

#[tokio::test]
async fn what_a_full_sheet_leaves_out_is_dealt_with_as_chosen_on_its_page() {
    let owner = Owner::new();
    let both = b"Maker,Style number,Model\nFeldrast,FR-1,Egge\nFeldrast,FR-2,Halm\n";
    let (sheet, _) = owner.preview("range.csv", both).await;
    owner.apply(&sheet).await;
    let one = b"Maker,Style number,Model\nFeldrast,FR-1,Egge 2\n";
    let full = owner.sheet_of("range.csv", one, "Feldrast", "full").await;
    let page = owner.get(&full.to).await;
    for said in [
        "1 shoes and 0 sizes of Feldrast",
        "feldrast.fr-2",
        "Keep them",
        "Mark them out of stock",
        "Retire them",
    ] {
        assert!(page.says(said), "{said}: {}", page.text());
    }
    let action = format!("{}/apply", full.to);
    let seen = page.hidden(&action, "seen");
    assert_eq!(owner.post(&action, &[("seen", &seen), ("missing", "retire")]).await.to, "/changes?done=2");
    assert!(owner.get("/changes").await.says("retire") && owner.has("feldrast.fr-2"));
}

#[test]
fn an_import_called_off_while_it_is_applied_leaves_nothing() {
    let shop = Shop::in_memory(reader()).unwrap();
    let understood = shop.understand("range.csv", RANGE.to_vec(), &Told::default()).unwrap();
    let by = Signed { actor: "owner".to_owned(), at: 0, key: "a".to_owned() };
    let progress = Progress::default();
    progress.cancel();
    assert_eq!(shop.apply_watched(&understood, Missing::Keep, &by, &progress).unwrap(), None);
    assert_eq!(shop.ask(|store| store.seq()).unwrap().0, 0);
    assert!(shop.apply_watched(&understood, Missing::Keep, &by, &Progress::default()).unwrap().is_some());
}

#[test]
fn on_the_command_line_an_undecided_heading_is_refused_with_what_to_settle_and_rows_to_mend_are_written() {
    let lastbench = tests::lastbench!();
    lastbench.write("odd.csv", "Maker,Style number,Model,Colorwai\nFeldrast,FR-1,Egge,red\n");
    let refused = lastbench.run(&["import", "--yes", "odd.csv"]);
    assert_eq!(refused.code, Some(1));
    assert!(
        refused.stderr.contains("Settle this first") && refused.stderr.contains("Colorwai"),
        "{refused:?}"
    );
    assert_eq!(lastbench.done(&["history"]), "");
    lastbench.write(
        "range.csv",
        "Maker,Style number,Model,Weight\nFeldrast,FR-1,Egge,heavy\nFeldrast,FR-2,Halm,260\n",
    );
    let command = ["import", "--yes", "--json", "--kind", "full", "--problems", "mend.xlsx", "range.csv"];
    assert_eq!(lastbench.json(&command).0, Some(1), "a cell is held");
    let (_, mended) = lastbench.json(&["import", "--check", "--json", "mend.xlsx"]);
    assert_eq!(
        (&mended["rows"], &mended["mapping"]["source"]),
        (&1.into(), &"remembered".into()),
        "{mended}"
    );
}

#[test]
fn an_import_that_is_interrupted_leaves_nothing() {
    use std::io::Write as _;
    use std::process::{Command, Stdio};
    let lastbench = tests::lastbench!();
    let mut command = lastbench.command(&["import", "--yes", "-"]);
    let mut child =
        command.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    let mut pipe = child.stdin.take().unwrap();
    pipe.write_all(RANGE).unwrap();
    assert!(Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap().success());
    assert!(!child.wait().unwrap().success());
    drop(pipe);
    let (_, after) = lastbench.json(&[
        "import",
        "--yes",
        "--json",
        argument(&lastbench.write("range.csv", std::str::from_utf8(RANGE).unwrap())),
    ]);
    assert_eq!(after["change"], 1, "nothing was stored before, and no lock is left");
}

#[tokio::test]
async fn who_makes_the_shoes_is_asked_once_and_remembered_for_the_suppliers_other_sheets() {
    let owner = Owner::new();
    let (sheet, first) = owner.preview("range.csv", b"Style number,Model,Drop mm\nFR-1,Egge,8\n").await;
    assert!(
        first.says("Who makes these shoes?") && first.body.contains("value=\"Feldrast\""),
        "{}",
        first.text()
    );
    assert!(!first.body.contains("/apply\""), "every row waits for the maker");
    owner.post(&format!("{sheet}/mapping"), &[("maker", "Talvik")]).await;
    let answered = owner.get(&sheet).await;
    assert!(
        !answered.says("Who makes these shoes?") && answered.body.contains("talvik.fr-1"),
        "{}",
        answered.text()
    );
    owner.apply(&sheet).await;
    let (_, other) = owner.preview("stock.csv", b"Style number,Model,Heel stack mm\nFR-2,Halm,30\n").await;
    assert!(other.body.contains("talvik.fr-2"), "{}", other.text());
}
