//! Twelve invented suppliers' sheets, each in its own dialect, held against truth tables that no importer has seen:
//! no cell is silently wrong, every finding that is due is there, and an import taken back leaves nothing.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod facts;

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use indexer::finding::{Code, Finding, Holds};
use indexer::mapping::MappingFile;
use indexer::sheet::{SheetLimits, SheetReader, column_letters};
use indexer::shop::{Shop, Told, Understood};
use indexer::store::{ChangeId, DataDir, Signed};
use rusqlite::Connection;
use tests::program::argument;
use tests::python;
use toml::Table;

use facts::{Facts, facts_of, truth_of};

macro_rules! sheets {
    ($($test:ident $file:literal;)+) => {
        $(#[test]
        fn $test() {
            comes_in_true_and_goes_out_whole($file);
        })+
    };
}

sheets! {
    a_plain_english_sheet_comes_in_with_no_silently_wrong_cell "01-english-plain.csv";
    a_german_sheet_with_decimal_commas_comes_in_with_no_silently_wrong_cell "02-german-windows.csv";
    a_french_sheet_with_units_below_its_headings_comes_in_with_no_silently_wrong_cell "03-french-units-row.csv";
    a_workbook_with_titles_and_two_tabs_comes_in_with_no_silently_wrong_cell "04-titles-and-tabs.xlsx";
    a_run_of_sizes_comes_in_with_no_silently_wrong_cell "05-size-run.xlsx";
    an_italian_sheet_comes_in_with_no_silently_wrong_cell "06-italian.ods";
    an_american_sheet_in_inches_comes_in_with_no_silently_wrong_cell "07-us-inches.tsv";
    a_dutch_sheet_with_bars_comes_in_with_no_silently_wrong_cell "08-dutch-bars.txt";
    damaged_codes_and_dates_come_in_with_no_silently_wrong_cell "09-codes-and-dates.xlsx";
    a_spanish_sheet_with_mixed_units_comes_in_with_no_silently_wrong_cell "10-spanish-mixed.csv";
    stock_by_barcode_comes_in_with_no_silently_wrong_cell "11-stock-by-barcode.ods";
    the_export_of_a_shop_system_comes_in_with_no_silently_wrong_cell "12-shop-export.csv";
}

/// What is expected of one sheet.
struct Expected {
    file: String,
    table: Table,
    truth: Facts,
}

/// A shop in a folder, so that its tables can be looked at from outside.
struct Bench {
    folder: tempfile::TempDir,
    shop: Shop,
}

fn comes_in_true_and_goes_out_whole(file: &str) {
    let bench = Bench::new();
    let expected = Expected::of(file);
    for before in expected.strings("after") {
        let before = Expected::of(&before);
        bench.apply(&bench.understand(&before, true));
    }
    let (facts, export) = (bench.facts(), bench.export());
    let open = bench.understand(&expected, false);
    expected.holds_until_answered(&open);
    let understood = bench.understand(&expected, true);
    expected.reading(&understood);
    expected.counts(&understood);
    expected.findings(&understood);
    let change = bench.apply(&understood);
    let added: Facts = bench.facts().difference(&facts).cloned().collect();
    expected.facts(&added, &facts);
    bench.comes_back_unchanged();
    bench.shop.undo(change, &signed("undo")).unwrap();
    assert!(bench.export() == export, "{file}: taken back, the export is byte for byte what it was");
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let program = env!("CARGO_BIN_EXE_lastbench-under-test").into();
        let reader = SheetReader::new(program, SheetLimits::standard());
        let shop = Shop::open(&DataDir::new(folder.path().to_owned()), reader).unwrap();
        Self { folder, shop }
    }

    fn understand(&self, expected: &Expected, answered: bool) -> Understood {
        let bytes = std::fs::read(sheets().join(&expected.file)).unwrap();
        let supplier = expected.table["supplier"].as_str().map(str::to_owned);
        let told = Told { supplier: supplier.clone(), ..Told::default() };
        let first = self.shop.understand(&expected.file, bytes.clone(), &told).unwrap();
        if !answered {
            return first;
        }
        let told = Told { supplier, mapping: Some(expected.mapping(&first)), ..Told::default() };
        self.shop.understand(&expected.file, bytes, &told).unwrap()
    }

    fn apply(&self, understood: &Understood) -> ChangeId {
        let stops: Vec<_> =
            understood.proposal.findings.iter().filter(|f| f.code.holds() == Holds::Sheet).collect();
        assert!(stops.is_empty(), "{}: {stops:?}", understood.reading.sheet);
        self.shop.apply(understood, &signed(&understood.reading.sheet)).unwrap()
    }

    /// What is exported and sent in again says nothing new.
    fn comes_back_unchanged(&self) {
        let csv = self.shop.ask(|store| store.export_csv()).unwrap();
        let told = Told { supplier: Some("the shop itself".to_owned()), ..Told::default() };
        let understood = self.shop.understand("export.csv", csv.into_bytes(), &told).unwrap();
        let counts = &understood.proposal.counts;
        let stops: Vec<_> = understood
            .proposal
            .findings
            .iter()
            .filter(|f| f.code.holds() != Holds::Nothing)
            .take(3)
            .collect();
        assert_eq!((counts.new, counts.changed, counts.held, stops), (0, 0, 0, Vec::new()));
    }

    fn export(&self) -> String {
        self.shop.ask(|store| store.export_ndjson()).unwrap()
    }

    fn facts(&self) -> Facts {
        let database = Connection::open(self.folder.path().join("catalogue.sqlite")).unwrap();
        ["style", "sku"].into_iter().flat_map(|table| facts_of(&database, table)).collect()
    }
}

