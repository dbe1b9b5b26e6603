//! What reading promises.

use catalogue::key::{MakerKey, StyleKey};

use super::*;
use crate::draft::{Join, Value};
use crate::mapping::guess_mapping;
use crate::sheet::of_rows;

fn reading(rows: &[&[&str]]) -> Drafts {
    let sheet = of_rows(rows);
    read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "Trade Post", None), &Known::default())
}

fn codes(read: &Drafts) -> Vec<&'static str> {
    read.findings.iter().map(|finding| finding.code.word()).collect()
}

fn value<'r>(cells: &'r [ReadCell], key: &str) -> Option<&'r Value> {
    cells.iter().find(|cell| cell.column.key == key).map(|cell| &cell.value)
}

const RANGE: &[&str] =
    &["Maker", "Style number", "Style name", "Heel stack mm", "Forefoot stack mm", "Drop mm", "Replaces"];
const STOCK: &[&str] = &["Brand", "Article no.", "Colour", "Size system", "Size", "Qty"];

#[test]
fn a_range_row_becomes_a_style_with_the_place_of_every_value() {
    let read = reading(&[RANGE, &["Fennick", "FM-1", "Marl", "32", "24", "", ""]]);
    let row = &read.rows[0];
    assert_eq!((row.style.key.as_str(), row.skus.is_empty()), ("fennick.fm-1", true));
    assert_eq!(value(&row.style.cells, "heel_stack"), Some(&Value::Int(320)));
    assert_eq!(value(&row.style.cells, "drop"), None, "a blank says nothing");
    let heel = row.style.cells.iter().find(|c| c.column.key == "heel_stack").unwrap();
    assert_eq!(read.reading.place(heel.at).to_string(), "sheet.csv, row 2, column D");
    assert_eq!(codes(&read), [""; 0]);
}

#[test]
fn a_stock_row_becomes_a_size_of_a_colourway() {
    let read = reading(&[STOCK, &["Fennick", "FM-1", "Ochre", "EU", "42 2/3", "3"]]);
    let sku = &read.skus_of(&read.rows[0])[0];
    assert_eq!(sku.key.as_str(), "fennick.fm-1/ochre/eu-42-2-3/");
    assert_eq!(value(read.sizes.cells_of(sku), "quantity"), Some(&Value::Text("3".into())));
    assert_eq!(value(read.sizes.cells_of(sku), "size_system"), Some(&Value::Text("EU".into())));
}

#[test]
fn the_system_of_a_size_may_stand_in_the_heading() {
    let read =
        reading(&[&["Marke", "Artikelnummer", "Größe (UK)", "Bestand"], &["Fennick", "FM-1", "9½", "1"]]);
    let sku = &read.skus_of(&read.rows[0])[0];
    assert_eq!(value(read.sizes.cells_of(sku), "size_system"), Some(&Value::Text("UK".into())));
}

#[test]
fn a_bad_cell_is_held_and_the_rest_of_the_row_is_taken() {
    let read = reading(&[RANGE, &["Fennick", "FM-1", "Marl", "tall", "24", "8", ""]]);
    assert_eq!((codes(&read), read.reading.held_rows), (vec!["not-a-number"], 0));
    let finding = &read.findings[0];
    assert_eq!((finding.heading.as_str(), finding.text.as_str()), ("Heel stack mm", "tall"));
    assert_eq!(finding.place.to_string(), "sheet.csv, row 2, column D");
    assert_eq!(value(&read.rows[0].style.cells, "forefoot_stack"), Some(&Value::Int(240)));
}

#[test]
fn a_size_that_is_a_date_holds_its_row() {
    let read = reading(&[STOCK, &["Fennick", "FM-1", "", "EU", "10. May", "1"]]);
    assert_eq!((codes(&read), read.reading.held_rows, read.rows.len()), (vec!["size-is-a-date"], 1, 0));
}

