//! What the store promises.

use catalogue::key::StyleKey;
use catalogue::stock::Quantity;

use super::*;
use crate::columns::{Column, HEEL_STACK};
use crate::draft::Value;
use crate::error::ApplyError;
use crate::finding::Code;
use crate::mapping::{Mapping, guess_mapping};
use crate::proposal::Entity;
use crate::reading::read_rows;
use crate::sheet::of_rows;

pub(super) const RANGE: &[&str] =
    &["Maker", "Style number", "Style name", "Heel stack mm", "Drop mm", "Price EUR"];
pub(super) const STOCK: &[&str] = &["Brand", "Article no.", "Colour", "Size system", "Size", "Qty"];

pub(super) fn store() -> Store {
    Store::in_memory().unwrap()
}

pub(super) fn signed(key: &str) -> Signed {
    Signed { actor: "test".to_owned(), at: 1_000, key: key.to_owned() }
}

fn reading(store: &Store, supplier: &str, rows: &[&[&str]]) -> Drafts {
    mapped(store, supplier, rows).1
}

fn mapped(store: &Store, supplier: &str, rows: &[&[&str]]) -> (Mapping, Drafts) {
    let sheet = of_rows(rows);
    let mapping = guess_mapping(&sheet, supplier, None);
    let drafts = read_rows(&sheet.clone().into(), &mapping, &store.known().unwrap());
    (mapping, drafts)
}

/// Applies a reading of which only the rows matter.
fn apply(store: &mut Store, proposal: &Proposal, drafts: &Drafts, key: &str) -> Result<ChangeId, ApplyError> {
    let mapping = guess_mapping(&drafts.reading.source, &drafts.reading.supplier, None);
    store.apply(proposal, &drafts.reading, &mapping, key.as_bytes(), &signed(key))
}

pub(super) fn import(store: &mut Store, key: &str, rows: &[&[&str]]) -> (ChangeId, Proposal) {
    import_from(store, "Trade Post", key, rows)
}

pub(super) fn import_from(
    store: &mut Store,
    supplier: &str,
    key: &str,
    rows: &[&[&str]],
) -> (ChangeId, Proposal) {
    let drafts = reading(store, supplier, rows);
    let proposal = store.propose(&drafts).unwrap();
    let change = apply(store, &proposal, &drafts, key).unwrap();
    (change, proposal)
}

pub(super) fn filled() -> Store {
    let mut store = store();
    import(
        &mut store,
        "range",
        &[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"], &["Fennick", "F2", "Loam", "", "", ""]],
    );
    import(
        &mut store,
        "stock",
        &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "3"], &["Fennick", "F1", "Ochre", "EU", "43", "x"]],
    );
    store
}

pub(super) fn codes(proposal: &Proposal) -> Vec<&'static str> {
    proposal.findings.iter().map(|finding| finding.code.word()).collect()
}

#[test]
fn what_was_imported_is_loaded_sorted_and_unknown_stays_unknown() {
    let loaded = filled().load().unwrap();
    let keys: Vec<_> = loaded.styles.iter().map(|s| s.key.as_str()).collect();
    assert_eq!(keys, ["fennick.f1", "fennick.f2"]);
    assert_eq!(loaded.styles[1].specification, catalogue::style::Specification::default());
    let quantities: Vec<_> = loaded.skus.iter().map(|sku| sku.quantity).collect();
    assert_eq!(quantities, [Some(Quantity::Pairs(3)), Some(Quantity::Some)]);
    assert_eq!(loaded.skus[0].price.map(|p| p.0), Some(13_900), "the style's price holds for each size");
    assert_eq!((loaded.seq, loaded.stock_told), (Seq(2), Some(1_000)));
}

