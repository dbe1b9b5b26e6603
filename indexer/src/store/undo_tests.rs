//! What an undo promises when later changes rest on what it takes back.

use catalogue::key::StyleKey;
use catalogue::stock::Quantity;

use super::tests::{RANGE, STOCK, codes, filled, import, import_from, signed, store};
use super::*;
use crate::columns::HEEL_STACK;
use crate::draft::Value;
use crate::error::ApplyError;
use crate::proposal::Entity;

fn measured(tenths: i64) -> Correction {
    Correction {
        entity: Entity::Style,
        key: "fennick.f1".to_owned(),
        column: &HEEL_STACK,
        value: Some(Value::Int(tenths)),
        text: "measured in the shop".to_owned(),
    }
}

fn heel(store: &Store) -> Option<i32> {
    store.load().unwrap().styles[0].specification.heel_stack.map(|mm| mm.in_tenths())
}

fn heel_in_sheet(store: &mut Store, key: &str, heel: &str) -> ChangeId {
    import(store, key, &[RANGE, &["Fennick", "F1", "Marl", heel, "8", "139"]]).0
}

#[test]
fn the_sizes_of_an_undone_sheet_stay_whole_where_a_later_sheet_counted_them() {
    let mut store = filled();
    import(&mut store, "next week", &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "5"]]);
    let undone = store.undo(ChangeId(2), &signed("undo")).unwrap();
    let loaded = store.load().unwrap();
    let kept: Vec<_> = loaded.skus.iter().map(|sku| (sku.label.to_string(), sku.quantity)).collect();
    assert_eq!(kept, [("EU 42".to_owned(), Some(Quantity::Pairs(5)))]);
    let kept: Vec<_> = undone.kept.iter().map(ToString::to_string).collect();
    assert!(kept.contains(&"fennick.f1/ochre/eu-42/".to_owned()), "{kept:?}");
}

#[test]
fn a_style_whose_sizes_came_later_keeps_maker_number_and_name() {
    let mut store = filled();
    store.undo(ChangeId(1), &signed("undo")).unwrap();
    let loaded = store.load().unwrap();
    let styles: Vec<_> = loaded.styles.iter().map(|s| (s.maker.as_str(), s.name.as_str())).collect();
    assert_eq!(styles, [("Fennick", "Marl")]);
    assert_eq!(loaded.styles[0].specification, catalogue::style::Specification::default());
}

#[test]
fn two_changes_of_one_cell_undone_in_either_order_leave_what_was_there_before_both() {
    for order in [[0, 1], [1, 0]] {
        let mut store = filled();
        let before = store.export_ndjson().unwrap();
        let changes = [heel_in_sheet(&mut store, "a", "30"), heel_in_sheet(&mut store, "b", "28")];
        for at in order {
            store.undo(changes[at], &signed(&format!("undo {at}"))).unwrap();
        }
        assert_eq!(store.export_ndjson().unwrap(), before, "{order:?}");
    }
}

#[test]
fn an_undo_taken_back_leaves_the_catalogue_as_it_was_with_all_origins() {
    let mut store = filled();
    let change = heel_in_sheet(&mut store, "a", "30");
    import(&mut store, "more", &[RANGE, &["Fennick", "F9", "New", "20", "4", ""]]);
    let before = store.export_ndjson().unwrap();
    for change in [change, ChangeId(2), ChangeId(4)] {
        let key = format!("undo {}", change.0);
        let undo = store.undo(change, &signed(&key)).unwrap().change;
        assert_ne!(store.export_ndjson().unwrap(), before);
        store.undo(undo, &signed(&format!("redo {}", change.0))).unwrap();
        assert_eq!(store.export_ndjson().unwrap(), before);
    }
}

#[test]
fn undoing_the_second_correction_leaves_the_first_in_force_against_sheets() {
    let mut store = filled();
    store.correct(&measured(315), &signed("first")).unwrap();
    let second = store.correct(&measured(318), &signed("second")).unwrap();
    let undo = store.undo(second, &signed("undo")).unwrap().change;
    let (_, proposal) = import(&mut store, "sheet", &[RANGE, &["Fennick", "F1", "Marl", "33", "8", "139"]]);
    assert_eq!((codes(&proposal), heel(&store)), (vec!["hand-wins"], Some(315)));
    store.undo(undo, &signed("redo")).unwrap();
    import(&mut store, "again", &[RANGE, &["Fennick", "F1", "Marl", "33", "8", "139"]]);
    assert_eq!(heel(&store), Some(318));
}

