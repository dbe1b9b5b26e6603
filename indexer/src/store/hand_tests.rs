//! What a person says against a sheet, what a sheet leaves out, and sheets that change nothing.

use super::tests::{RANGE, STOCK, codes, filled, import, import_from, signed};
use super::*;
use crate::columns::{Column, DROP, HEEL_STACK};
use crate::draft::Value;
use crate::error::ApplyError;
use crate::mapping::guess_mapping;
use crate::proposal::{Entity, Missing};
use crate::reading::read_rows;
use crate::sheet::of_rows;
use crate::shop::Progress;

const F1: &str = "fennick.f1";

fn said(column: &'static Column, value: Option<i64>) -> Correction {
    Correction {
        entity: Entity::Style,
        key: F1.to_owned(),
        column,
        value: value.map(Value::Int),
        text: "measured in the shop".to_owned(),
    }
}

fn style_key() -> catalogue::key::StyleKey {
    catalogue::key::StyleKey::parse(F1).unwrap()
}

fn heel(store: &Store) -> Option<i32> {
    store.load().unwrap().styles[0].specification.heel_stack.map(|mm| mm.in_tenths())
}

fn heel_in_sheet(store: &mut Store, key: &str, heel: &str) -> ChangeId {
    import(store, key, &[RANGE, &["Fennick", "F1", "Marl", heel, "8", "139"]]).0
}

/// Applies a full sheet of the trade post.
fn full(store: &mut Store, rows: &[&[&str]], missing: Missing, by: &Signed) -> Result<ChangeId, ApplyError> {
    let sheet = of_rows(rows);
    let file = crate::mapping::MappingFile { kind: SheetKind::Full, ..Default::default() };
    let mapping = guess_mapping(&sheet, "Trade Post", Some(&file));
    let drafts = read_rows(&sheet.clone().into(), &mapping, &store.known().unwrap());
    let proposal = store.propose(&drafts).unwrap();
    let import = Import {
        proposal: &proposal,
        reading: &drafts.reading,
        mapping: &mapping,
        bytes: b"full",
        missing,
        progress: &Progress::default(),
    };
    store.import(&import, by)
}

#[test]
fn corrections_of_one_form_are_one_change_and_the_same_key_again_is_the_same_change() {
    let mut store = filled();
    let cells = [said(&HEEL_STACK, Some(315)), said(&DROP, None)];
    let said = Corrections { kind: "correction", cells: &cells, seen: Some(Seq(2)) };
    let change = store.correct_all(&said, &signed("form")).unwrap();
    assert_eq!(store.correct_all(&said, &signed("form")).unwrap(), change);
    let lines = store.lines_of(change, 0, 9).unwrap();
    assert_eq!((store.seq().unwrap(), lines.len()), (Seq(3), 2));
    assert!(lines.iter().all(|line| line.by_hand && line.text == "measured in the shop"));
    assert_eq!(store.load().unwrap().styles[0].specification.drop_stated, None, "not known, said by hand");
}

#[test]
fn a_shoe_changed_since_it_was_looked_at_refuses_the_form_and_another_shoe_does_not_matter() {
    let mut store = filled();
    let cells = [said(&HEEL_STACK, Some(315))];
    let form = Corrections { kind: "correction", cells: &cells, seen: Some(Seq(2)) };
    import(&mut store, "other shoe", &[RANGE, &["Fennick", "F2", "Loam", "20", "", ""]]);
    store.correct_all(&form, &signed("a")).unwrap();
    let late = store.correct_all(&form, &signed("b"));
    assert!(matches!(late, Err(ApplyError::ChangedSince { seen: Seq(2), now: Seq(4), .. })), "{late:?}");
    assert_eq!(store.seq().unwrap(), Seq(4));
}

#[test]
fn of_corrections_one_that_cannot_be_leaves_none_of_them() {
    let mut store = filled();
    let cells = [said(&HEEL_STACK, Some(315)), said(&crate::columns::MAKER, None)];
    let form = Corrections { kind: "correction", cells: &cells, seen: None };
    assert!(matches!(store.correct_all(&form, &signed("a")), Err(ApplyError::PartOfKey(_))));
    assert_eq!((heel(&store), store.seq().unwrap()), (Some(320), Seq(2)));
}