#[test]
fn a_row_repeated_word_for_word_counts_once_with_a_note() {
    let row: &[&str] = &["Fennick", "FM-1", "", "EU", "42", "1"];
    let read = reading(&[STOCK, row, row]);
    assert_eq!((read.rows.len(), read.reading.repeated_rows, read.reading.data_rows), (1, 1, 2));
    assert_eq!(codes(&read), ["row-repeated"]);
}

#[test]
fn rows_of_one_size_that_differ_are_both_held() {
    let read = reading(&[
        STOCK,
        &["Fennick", "FM-1", "", "EU", "42", "1"],
        &["Fennick", "FM-1", "", "EU", "42", "2"],
    ]);
    assert_eq!((read.rows.len(), read.reading.held_rows), (0, 2));
    assert_eq!(codes(&read), ["rows-differ", "rows-differ"]);
}

#[test]
fn a_row_between_two_that_are_held_keeps_its_own_size() {
    let row = |size, pairs| ["Fennick", "FM-1", "", "EU", size, pairs];
    let read = reading(&[STOCK, &row("42", "1"), &row("43", "5"), &row("42", "2"), &row("44", "3")]);
    let keys: Vec<_> =
        read.rows.iter().flat_map(|row| read.skus_of(row)).map(|sku| sku.key.as_str()).collect();
    assert_eq!(keys, ["fennick.fm-1//eu-43/", "fennick.fm-1//eu-44/"]);
}

#[test]
fn a_stated_drop_off_the_stacks_is_a_finding_and_nothing_is_mended() {
    let read = reading(&[RANGE, &["Fennick", "FM-1", "Marl", "36", "26", "8", ""]]);
    assert_eq!(codes(&read), ["drop-disagrees"]);
    assert_eq!(value(&read.rows[0].style.cells, "drop"), Some(&Value::Int(80)));
    assert!(read.findings[0].say.contains("give 10 mm"));
}

#[test]
fn totals_and_sections_are_left_out_and_named() {
    let read = reading(&[
        RANGE,
        &["Road shoes"],
        &["Fennick", "FM-1", "Marl", "", "", "", ""],
        &["", "", "", "", "", "", ""],
    ]);
    assert_eq!((codes(&read), read.reading.data_rows), (vec!["row-left-out"], 1));
}

#[test]
fn a_row_without_a_maker_links_only_to_a_number_of_one_style() {
    let sheet = of_rows(&[&["Article no.", "Size", "Qty"], &["FM-1", "42", "1"], &["X-9", "42", "1"]]);
    let style = StyleKey::parse("fennick.fm-1").unwrap();
    let mut known = Known::default();
    known.makers.insert(style.maker(), "Fennick".to_owned());
    known.numbers.insert("fm-1".to_owned(), vec![style.clone()]);
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "Trade Post", None), &known);
    assert_eq!(read.rows[0].style.key, style);
    assert!(codes(&read).contains(&"maker-unknown"));
    assert_eq!(read.reading.held_rows, 1);
}

#[test]
fn a_shortened_style_number_holds_its_row_whether_or_not_a_maker_is_named() {
    let named = reading(&[RANGE, &["Fennick", "1E+11", "Marl", "32", "24", "8", ""]]);
    let alone = reading(&[&["Article no.", "Size EU", "Qty"], &["9,78E+12", "42", "1"]]);
    for read in [named, alone] {
        assert_eq!((codes(&read), read.reading.held_rows), (vec!["style-number-shortened"], 1));
    }
    let follows = reading(&[RANGE, &["Fennick", "FM-2", "Marl 2", "32", "24", "8", "1E+11"]]);
    assert_eq!((codes(&follows), follows.rows.len()), (vec!["replaces-shortened"], 1));
}