fn signed(key: &str) -> Signed {
    Signed { actor: "test".to_owned(), at: 0, key: key.to_owned() }
}

impl Expected {
    fn of(file: &str) -> Self {
        let name = file.rsplit_once('.').unwrap().0;
        let truth = sheets().join("truth");
        let table = std::fs::read_to_string(truth.join(format!("{name}.expect.toml"))).unwrap();
        let facts = std::fs::read(truth.join(format!("{name}.csv"))).unwrap();
        Self { file: file.to_owned(), table: table.parse().unwrap(), truth: truth_of(&facts) }
    }

    /// What the owner answers, and how the undecided headings are settled.
    fn mapping(&self, first: &Understood) -> MappingFile {
        let mut text = String::new();
        for (key, answer) in self.table["answers"].as_table().unwrap() {
            let answer = answer.as_str().unwrap();
            // The truth says it in more words than the mapping.
            let answer = if answer.starts_with("in stock") { "in stock" } else { answer };
            writeln!(text, "{key} = {answer:?}").unwrap();
        }
        writeln!(text, "kind = {:?}", self.table["kind"].as_str().unwrap()).unwrap();
        let mut file = MappingFile::parse(&text).unwrap();
        for settle in self.tables("settle") {
            let letter = settle["column"].as_str().unwrap();
            let columns = first.mapping.tabs.iter().flat_map(|tab| &tab.columns);
            let mapped = columns.into_iter().find(|mapped| column_letters(mapped.at) == letter).unwrap();
            let key = indexer::mapping::HeadingSaid::Key(settle["to"].as_str().unwrap().to_owned());
            file.headings.insert(mapped.name.clone(), key);
        }
        file
    }

    /// A sheet with questions that matter cannot be applied before they are answered.
    fn holds_until_answered(&self, open: &Understood) {
        let must = self.tables("settle").iter().any(|settle| settle["may_be_known"].as_bool() == Some(false));
        assert!(!must || open.proposal.is_refused(), "{}: not settled, and it could be applied", self.file);
        for due in self.tables("finding").iter().filter(|due| due.contains_key("until")) {
            self.finding(open, due);
        }
    }

    fn counts(&self, understood: &Understood) {
        let (file, counts) = (&self.file, &understood.proposal.counts);
        let rows = self.table["data_rows"].as_integer().unwrap() as usize;
        assert_eq!(counts.data_rows, rows, "{file}: rows of data; {:?}", words(understood));
        assert_eq!(counts.new + counts.changed + counts.unchanged + counts.held, rows, "{file}: {counts:?}");
        let held = self.tables("rows_held").len();
        assert_eq!(counts.held, held, "{file}: rows held; {:?}", words(understood));
    }

    /// Every finding that is due is there, and no other cell, row or sheet is held.
    fn findings(&self, understood: &Understood) {
        for due in self.tables("finding").iter().filter(|due| !due.contains_key("until")) {
            self.finding(understood, due);
        }
        self.held_cells(understood);
        self.left_out_rows(understood);
        let held = ["rows_held", "cells_held"].iter().flat_map(|key| self.tables(key));
        let held: Vec<(i64, String)> = held
            .map(|at| {
                (
                    at["row"].as_integer().unwrap(),
                    at.get("column").and_then(toml::Value::as_str).unwrap_or("").to_owned(),
                )
            })
            .collect();
        for finding in
            understood.proposal.findings.iter().filter(|finding| finding.code.holds() != Holds::Nothing)
        {
            let column = finding.place.column.map(column_letters).unwrap_or_default();
            let row = i64::from(finding.place.row);
            // Of cells that differ the truth names the later one; the earlier is held as well.
            let either = finding.code == Code::CellsDiffer;
            let known =
                held.iter().any(|(held, at)| (*held == row || either) && (at.is_empty() || *at == column));
            assert!(known, "{}: held and not expected: {finding:?}", self.file);
        }
    }

    /// Each cell that is due to be held is, where it stands.
    fn held_cells(&self, understood: &Understood) {
        for due in self.tables("cells_held") {
            let (row, column) = (due["row"].as_integer().unwrap(), due["column"].as_str().unwrap());
            let held = |finding: &Finding| {
                finding.code.holds() == Holds::Cell
                    && i64::from(finding.place.row) == row
                    && finding.place.column.map(column_letters).as_deref() == Some(column)
            };
            assert!(
                understood.proposal.findings.iter().any(held),
                "{}: {column}{row} is not held",
                self.file
            );
        }
    }