#[test]
fn a_sheet_that_disagrees_with_a_hand_is_remembered_and_one_press_takes_its_value() {
    let mut store = filled();
    store.correct(&said(&HEEL_STACK, Some(315)), &signed("hand")).unwrap();
    let word = |store: &Store| store.set_by_hand(&style_key()).unwrap()[0].1.clone().unwrap();
    assert!(!word(&store).disagrees, "the sheet came before the hand");
    let sheet = heel_in_sheet(&mut store, "sheet", "33");
    let newest = word(&store);
    assert_eq!((newest.value, newest.change, newest.disagrees), (Some(Value::Int(330)), sheet, true));
    assert_eq!(newest.read.unwrap().sheet, "sheet.csv");
    let taken = store.take_from_sheet((Entity::Style, F1, &HEEL_STACK), None, &signed("take")).unwrap();
    assert_eq!((heel(&store), store.set_by_hand(&style_key()).unwrap().len()), (Some(330), 0));
    let line = store.lines_of(taken, 0, 9).unwrap().remove(0);
    let read = line.read.unwrap();
    assert_eq!((read.supplier.as_str(), read.row, read.column), ("Trade Post", Some(2), Some(3)));
    assert!(store.export_ndjson().unwrap().contains("\"heel_stack\":\"sheet.csv, row 2, column D\""));
    heel_in_sheet(&mut store, "next", "34");
    assert_eq!(heel(&store), Some(340), "sheets change it again");
}

#[test]
fn a_sheet_that_came_to_agree_is_the_newest_word_and_a_taken_back_one_is_none() {
    let mut store = filled();
    store.correct(&said(&HEEL_STACK, Some(315)), &signed("hand")).unwrap();
    heel_in_sheet(&mut store, "33", "33");
    let agrees = heel_in_sheet(&mut store, "agrees", "31.5");
    let word = |store: &Store| store.set_by_hand(&style_key()).unwrap()[0].1.clone().unwrap();
    assert_eq!((word(&store).change, word(&store).disagrees), (agrees, false));
    store.undo(agrees, &signed("undo")).unwrap();
    assert_eq!((word(&store).value, word(&store).disagrees), (Some(Value::Int(330)), true));
}

#[test]
fn what_no_hand_has_set_cannot_be_given_back_to_the_sheets() {
    let mut store = filled();
    let taken = store.take_from_sheet((Entity::Style, F1, &HEEL_STACK), None, &signed("take"));
    assert!(matches!(taken, Err(ApplyError::NotByHand { .. })));
}

#[test]
fn what_a_full_sheet_leaves_out_is_kept_marked_out_of_stock_or_retired_as_chosen() {
    let stock: &[&[&str]] = &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "3"]];
    let pairs = |store: &Store| {
        let skus = store.load().unwrap().skus;
        skus.iter().map(|sku| sku.quantity.map(|q| q.counted())).collect::<Vec<_>>()
    };
    for (missing, expected) in [
        (Missing::Keep, (vec![Some(3), Some(1)], false)),
        (Missing::OutOfStock, (vec![Some(3), Some(0)], false)),
        (Missing::Retire, (vec![Some(3), Some(1)], true)),
    ] {
        let mut store = filled();
        let before = store.export_ndjson().unwrap();
        let change = full(&mut store, stock, missing, &signed("full")).unwrap();
        let retired = store.load().unwrap().styles[1].retired;
        assert_eq!((pairs(&store), retired), expected, "{}", missing.word());
        let recorded = store.recorded(change).unwrap().unwrap();
        assert_eq!(recorded.missing, Some(missing));
        assert!(recorded.to_string().contains(&format!("2 missing ({})", missing.word())));
        store.undo(change, &signed("undo")).unwrap();
        assert_eq!(store.export_ndjson().unwrap(), before, "{}", missing.word());
    }
}