#[test]
fn rows_are_counted_new_changed_and_unchanged() {
    let mut store = filled();
    let rows: &[&[&str]] = &[
        RANGE,
        &["Fennick", "F1", "Marl", "33", "8", "139"],
        &["Fennick", "F2", "Loam", "", "", ""],
        &["Fennick", "F3", "Tor", "", "", ""],
    ];
    let (_, proposal) = import(&mut store, "again", rows);
    let counts = proposal.counts;
    assert_eq!((counts.new, counts.changed, counts.unchanged, counts.held), (1, 1, 1, 0));
    assert_eq!(counts.new + counts.changed + counts.unchanged + counts.held, counts.data_rows);
}

#[test]
fn an_undo_leaves_the_catalogue_as_it_was_byte_for_byte() {
    let mut store = filled();
    let before = store.export_ndjson().unwrap();
    let rows: &[&[&str]] =
        &[RANGE, &["Fennick", "F1", "Marl 2", "30", "", "149"], &["Fennick", "F9", "New", "20", "4", ""]];
    let (change, _) = import(&mut store, "more", rows);
    assert_ne!(store.export_ndjson().unwrap(), before);
    let undone = store.undo(change, &signed("undo")).unwrap();
    assert_eq!((undone.kept, store.export_ndjson().unwrap()), (vec![], before));
}

#[test]
fn an_undo_can_be_taken_back() {
    let mut store = filled();
    let (change, _) = import(&mut store, "more", &[RANGE, &["Fennick", "F9", "New", "20", "4", ""]]);
    let after = store.export_ndjson().unwrap();
    let undo = store.undo(change, &signed("undo")).unwrap().change;
    store.undo(undo, &signed("redo")).unwrap();
    let told = |text: &str| text.replace(",\"origins\":{}", "");
    assert_eq!(store.load().unwrap().styles.len(), 3);
    assert!(told(&after).contains("fennick.f9"));
    assert!(matches!(store.undo(undo, &signed("again")), Err(ApplyError::AlreadyUndone(_))));
}

#[test]
fn a_cell_changed_later_is_kept_and_named() {
    let mut store = filled();
    let (change, _) = import(&mut store, "a", &[RANGE, &["Fennick", "F1", "Marl", "30", "6", "139"]]);
    import(&mut store, "b", &[RANGE, &["Fennick", "F1", "Marl", "28", "6", "139"]]);
    let undone = store.undo(change, &signed("undo")).unwrap();
    assert_eq!(
        undone.kept.iter().map(ToString::to_string).collect::<Vec<_>>(),
        ["heel stack of fennick.f1, later value from change 4"]
    );
    let style = store.load().unwrap().styles[0].specification.clone();
    assert_eq!((style.heel_stack.unwrap().in_tenths(), style.drop_stated.unwrap().in_tenths()), (280, 80));
}

#[test]
fn applying_is_all_or_nothing() {
    let mut store = filled();
    let before = store.export_ndjson().unwrap();
    store.connection.execute_batch("CREATE TRIGGER broken BEFORE INSERT ON sku WHEN NEW.size = '44' BEGIN SELECT RAISE(ABORT, 'broken'); END").unwrap();
    let drafts = reading(
        &store,
        "Trade Post",
        &[STOCK, &["Fennick", "F1", "", "EU", "41", "1"], &["Fennick", "F1", "", "EU", "44", "1"]],
    );
    let proposal = store.propose(&drafts).unwrap();
    assert!(apply(&mut store, &proposal, &drafts, "x").is_err());
    assert_eq!((store.export_ndjson().unwrap(), store.seq().unwrap()), (before, Seq(2)));
}

#[test]
fn a_proposal_that_would_now_be_another_is_a_conflict_and_one_that_would_not_still_stands() {
    let mut store = filled();
    let first = reading(&store, "Trade Post", &[RANGE, &["Fennick", "F1", "Marl", "30", "8", "139"]]);
    let proposal = store.propose(&first).unwrap();
    import(&mut store, "elsewhere", &[RANGE, &["Fennick", "F2", "Loam", "20", "", ""]]);
    apply(&mut store, &proposal, &first, "x").unwrap();
    let second = reading(&store, "Trade Post", &[RANGE, &["Fennick", "F1", "Marl", "29", "8", "139"]]);
    let proposal = store.propose(&second).unwrap();
    import(&mut store, "here", &[RANGE, &["Fennick", "F1", "Marl", "28", "8", "139"]]);
    assert!(matches!(apply(&mut store, &proposal, &second, "y"), Err(ApplyError::Conflict { .. })));
}