#[test]
fn the_supplier_is_the_maker_when_known_as_one() {
    let sheet = of_rows(&[&["Style number", "Name"], &["FM-1", "Marl"]]);
    let mut known = Known::default();
    known.makers.insert(MakerKey::of("Fennick").unwrap(), "Fennick".to_owned());
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "fennick", None), &known);
    assert_eq!(read.rows[0].style.key.as_str(), "fennick.fm-1");
    assert_eq!(value(&read.rows[0].style.cells, "maker"), Some(&Value::Text("Fennick".into())));
}

#[test]
fn what_a_style_replaces_is_kept_as_a_key() {
    let read = reading(&[RANGE, &["Fennick", "FM-2", "Marl 2", "", "", "", "FM-1"]]);
    assert_eq!(value(&read.rows[0].style.cells, "replaces"), Some(&Value::Text("fennick.fm-1".into())));
}

#[test]
fn a_size_without_its_system_is_kept_and_warned_of_and_inferred_only_where_the_numbers_leave_no_other() {
    let sized =
        |size: &'static str| reading(&[&["Brand", "Article no.", "Size"], &["Fennick", "FM-1", size]]);
    assert_eq!((codes(&sized("9")), sized("9").rows.len()), (vec!["size-system-unknown"], 1));
    assert_eq!(codes(&sized("42")), ["size-system-inferred"]);
    assert_eq!(value(&sized("42").sizes.cells, "size_system"), Some(&Value::Text("EU".into())));
}

#[test]
fn every_data_row_is_a_draft_held_or_repeated() {
    let read = reading(&[
        STOCK,
        &["Fennick", "FM-1", "", "EU", "42", "1"],
        &["Fennick", "", "", "EU", "42", "1"],
        &["Fennick", "FM-1", "", "EU", "43", "-1"],
    ]);
    assert_eq!(read.rows.len() + read.reading.held_rows + read.reading.repeated_rows, read.reading.data_rows);
    assert_eq!(codes(&read), ["row-without-key", "quantity-negative"]);
}

#[test]
fn a_row_moved_by_a_separator_inside_a_cell_is_held_whole() {
    for last in ["", "FM-0"] {
        let moved = reading(&[RANGE, &["Fennick", "FM-1", "Marl", " wide", "34", "24", "10", last]]);
        assert_eq!((codes(&moved), moved.reading.held_rows, moved.rows.len()), (vec!["row-too-wide"], 1, 0));
        assert_eq!(moved.findings[0].place.to_string(), "sheet.csv, row 2, column H");
    }
}

#[test]
fn blank_cells_at_the_end_of_every_row_move_nothing() {
    let row = |number| ["Fennick", number, "Marl", "34", "24", "10", "", ""];
    let read = reading(&[RANGE, &row("1"), &row("2"), &row("3")]);
    assert_eq!((codes(&read), read.rows.len()), (vec![], 3));
}

#[test]
fn pairs_without_a_size_hold_their_row() {
    let read = reading(&[STOCK, &["Fennick", "FM-1", "", "EU", "", "3"]]);
    assert_eq!((codes(&read), read.reading.held_rows), (vec!["size-missing"], 1));
}

#[test]
fn a_total_with_numbers_beside_it_is_left_out_and_named() {
    let read = reading(&[
        STOCK,
        &["Fennick", "FM-1", "", "EU", "42", "3"],
        &["Total", "", "", "", "", "3"],
        &["Total", "T-1", "", "EU", "42", "3"],
    ]);
    assert_eq!((codes(&read), read.reading.data_rows, read.rows.len()), (vec!["row-left-out"], 2, 2));
}

/// What a sheet says of the pairs: key and quantity.
fn pairs(read: &Drafts) -> Vec<(&str, &str)> {
    let skus = read.rows.iter().flat_map(|row| read.skus_of(row));
    skus.map(|sku| match value(read.sizes.cells_of(sku), "quantity") {
        Some(Value::Text(pairs)) => (sku.key.as_str(), &**pairs),
        _ => (sku.key.as_str(), "?"),
    })
    .collect()
}

const RUN: &[&str] = &["Maker", "Article no.", "Colour", "EU 42", "EU 42.5", "EU 43", "EU 44"];