#[test]
fn the_age_of_the_stock_is_that_of_the_last_sheet_in_force() {
    let mut store = filled();
    let told = store.load().unwrap().stock_told;
    let later = Signed { at: 9_000, ..signed("later") };
    let sheet = crate::sheet::of_rows(&[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "5"]]);
    let mapping = crate::mapping::guess_mapping(&sheet, "Trade Post", None);
    let drafts = crate::reading::read_rows(&sheet.clone().into(), &mapping, &store.known().unwrap());
    let proposal = store.propose(&drafts).unwrap();
    let change = store.apply(&proposal, &drafts.reading, &mapping, b"later", &later).unwrap();
    assert_eq!(store.load().unwrap().stock_told, Some(9_000));
    store.undo(change, &Signed { at: 9_999, ..signed("undo") }).unwrap();
    assert_eq!(store.load().unwrap().stock_told, told);
}

#[test]
fn a_correction_of_what_is_not_there_or_of_a_part_of_a_key_is_refused() {
    let mut store = filled();
    let nowhere = Correction { key: "fennick.f77".to_owned(), ..measured(315) };
    assert!(matches!(store.correct(&nowhere, &signed("a")), Err(ApplyError::NoSuchRow(_))));
    let maker = Correction { column: &crate::columns::MAKER, ..measured(315) };
    assert!(matches!(store.correct(&maker, &signed("b")), Err(ApplyError::PartOfKey(_))));
    assert_eq!(store.seq().unwrap(), Seq(2));
}

#[test]
fn another_printing_of_a_key_is_no_change_and_no_finding() {
    let mut store = filled();
    let rows: &[&[&str]] = &[STOCK, &["FENNICK", "f1", "OCHRE", "EU", "42,0", "3"]];
    for supplier in ["Trade Post", "Other House"] {
        let (_, proposal) = import_from(&mut store, supplier, supplier, rows);
        assert_eq!((codes(&proposal), proposal.changes.len()), (vec![], 0), "{supplier}");
    }
    let style = StyleKey::parse("fennick.f1").unwrap();
    assert_eq!(store.load().unwrap().styles[0].key, style);
    assert_eq!(store.load().unwrap().styles[0].maker.as_str(), "Fennick");
}

#[test]
fn pairs_counted_by_hand_give_way_to_the_next_stock_sheet() {
    let mut store = filled();
    let counted = Correction {
        entity: Entity::Sku,
        key: "fennick.f1/ochre/eu-42/".to_owned(),
        column: &crate::columns::QUANTITY,
        value: Some(Value::Text("1".into())),
        text: "counted".to_owned(),
    };
    store.correct(&counted, &signed("count")).unwrap();
    let (_, sheet) = import(&mut store, "s", &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "4"]]);
    assert_eq!((codes(&sheet), sheet.counts.changed), (vec![], 1));
}

#[test]
fn the_exported_sheet_carries_every_column_that_is_kept() {
    let mut store = store();
    let headings: &[&str] =
        &["Maker", "Style number", "Name", "Replaces", "Compression N/mm", "Compression method"];
    import(&mut store, "a", &[headings, &["Fennick", "F2", "Loam", "F 1", "61.3", "drop tower"]]);
    let csv = store.export_csv().unwrap();
    let rows: Vec<Vec<&str>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let mut again = super::tests::store();
    import(&mut again, "again", &rows);
    assert_eq!(again.load().unwrap().styles, store.load().unwrap().styles);
}

#[test]
fn an_undo_that_left_a_cell_to_a_later_change_gives_it_back_when_both_are_taken_back() {
    let mut store = filled();
    for (key, heel) in [("first", "30"), ("second", "31"), ("third", "30")] {
        heel_in_sheet(&mut store, key, heel);
    }
    let undo_of_31 = store.undo(ChangeId(4), &signed("a")).unwrap().change;
    store.undo(ChangeId(5), &signed("b")).unwrap();
    store.undo(undo_of_31, &signed("c")).unwrap();
    assert_eq!(heel(&store), Some(310), "the second sheet is in force again, the third is not");
}