#[test]
fn a_status_set_by_hand_is_not_retired_by_a_sheet_that_leaves_the_shoe_out() {
    let mut store = filled();
    let stays = Correction {
        key: "fennick.f2".to_owned(),
        column: &crate::columns::STATUS,
        value: Some(Value::Text("in range".into())),
        ..said(&HEEL_STACK, None)
    };
    store.correct(&stays, &signed("hand")).unwrap();
    let rows: &[&[&str]] = &[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"]];
    full(&mut store, rows, Missing::Retire, &signed("full")).unwrap();
    assert!(!store.load().unwrap().styles[1].retired);
}

#[test]
fn a_shoe_retired_for_not_being_listed_is_back_in_the_range_once_a_sheet_lists_it() {
    let mut store = filled();
    let only_f1: &[&[&str]] = &[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"]];
    full(&mut store, only_f1, Missing::Retire, &signed("full")).unwrap();
    let retired = |store: &Store| store.load().unwrap().styles[1].retired;
    assert!(retired(&store));
    let both: &[&[&str]] = &[only_f1[0], only_f1[1], &["Fennick", "F2", "Loam", "", "", ""]];
    let (elsewhere, other) = import_from(&mut store, "Other House", "other", both);
    assert!(retired(&store) && other.changes.is_empty(), "another supplier's list says nothing of it");
    let (change, proposal) = import(&mut store, "listed", both);
    let cell = &proposal.changes[0].cells[0];
    assert_eq!((cell.column.key, proposal.counts.changed, proposal.counts.unchanged), ("status", 1, 1));
    assert_eq!(cell.before, Some(Value::Text("retired".into())));
    assert!(!retired(&store));
    store.undo(change, &signed("undo")).unwrap();
    assert!(retired(&store) && elsewhere < change);
}

#[test]
fn a_shoe_retired_by_hand_or_by_a_word_of_its_sheet_stays_so_when_a_sheet_lists_it() {
    let headings: &[&str] = &["Maker", "Style number", "Style name", "Status"];
    let listed: &[&[&str]] = &[headings, &["Fennick", "F2", "Loam", ""]];
    let mut store = filled();
    import(&mut store, "said", &[headings, &["Fennick", "F2", "Loam", "discontinued"]]);
    assert!(import(&mut store, "listed", listed).1.changes.is_empty());
    let only_f1: &[&[&str]] = &[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"]];
    let mut store = filled();
    full(&mut store, only_f1, Missing::Retire, &signed("full")).unwrap();
    let status = Column::find("status").unwrap();
    let (key, value) = ("fennick.f2".to_owned(), Some(Value::Text("retired".into())));
    let by_hand = Correction { key, column: status, value, ..said(&DROP, None) };
    store.correct(&by_hand, &signed("hand")).unwrap();
    assert!(import(&mut store, "listed", listed).1.changes.is_empty());
    assert!(store.load().unwrap().styles[1].retired);
}

#[test]
fn nothing_is_marked_missing_while_rows_are_held_that_may_list_it() {
    let mut store = filled();
    let rows: &[&[&str]] = &[
        STOCK,
        &["Fennick", "F1", "Ochre", "EU", "42", "3"],
        &["Fennick", "F1", "Ochre", "EU", "10. May", "1"],
    ];
    let refused = full(&mut store, rows, Missing::OutOfStock, &signed("full"));
    assert!(matches!(refused, Err(ApplyError::MissingUnsure { held: 1 })), "{refused:?}");
    full(&mut store, rows, Missing::Keep, &signed("full")).unwrap();
}

#[test]
fn what_a_sheet_leaves_out_is_part_of_what_was_agreed_to() {
    let store = filled();
    let digest = |rows: &[&[&str]], kind| {
        let sheet = of_rows(rows);
        let file = crate::mapping::MappingFile { kind, ..Default::default() };
        let mapping = guess_mapping(&sheet, "Trade Post", Some(&file));
        let drafts = read_rows(&sheet.clone().into(), &mapping, &store.known().unwrap());
        store.propose(&drafts).unwrap().digest
    };
    let rows: &[&[&str]] = &[RANGE, &["Fennick", "F1", "Marl", "32", "8", "139"]];
    assert_ne!(digest(rows, SheetKind::Full), digest(rows, SheetKind::Partial));
}

#[test]
fn a_stock_sheet_that_changes_nothing_renews_the_age_of_the_stock_figures() {
    let mut store = filled();
    let rows: &[&[&str]] = &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", "3"]];
    let later = Signed { at: 9_000, ..signed("later") };
    let change = full(&mut store, rows, Missing::Keep, &later).unwrap();
    assert_eq!((store.count_lines(change).unwrap(), store.load().unwrap().stock_told), (0, Some(9_000)));
    store.undo(change, &signed("undo")).unwrap();
    assert_eq!(store.load().unwrap().stock_told, Some(1_000));
}

#[test]
fn the_same_bytes_again_are_known_with_their_day_as_long_as_their_change_is_in_force() {
    let mut store = filled();
    assert_eq!(store.seen(b"range").unwrap(), Some((ChangeId(1), "1970-01-01".to_owned())));
    assert_eq!(store.seen(b"never").unwrap(), None);
    store.undo(ChangeId(1), &signed("undo")).unwrap();
    assert_eq!(store.seen(b"range").unwrap(), None);
}

#[test]
fn what_an_undo_would_do_is_told_before_stored_after_and_the_same() {
    let mut store = filled();
    let first = heel_in_sheet(&mut store, "a", "30");
    import(&mut store, "b", &[RANGE, &["Fennick", "F1", "Marl", "30", "6", "149"]]);
    let third = heel_in_sheet(&mut store, "c", "28");
    let before = store.export_ndjson().unwrap();
    let would = store.would_undo(first, 9).unwrap();
    assert_eq!((store.export_ndjson().unwrap(), store.seq().unwrap()), (before, Seq(5)), "nothing is stored");
    let kept = would.kept.iter().map(|kept| (kept.column.as_str(), kept.later)).collect::<Vec<_>>();
    assert_eq!((would.back, kept), (0, vec![("heel_stack", Some(third))]));
    let undone = store.undo(first, &signed("undo")).unwrap();
    assert_eq!((undone.back, &undone.kept), (would.back, &would.kept));
    assert_eq!(store.kept_by(undone.change).unwrap(), would.kept);
    let again = store.undo(first, &signed("undo")).unwrap();
    assert_eq!(again, undone, "a second press is told the same");
}

#[test]
fn every_value_that_stood_is_in_the_ledger_of_a_shoe_newest_first() {
    let mut store = filled();
    heel_in_sheet(&mut store, "a", "30");
    let hand = store.correct(&said(&HEEL_STACK, Some(315)), &signed("hand")).unwrap();
    store.undo(hand, &signed("undo")).unwrap();
    let lines = store.ledger_of(&style_key()).unwrap();
    let heels = lines.iter().filter(|line| line.column == "heel_stack");
    let told: Vec<_> = heels.map(|line| (line.change.0, line.after.clone(), line.in_force)).collect();
    let int = |tenths| Some(Value::Int(tenths));
    assert_eq!(told, [(5, int(300), true), (4, int(315), false), (3, int(300), true), (1, int(320), true)]);
    assert!(lines.iter().any(|line| line.entity == Entity::Sku && line.column == "quantity"));
}

#[test]
fn beside_a_hand_and_what_was_kept_are_only_appended_to() {
    let mut store = filled();
    store.correct(&said(&HEEL_STACK, Some(315)), &signed("hand")).unwrap();
    let sheet = heel_in_sheet(&mut store, "33", "33");
    assert_eq!(
        codes(&import(&mut store, "again", &[RANGE, &["Fennick", "F1", "Marl", "33", "8", "139"]]).1),
        ["hand-wins"]
    );
    let first = heel_in_sheet(&mut store, "name", "33");
    assert!(first > sheet);
    for sql in ["UPDATE beside_hand SET text = 'x'", "DELETE FROM beside_hand"] {
        assert!(store.connection.execute(sql, []).is_err(), "{sql}");
    }
}

#[test]
fn a_value_from_a_workbook_keeps_its_tab_and_one_from_a_text_has_none() {
    let mut store = filled();
    let mut sheet = of_rows(&[RANGE, &["Fennick", "F1", "Marl", "30", "8", "139"]]);
    sheet.tabs[0].title = Some("Men".into());
    let mapping = guess_mapping(&sheet, "Trade Post", None);
    let drafts = read_rows(&sheet.into(), &mapping, &store.known().unwrap());
    let proposal = store.propose(&drafts).unwrap();
    let change = store.apply(&proposal, &drafts.reading, &mapping, b"tabs", &signed("tabs")).unwrap();
    let tab = |change| store.lines_of(change, 0, 9).unwrap().pop().unwrap().read.unwrap().tab;
    assert_eq!((tab(change), tab(ChangeId(2))), (Some("Men".to_owned()), None));
    assert!(
        store.export_ndjson().unwrap().contains("\"heel_stack\":\"sheet.csv, tab Men, row 2, column D\"")
    );
}
