//! Workbooks written at test time by writers that know nothing of the reader: openpyxl and odfpy.

use std::sync::LazyLock;

use indexer::sheet::{How, Merged, RemarkKind, Row, Sheet, SheetLimits, SheetReader, Tab};
use tests::program::argument;
use tests::python;

/// The folder with the workbooks; `workbooks.py` says what is in them.
static WRITTEN: LazyLock<tempfile::TempDir> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a temporary folder");
    python::run("integration/workbooks.py", &[argument(folder.path())]);
    folder
});

fn read(name: &str) -> Sheet {
    let bytes = std::fs::read(WRITTEN.path().join(name)).expect("written above");
    SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard())
        .read(name, &bytes)
        .expect("an honest workbook")
}

fn row(tab: &Tab, number: u32) -> &Row {
    tab.rows.iter().find(|row| row.number == number).unwrap_or_else(|| panic!("row {number}"))
}

fn cells(tab: &Tab, number: u32) -> Vec<&str> {
    row(tab, number).cells.iter().collect()
}

fn remarks(sheet: &Sheet) -> Vec<(RemarkKind, String, u32)> {
    sheet.remarks.iter().map(|remark| (remark.kind, remark.place.to_string(), remark.count)).collect()
}

#[test]
fn the_tabs_that_are_shown_and_hold_rows_come_in_order() {
    for (name, how) in [("range.xlsx", How::Xlsx), ("range.ods", How::Ods)] {
        let sheet = read(name);
        let labels: Vec<&str> = sheet.tabs.iter().map(|tab| &*tab.label).collect();
        assert_eq!(labels, [format!("{name}, tab Stock"), format!("{name}, tab Räume & mehr")]);
        assert_eq!((sheet.tabs[1].title.as_deref(), sheet.how), (Some("Räume & mehr"), how));
    }
    assert_eq!(cells(&read("range.xlsx").tabs[1], 3), ["", "", "c"]);
}

#[test]
fn merged_titles_and_headings_are_known() {
    let sheet = read("range.xlsx");
    assert_eq!(cells(&sheet.tabs[0], 1), ["Spring list, all prices in euro"]);
    assert_eq!(cells(&sheet.tabs[0], 2), ["", "Stack"]);
    let merged = [Merged { rows: (1, 1), columns: (0, 5) }, Merged { rows: (2, 2), columns: (1, 2) }];
    assert_eq!(sheet.tabs[0].merged, merged);
    assert_eq!(read("range.ods").tabs[0].merged, [Merged { rows: (1, 1), columns: (0, 2) }]);
}

// GTIN 4006381333931: the example of the GS1 General Specifications, as in `tests/tables`.
#[test]
fn a_number_is_what_the_owner_sees_with_every_digit_it_was_given() {
    let sheet = read("range.xlsx");
    let row = row(&sheet.tabs[0], 4);
    let seen = [
        "Größe 靴",
        "18.8",
        "8",
        "4006381333931",
        "000123",
        "139.9 €",
        "7.5%",
        "2026-05-09",
        "42 2/3",
        "yes",
        "280 g",
        "US 9.5",
    ];
    assert_eq!(cells(&sheet.tabs[0], 4), seen);
    assert_eq!(row.numbers, [1, 2, 3, 5, 6, 10, 11]);
    let ods = read("range.ods");
    let seen = ["18.8", "4006381333931", "000123", "42 2/3", "7.5%", "139.9 EUR", "280 g"];
    assert_eq!(cells(&ods.tabs[0], 2), seen);
    assert_eq!(ods.tabs[0].rows[1].numbers, [0, 1, 4, 5, 6]);
}

#[test]
fn text_is_kept_to_its_blanks_and_its_runs_are_joined() {
    let sheet = read("range.xlsx");
    let seen = ["Bold and plain ", "", "", "  kept & <all>\nof it  ", "0.3", "2026-05-09 13:30:00"];
    assert_eq!(cells(&sheet.tabs[0], 5), seen);
    let ods = read("range.ods");
    assert_eq!(cells(&ods.tabs[0], 3), ["2026-05-09", "yes", "no", "a   b\nc\nd", "", "", "37.6"]);
}

#[test]
fn repeated_rows_and_cells_are_written_out_and_blank_ones_stepped_over() {
    let ods = read("range.ods");
    let numbers: Vec<u32> = ods.tabs[0].rows.iter().map(|row| row.number).collect();
    assert_eq!(numbers, [1, 2, 3, 6, 7]);
    for number in [6, 7] {
        assert_eq!(cells(&ods.tabs[0], number), ["", "", "again", "again", "again"]);
    }
}

#[test]
fn rows_are_numbered_as_in_the_file() {
    let sheet = read("range.xlsx");
    let numbers: Vec<(u32, u32)> = sheet.tabs[0].rows.iter().map(|row| (row.number, row.line)).collect();
    assert_eq!(numbers, [(1, 1), (2, 2), (3, 3), (4, 4), (5, 5), (9, 9)]);
    assert_eq!(cells(&sheet.tabs[0], 9), ["after a blank", "no"]);
}

#[test]
fn what_is_hidden_or_has_no_result_is_named_and_not_taken() {
    use RemarkKind::{HiddenColumns, HiddenRows, HiddenTab, NoResult};
    let expected = [
        (HiddenRows, "range.xlsx, tab Stock, row 6".to_owned(), 2),
        (HiddenColumns, "range.xlsx, tab Stock, column N".to_owned(), 1),
        (NoResult, "range.xlsx, tab Stock, row 5, column B".to_owned(), 2),
        (HiddenTab, "range.xlsx, tab Draft".to_owned(), 1),
        (HiddenTab, "range.xlsx, tab Secret".to_owned(), 1),
    ];
    assert_eq!(remarks(&read("range.xlsx")), expected);
    let expected = [
        (HiddenRows, "range.ods, tab Stock, row 4".to_owned(), 2),
        (HiddenColumns, "range.ods, tab Stock, column H".to_owned(), 1),
        (NoResult, "range.ods, tab Stock, row 3, column E".to_owned(), 2),
        (HiddenTab, "range.ods, tab Draft".to_owned(), 1),
    ];
    assert_eq!(remarks(&read("range.ods")), expected);
}

#[test]
fn a_day_of_the_1904_system_is_the_same_day() {
    assert_eq!(cells(&read("mac.xlsx").tabs[0], 1), ["2026-05-09"]);
}
