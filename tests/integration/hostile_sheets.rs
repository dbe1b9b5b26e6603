//! The hostile corpus: every file has its verdict, and the reader goes on as if nothing had been.

use indexer::sheet::{Sheet, SheetLimits, SheetReader, Unreadable};

use crate::hostile::{Case, Verdict, ods, text, xlsx};

const GOOD: &[u8] = b"style,drop\nA,8\n";

fn reader() -> SheetReader {
    SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard())
}

fn rows(sheet: &Sheet) -> usize {
    sheet.tabs.iter().map(|tab| tab.rows.len()).sum()
}

/// What came of it, and the words for the person at the counter.
fn verdict(read: &Result<Sheet, Unreadable>) -> (Verdict, String) {
    match read {
        Ok(sheet) => (Verdict::Rows(rows(sheet)), String::new()),
        Err(refused) => (Verdict::Refused(refused.code()), refused.to_string()),
    }
}

/// Every file of these comes to its verdict, and a good sheet after each is read.
fn hold(cases: &[Case]) {
    let reader = reader();
    let mut wrong = Vec::new();
    for case in cases {
        let read = reader.read(case.name, &case.bytes);
        let (came, words) = verdict(&read);
        if came != case.verdict {
            wrong.push(format!("{}: {came:?} instead of {:?}; {words}", case.id, case.verdict));
        }
        if matches!(came, Verdict::Refused(_)) && !words.contains(". ") {
            wrong.push(format!("{}: says not what to do: {words}", case.id));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(verdict(&reader.read("a.csv", GOOD)).0, Verdict::Rows(2));
}

#[test]
fn text_made_to_hurt_comes_to_its_verdict() {
    hold(&text::cases());
}

#[test]
fn addresses_that_no_spreadsheet_has_come_to_their_verdict() {
    hold(&xlsx::addresses());
}

#[test]
fn markup_that_only_an_attack_needs_comes_to_its_verdict() {
    hold(&xlsx::markup());
}

#[test]
fn archives_that_lie_come_to_their_verdict() {
    hold(&xlsx::archives());
}

#[test]
fn odd_contents_of_a_workbook_come_to_their_verdict() {
    hold(&xlsx::contents());
}

#[test]
fn opendocument_made_to_hurt_comes_to_its_verdict() {
    hold(&ods::cases());
}

#[test]
fn a_name_comes_through_letter_by_letter_in_every_format() {
    let reader = reader();
    for (id, name) in text::names() {
        let files = [
            ("a.csv", format!("name\n{name}\n").into_bytes()),
            ("a.xlsx", xlsx::rows(&format!("<row r=\"2\">{}</row>", xlsx::text("A2", &name)))),
            ("a.ods", ods::rows(&format!("<table:table-row>{}</table:table-row>", ods::text(&name)))),
        ];
        for (file, bytes) in files {
            let sheet = reader.read(file, &bytes).unwrap();
            assert_eq!(sheet.tabs[0].rows.last().unwrap().cell(0), name, "{id} in {file}");
        }
    }
}

#[test]
fn a_character_of_64_kilobytes_is_too_long_in_every_format() {
    let name = format!("a{}", "\u{301}".repeat(32_000));
    let files = [
        ("a.csv", format!("name\n{name}\n").into_bytes()),
        ("a.xlsx", xlsx::rows(&format!("<row r=\"2\">{}</row>", xlsx::text("A2", &name)))),
        ("a.ods", ods::rows(&format!("<table:table-row>{}</table:table-row>", ods::text(&name)))),
    ];
    for (file, bytes) in files {
        assert_eq!(reader().read(file, &bytes).unwrap_err().code(), "sheet-long-cell", "{file}");
    }
}

// ECMA-376 part 1, 22.9.2.19: an escape that is no character of Unicode stays as it is written.
#[test]
fn half_a_surrogate_pair_stays_as_it_is_written() {
    let bytes = xlsx::rows(&format!("<row r=\"1\">{}</row>", xlsx::text("A1", "a_xD800_b_x0041_")));
    assert_eq!(reader().read("a.xlsx", &bytes).unwrap().tabs[0].rows[0].cell(0), "a_xD800_bA");
}