#[test]
fn the_same_key_again_is_the_same_change() {
    let mut store = store();
    let drafts = reading(&store, "Trade Post", &[RANGE, &["Fennick", "F1", "Marl", "32", "8", ""]]);
    let proposal = store.propose(&drafts).unwrap();
    let first = apply(&mut store, &proposal, &drafts, "same").unwrap();
    assert_eq!(apply(&mut store, &proposal, &drafts, "same").unwrap(), first);
    assert_eq!(store.history(9).unwrap().len(), 1);
}

#[test]
fn a_value_said_by_hand_stays_and_the_sheet_is_a_finding() {
    let mut store = filled();
    let correction = Correction {
        entity: Entity::Style,
        key: "fennick.f1".to_owned(),
        column: &HEEL_STACK,
        value: Some(Value::Int(315)),
        text: "measured in the shop".to_owned(),
    };
    let by_hand = store.correct(&correction, &signed("hand")).unwrap();
    let rows: &[&[&str]] = &[RANGE, &["Fennick", "F1", "Marl", "33", "8", "139"]];
    let (_, proposal) = import(&mut store, "sheet", rows);
    assert_eq!(codes(&proposal), ["hand-wins"]);
    assert_eq!(store.load().unwrap().styles[0].specification.heel_stack.unwrap().in_tenths(), 315);
    store.undo(by_hand, &signed("undo")).unwrap();
    assert_eq!(codes(&import(&mut store, "sheet again", rows).1), [""; 0]);
}

#[test]
fn another_supplier_moves_stock_but_not_the_values_of_a_style_it_does_not_own() {
    let mut store = filled();
    let (_, range) =
        import_from(&mut store, "Other House", "r", &[RANGE, &["Fennick", "F1", "Marl", "30", "8", "139"]]);
    assert_eq!(codes(&range), ["owner-wins"]);
    let (_, stock) =
        import_from(&mut store, "Other House", "s", &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "5"]]);
    assert_eq!((codes(&stock), stock.counts.changed), (vec![], 1));
}

#[test]
fn a_size_of_a_style_nobody_knows_and_nobody_names_is_held() {
    let store = store();
    let drafts = reading(&store, "Trade Post", &[STOCK, &["Fennick", "F7", "", "EU", "42", "1"]]);
    let proposal = store.propose(&drafts).unwrap();
    assert_eq!(
        (codes(&proposal), proposal.counts.held, proposal.changes.len()),
        (vec!["style-unknown"], 1, 0)
    );
}

#[test]
fn rows_of_one_style_are_taken_once_and_what_differs_is_held() {
    let store = store();
    let rows: &[&[&str]] =
        &[RANGE, &["Fennick", "F1", "Marl", "32", "8", ""], &["Fennick", "F1", "Marl", "33", "8", ""]];
    let proposal = store.propose(&reading(&store, "Trade Post", rows)).unwrap();
    assert_eq!((codes(&proposal), proposal.counts.held_cells), (vec!["cells-differ", "cells-differ"], 2));
    assert!(proposal.changes[0].cells.iter().all(|cell| cell.column.key != "heel_stack"), "neither is taken");
    assert_eq!((proposal.counts.new, proposal.counts.unchanged), (1, 1));
}

#[test]
fn how_headings_were_read_is_remembered_with_the_change() {
    let mut store = store();
    let (mapping, drafts) = mapped(&store, "Trade Post", &[RANGE, &["Fennick", "F1", "Marl", "", "", ""]]);
    let proposal = store.propose(&drafts).unwrap();
    store.apply(&proposal, &drafts.reading, &mapping, b"x", &signed("x")).unwrap();
    let remembered = store.remembered("Trade Post", &mapping.fingerprint()).unwrap();
    assert_eq!(remembered, Some(mapping.to_file()));
}