#[test]
fn in_a_run_a_blank_and_a_dash_say_nothing_zero_is_none_and_x_is_in_stock() {
    let read = reading(&[
        RUN,
        &["Fennick", "FM-1", "Ochre", "", "-", "0", "x"],
        &["Fennick", "FM-1", "Slate", "3", "10+", "many", "1"],
    ]);
    let expected = [
        ("fennick.fm-1/ochre/eu-43/", "0"),
        ("fennick.fm-1/ochre/eu-44/", "x"),
        ("fennick.fm-1/slate/eu-42/", "3"),
        ("fennick.fm-1/slate/eu-42.5/", "10+"),
        ("fennick.fm-1/slate/eu-44/", "1"),
    ];
    assert_eq!(pairs(&read), expected);
    assert_eq!(codes(&read), ["not-a-number", "run-marks"]);
    assert_eq!((read.reading.data_rows, read.rows.len()), (2, 2));
    let marks = &read.findings[1].say;
    assert!(
        marks.contains("1 blank: says nothing; 1 \"-\": says nothing; 1 \"0\": none; 1 \"x\": in stock"),
        "{marks}"
    );
}

#[test]
fn the_owner_may_say_what_a_blank_in_a_run_means() {
    let sheet = of_rows(&[RUN, &["Fennick", "FM-1", "Ochre", "", "2", "", ""]]);
    let file = crate::mapping::MappingFile { run_blank: Some("none".to_owned()), ..Default::default() };
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "x", Some(&file)), &Known::default());
    assert_eq!(pairs(&read).iter().map(|(_, pairs)| *pairs).collect::<Vec<_>>(), ["0", "2", "0", "0"]);
}

/// A workbook of two tabs: the second counts pairs and names no maker.
fn two_tabs(stock: &[&[&str]]) -> Drafts {
    let mut sheet = of_rows(&[RANGE, &["Fennick", "FM-1", "Marl", "32", "24", "", ""]]);
    let mut tab = of_rows(stock).tabs.remove(0);
    (tab.label, tab.title) = ("sheet.xlsx, tab Stock".into(), Some("Stock".into()));
    sheet.tabs.insert(0, tab);
    read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "Trade Post", None), &Known::default())
}

#[test]
fn a_tab_of_stock_leans_on_the_styles_of_another_tab_wherever_it_stands() {
    let read = two_tabs(&[&["Article no.", "Colour", "Size EU", "Qty"], &["FM-1", "Ochre", "42", "2"]]);
    assert_eq!(pairs(&read), [("fennick.fm-1/ochre/eu-42/", "2")]);
    assert_eq!((read.reading.joined(Join::Number), codes(&read)), (2, vec![]));
    let place = read.reading.place(read.rows[1].at);
    assert_eq!(place.to_string(), "sheet.xlsx, tab Stock, row 2, column A");
}

#[test]
fn a_row_with_maker_and_name_joins_the_style_that_is_called_so() {
    let read = two_tabs(&[
        &["Maker", "Name", "Size EU", "Qty"],
        &["fennick", "MARL", "42", "2"],
        &["Fennick", "Other", "42", "1"],
    ]);
    assert_eq!(pairs(&read), [("fennick.fm-1//eu-42/", "2"), ("fennick.other//eu-42/", "1")]);
    assert_eq!(read.reading.joined(Join::Name), 2);
}