    /// Titles, sections, totals and notes are left out, each named; a `sep=` line is no row to be named.
    fn left_out_rows(&self, understood: &Understood) {
        let named = ["title", "section", "total", "note"];
        for due in self.tables("left_out").iter().filter(|due| named.contains(&due["kind"].as_str().unwrap()))
        {
            for row in due["rows"].as_array().unwrap().iter().map(|row| row.as_integer().unwrap()) {
                let tab = due.get("tab").and_then(toml::Value::as_str).unwrap_or_default();
                let left = |finding: &Finding| {
                    finding.code == Code::RowLeftOut
                        && i64::from(finding.place.row) == row
                        && finding.place.sheet.ends_with(tab)
                };
                let begins_with_sep = self.file.starts_with("12-") && row == 1;
                let there = understood.proposal.findings.iter().any(left) || begins_with_sep;
                assert!(there, "{}: row {row} is not named as left out", self.file);
            }
        }
    }

    /// Encoding, delimiter and decimal mark are found as they were written.
    fn reading(&self, understood: &Understood) {
        let reading = self.table["reading"].as_table().unwrap();
        let said = |key: &str| reading.get(key).and_then(toml::Value::as_str);
        let Some(dialect) = understood.sheet.dialect() else { return };
        let encoding = said("encoding").map(|name| name.split(' ').next().unwrap());
        assert!(encoding.is_none_or(|name| name == dialect.encoding), "{}: {}", self.file, dialect.encoding);
        let delimiter = said("delimiter").and_then(|text| text.replace("\\t", "\t").chars().next());
        assert!(
            delimiter.is_none_or(|own| own == dialect.delimiter),
            "{}: {:?}",
            self.file,
            dialect.delimiter
        );
    }

    fn finding(&self, understood: &Understood, due: &Table) {
        let text = |key: &str| due.get(key).and_then(toml::Value::as_str).unwrap_or_default();
        let code = Code::ALL.iter().find(|code| code.word() == text("code"));
        let code = code.unwrap_or_else(|| panic!("{}: no code {}", self.file, text("code")));
        let matches = |finding: &&Finding| {
            let tab = text("tab");
            finding.code == *code
                && (text("heading").is_empty()
                    || squeezed(&finding.heading).ends_with(&squeezed(text("heading"))))
                && (tab.is_empty() || finding.place.sheet.ends_with(tab))
        };
        let found: Vec<&Finding> = understood.proposal.findings.iter().filter(matches).collect();
        for row in due["rows"].as_array().unwrap() {
            let row = row.as_integer().unwrap();
            let there = found.iter().any(|finding| row == 0 || i64::from(finding.place.row) == row)
                // Hidden rows are named once for all that stand next to each other.
                || (*code == Code::RowHidden && !found.is_empty());
            assert!(there, "{}: no {} in row {row}: {:?}", self.file, code.word(), words(understood));
        }
    }

    /// What the catalogue holds now is the truth, both ways.
    fn facts(&self, added: &Facts, before: &Facts) {
        let missing: Vec<_> =
            self.truth.iter().filter(|fact| !added.contains(*fact) && !before.contains(*fact)).collect();
        let wrong: Vec<_> = added.difference(&self.truth).collect();
        assert!(
            wrong.is_empty(),
            "{}: {} not true: {:#?}; true: {:#?}",
            self.file,
            wrong.len(),
            first(&wrong),
            first(&missing)
        );
        assert!(missing.is_empty(), "{}: {} missing: {:#?}", self.file, missing.len(), first(&missing));
    }

    fn tables(&self, key: &str) -> Vec<&Table> {
        let array = self.table.get(key).and_then(toml::Value::as_array);
        array.into_iter().flatten().filter_map(toml::Value::as_table).collect()
    }

    fn strings(&self, key: &str) -> Vec<String> {
        let array = self.table.get(key).and_then(toml::Value::as_array);
        array.into_iter().flatten().filter_map(toml::Value::as_str).map(str::to_owned).collect()
    }
}

fn first<T>(all: &[T]) -> &[T] {
    &all[..all.len().min(12)]
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

fn words(understood: &Understood) -> BTreeMap<(&'static str, String), usize> {
    let mut words = BTreeMap::new();
    for finding in &understood.proposal.findings {
        *words.entry((finding.code.word(), finding.heading.clone())).or_default() += 1;
    }
    words
}

/// The folder with the sheets and their truth: text sheets as they are kept, workbooks written now by independent
/// programs, once for all tests of this run.
fn sheets() -> &'static Path {
    static SHEETS: OnceLock<(tempfile::TempDir, PathBuf)> = OnceLock::new();
    &SHEETS
        .get_or_init(|| {
            let folder = tempfile::tempdir().unwrap();
            let made = folder.path().join("sheets");
            python::run("sheets/make.py", &[argument(&made)]);
            (folder, made)
        })
        .1
}