#[test]
fn the_ledger_is_only_appended_to() {
    let store = filled();
    assert!(store.connection.execute("UPDATE cell_change SET text = 'x'", []).is_err());
    assert!(store.connection.execute("DELETE FROM cell_change", []).is_err());
}

#[test]
fn every_value_has_an_origin_one_step_away() {
    let store = filled();
    let origins = store.origins(&StyleKey::parse("fennick.f1").unwrap()).unwrap();
    let heel = origins.iter().find(|o| o.column == "heel_stack").unwrap();
    assert_eq!((heel.sheet.as_deref(), heel.row, heel.sheet_column), (Some("sheet.csv"), Some(2), Some(3)));
    assert_eq!((heel.text.as_str(), heel.by_hand), ("32", false));
}

#[test]
fn a_reopened_store_is_the_one_that_was_closed() {
    let folder = tempfile::tempdir().unwrap();
    let data = DataDir::new(folder.path().join("data"));
    let mut store = Store::open(&data).unwrap();
    import(&mut store, "range", &[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"]]);
    let before = store.export_ndjson().unwrap();
    drop(store);
    assert_eq!(Store::open(&data).unwrap().export_ndjson().unwrap(), before);
}

#[test]
fn a_second_process_does_not_get_the_lock() {
    let folder = tempfile::tempdir().unwrap();
    let data = DataDir::new(folder.path());
    let held = data.lock().unwrap();
    assert!(matches!(data.lock(), Err(crate::error::LockError::Busy(..))));
    drop(held);
    assert!(data.lock().is_ok());
}

#[test]
fn a_full_sheet_counts_what_it_does_not_list() {
    let store = filled();
    let sheet = of_rows(&[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"]]);
    let file = crate::mapping::MappingFile { kind: SheetKind::Full, ..Default::default() };
    let mapping = guess_mapping(&sheet, "Trade Post", Some(&file));
    let drafts = read_rows(&sheet.clone().into(), &mapping, &store.known().unwrap());
    let proposal = store.propose(&drafts).unwrap();
    assert_eq!((proposal.counts.missing, proposal.missing.styles), (1, vec!["fennick.f2".to_owned()]));
}

#[test]
fn the_exported_sheet_gives_the_same_catalogue_again() {
    let csv = filled().export_csv().unwrap();
    let rows: Vec<Vec<&str>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let mut again = store();
    let (_, proposal) = import(&mut again, "again", &rows);
    assert_eq!(codes(&proposal), [""; 0]);
    assert_eq!(again.export_csv().unwrap(), csv);
}

#[test]
fn one_trade_item_number_on_two_sizes_is_held() {
    let mut store = filled();
    let headings: &[&str] = &["Brand", "Article no.", "Size system", "Size", "EAN"];
    let rows: &[&[&str]] = &[
        headings,
        &["Fennick", "F1", "EU", "42", "6291041500213"],
        &["Fennick", "F1", "EU", "43", "6291041500213"],
    ];
    let (_, proposal) = import(&mut store, "gtin", rows);
    assert!(proposal.findings.iter().any(|f| f.code == Code::GtinTwice));
}

#[test]
fn every_column_that_is_kept_stands_in_its_table() {
    let store = store();
    for entity in [Entity::Style, Entity::Sku] {
        let mut named = store
            .connection
            .prepare(&format!("SELECT name FROM pragma_table_info('{}')", entity.word()))
            .unwrap();
        let named: Vec<String> = named.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        let missing: Vec<&Column> =
            entity.columns().iter().copied().filter(|c| !named.contains(&c.key.to_owned())).collect();
        assert_eq!(missing, [] as [&Column; 0]);
    }
}