#[test]
fn a_gtin_alone_joins_the_size_that_has_it_and_an_unknown_one_is_held() {
    let mut known = Known::default();
    let style = StyleKey::parse("fennick.fm-1").unwrap();
    let sku = catalogue::key::SkuKey::parse("fennick.fm-1/ochre/eu-42/").unwrap();
    known.gtins.insert(6_291_041_500_213, (style, sku));
    let sheet = of_rows(&[&["EAN", "Qty"], &["6291041500213", "4"], &["7300011000017", "1"]]);
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "x", None), &known);
    assert_eq!(pairs(&read), [("fennick.fm-1/ochre/eu-42/", "4")]);
    assert_eq!(
        (read.reading.joined(Join::Gtin), codes(&read), read.reading.held_rows),
        (1, vec!["style-unknown"], 1)
    );
    let columns: Vec<_> =
        read.sizes.cells_of(&read.skus_of(&read.rows[0])[0]).iter().map(|cell| cell.column.key).collect();
    assert_eq!(columns, ["gtin", "quantity"], "what names the size is not said again");
}

#[test]
fn a_cell_merged_downwards_holds_for_all_its_rows() {
    let mut sheet = of_rows(&[RANGE, &["Fennick", "FM-1", "Marl", "32"], &["", "FM-2", "Moss", "30"]]);
    sheet.tabs[0].merged.push(crate::sheet::Merged { rows: (2, 3), columns: (0, 0) });
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "x", None), &Known::default());
    assert_eq!(
        read.rows.iter().map(|row| row.style.key.as_str()).collect::<Vec<_>>(),
        ["fennick.fm-1", "fennick.fm-2"]
    );
}

#[test]
fn a_number_of_a_workbook_has_a_point_whatever_the_column_writes_and_an_open_one_is_held() {
    let mut sheet =
        of_rows(&[&["Maker", "Name", "Price"], &["Fennick", "A", "139,90"], &["Fennick", "B", "99.5"]]);
    sheet.tabs[0].rows[2].numbers = vec![2];
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "x", None), &Known::default());
    let prices: Vec<_> = read.rows.iter().map(|row| value(&row.style.cells, "price").cloned()).collect();
    assert_eq!(prices, [Some(Value::Int(13_990)), Some(Value::Int(9_950))]);
    let open = reading(&[&["Maker", "Name", "Price"], &["Fennick", "A", "1.234"]]);
    assert_eq!(codes(&open), ["decimal-mark-ambiguous"]);
}

#[test]
fn a_bare_number_among_ounces_is_asked_not_taken_for_grams() {
    let read = reading(&[&["Maker", "Name", "Weight"], &["a", "b", "9.4 oz"], &["a", "c", "260"]]);
    assert_eq!(codes(&read), ["unit-open"]);
    assert_eq!(value(&read.rows[1].style.cells, "mass"), None);
}

#[test]
fn rows_that_say_the_same_of_their_style_share_it_and_a_bad_cell_counts_in_every_row() {
    let rows = |heel: &'static str| {
        reading(&[
            &["Maker", "Article no.", "Heel stack mm", "Size EU", "Qty"],
            &["Fennick", "FM-1", heel, "42", "1"],
            &["Fennick", "FM-1", heel, "43", "2"],
            &["Fennick", "FM-2", heel, "43", "2"],
        ])
    };
    let read = rows("32");
    assert!(Arc::ptr_eq(&read.rows[0].style, &read.rows[1].style));
    assert!(!Arc::ptr_eq(&read.rows[1].style, &read.rows[2].style));
    assert_eq!(pairs(&read)[1], ("fennick.fm-1//eu-43/", "2"));
    assert_eq!(codes(&rows("tall")), ["not-a-number"; 3]);
}

#[test]
fn an_audience_merged_downwards_names_all_its_rows() {
    let mut sheet = of_rows(&[
        &["Maker", "Name", "For", "Drop mm"],
        &["Fennick", "Marl", "women", "8"],
        &["Fennick", "Moss", "", "6"],
    ]);
    sheet.tabs[0].merged.push(crate::sheet::Merged { rows: (2, 3), columns: (2, 2) });
    let read = read_rows(&sheet.clone().into(), &guess_mapping(&sheet, "x", None), &Known::default());
    let keys: Vec<_> = read.rows.iter().map(|row| row.style.key.as_str()).collect();
    assert_eq!(keys, ["fennick.marl-women", "fennick.moss-women"]);
}
