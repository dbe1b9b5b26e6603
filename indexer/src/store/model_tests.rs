//! Sequences of sheets, corrections, values taken from sheets and undos, held against a model: a list of changes, of
//! which those in force are replayed.

use proptest::prelude::*;

use super::tests::{RANGE, STOCK, filled, import, signed};
use super::*;
use crate::columns::{Column, DROP, HEEL_STACK};
use crate::draft::Value;
use crate::proposal::Entity;

const F1: &str = "fennick.f1";
/// The cells that are watched; the first two can be set by hand.
const CELLS: usize = 3;
const COLUMNS: [&Column; 2] = [&HEEL_STACK, &DROP];
/// What they hold before the first act.
const AT_FIRST: [Option<i64>; CELLS] = [Some(320), Some(80), Some(3)];

/// What somebody does. Values are whole mm and pairs.
#[derive(Clone, Debug)]
enum Act {
    Sheet { heel: u8, drop: Option<u8> },
    Stock(u8),
    Correct { cell: usize, value: Option<u8> },
    Take(usize),
    Undo(usize),
}

/// A change as the model keeps it.
#[derive(Clone, Debug)]
enum Made {
    /// Cells with the value they get, and whether a hand set it; and what a sheet says of cells that a hand holds.
    Wrote {
        is_sheet: bool,
        cells: Vec<(usize, Option<i64>, bool)>,
        beside: Vec<(usize, i64)>,
    },
    Undid(usize),
}

#[derive(Default)]
struct Model(Vec<Made>);

impl Model {
    fn in_force(&self, change: usize) -> bool {
        let undone = |(at, made): (usize, &Made)| {
            matches!(made, Made::Undid(of) if *of == change) && self.in_force(at)
        };
        !self.0.iter().enumerate().skip(change + 1).any(undone)
    }

    fn newest(&self) -> impl Iterator<Item = &Made> {
        self.0.iter().enumerate().rev().filter(|(at, _)| self.in_force(*at)).map(|(_, made)| made)
    }

    /// What a cell holds, and whether a hand set it.
    fn holds(&self, cell: usize) -> (Option<i64>, bool) {
        let wrote = self.newest().find_map(|made| match made {
            Made::Wrote { cells, .. } => cells.iter().find(|wrote| wrote.0 == cell),
            Made::Undid(_) => None,
        });
        wrote.map_or((AT_FIRST[cell], false), |(_, value, by_hand)| (*value, *by_hand))
    }

    /// The newest word of a sheet in force on a cell.
    fn sheet_word(&self, cell: usize) -> Option<i64> {
        let word = self.newest().find_map(|made| match made {
            Made::Wrote { is_sheet: true, cells, beside } => {
                let wrote = cells.iter().find(|wrote| wrote.0 == cell).map(|wrote| wrote.1);
                wrote.or_else(|| beside.iter().find(|said| said.0 == cell).map(|said| Some(said.1)))
            }
            _ => None,
        });
        word.unwrap_or(AT_FIRST[cell])
    }

    fn sheet(&mut self, said: &[(usize, i64)]) {
        let (beside, free): (Vec<_>, Vec<_>) = said.iter().partition(|(cell, _)| self.holds(*cell).1);
        let changes = free.into_iter().filter(|(cell, value)| self.holds(*cell).0 != Some(*value));
        let cells = changes.map(|(cell, value)| (cell, Some(value), false)).collect();
        self.0.push(Made::Wrote { is_sheet: true, cells, beside });
    }

    fn hand(&mut self, cell: usize, value: Option<i64>, by_hand: bool) {
        self.0.push(Made::Wrote { is_sheet: false, cells: vec![(cell, value, by_hand)], beside: vec![] });
    }
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    acts_so_many(1..28)
}

/// Any of the changes made so far may be undone.
fn acts_so_many(many: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Act>> {
    let value = || 30_u8..34;
    let act = prop_oneof![
        3 => (value(), prop::option::of(4_u8..7)).prop_map(|(heel, drop)| Act::Sheet { heel, drop }),
        1 => (0_u8..4).prop_map(Act::Stock),
        2 => (0..COLUMNS.len(), prop::option::weighted(0.8, value()))
            .prop_map(|(cell, value)| Act::Correct { cell, value }),
        2 => (0..COLUMNS.len()).prop_map(Act::Take),
        5 => (0..many.end.saturating_sub(4)).prop_map(Act::Undo),
    ];
    prop::collection::vec(act, many)
}

fn tenths(mm: u8) -> i64 {
    i64::from(mm) * 10
}

/// Does one act on both, unless it cannot be done.
fn act(store: &mut Store, model: &mut Model, act: &Act, key: &str) {
    let by = signed(key);
    match act {
        Act::Sheet { heel, drop } => {
            let (heel_text, drop_text) =
                (heel.to_string(), drop.map_or_else(String::new, |mm| mm.to_string()));
            import(store, key, &[RANGE, &["Fennick", "F1", "Marl", &heel_text, &drop_text, "139"]]);
            let said = [(0, tenths(*heel))].into_iter().chain(drop.map(|mm| (1, tenths(mm))));
            model.sheet(&said.collect::<Vec<_>>());
        }
        Act::Stock(pairs) => {
            import(store, key, &[STOCK, &["Fennick", "F1", "Ochre", "EU", "42", &pairs.to_string()]]);
            model.sheet(&[(2, i64::from(*pairs))]);
        }
        Act::Correct { cell, value } => {
            let value = value.map(tenths);
            let correction = Correction {
                entity: Entity::Style,
                key: F1.to_owned(),
                column: COLUMNS[*cell],
                value: value.map(Value::Int),
                text: "measured in the shop".to_owned(),
            };
            store.correct(&correction, &by).unwrap();
            model.hand(*cell, value, true);
        }
        Act::Take(cell) if model.holds(*cell).1 => {
            store.take_from_sheet((Entity::Style, F1, COLUMNS[*cell]), None, &by).unwrap();
            model.hand(*cell, model.sheet_word(*cell), false);
        }
        Act::Undo(of) if *of < model.0.len() && model.in_force(*of) => {
            store.undo(ChangeId(*of as i64 + 3), &by).unwrap();
            model.0.push(Made::Undid(*of));
        }
        Act::Take(_) | Act::Undo(_) => {}
    }
}

fn cell(store: &Store, cell: usize) -> (Option<i64>, bool) {
    let loaded = store.load().unwrap();
    let spec = &loaded.styles[0].specification;
    let value = match cell {
        0 => spec.heel_stack.map(|mm| i64::from(mm.in_tenths())),
        1 => spec.drop_stated.map(|mm| i64::from(mm.in_tenths())),
        _ => loaded.skus[0].quantity.map(|pairs| i64::from(pairs.counted())),
    };
    let key = &loaded.styles[0].key;
    let by_hand = store.set_by_hand(key).unwrap();
    (value, COLUMNS.get(cell).is_some_and(|column| by_hand.iter().any(|(set, _)| set == column.key)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn every_cell_holds_what_the_changes_in_force_say_of_it(acts in acts()) {
        let (mut store, mut model) = (filled(), Model::default());
        for (at, one) in acts.iter().enumerate() {
            act(&mut store, &mut model, one, &format!("act {at}"));
            for at in 0..CELLS {
                prop_assert_eq!(cell(&store, at), model.holds(at), "cell {} after {:?}", at, one);
            }
        }
    }

    #[test]
    fn all_changes_taken_back_from_the_last_give_the_first_catalogue_byte_for_byte(acts in acts()) {
        let (mut store, mut model) = (filled(), Model::default());
        let before = store.export_ndjson().unwrap();
        for (at, one) in acts.iter().enumerate() {
            act(&mut store, &mut model, one, &format!("act {at}"));
        }
        for change in (3..=store.seq().unwrap().0).rev() {
            if !store.recorded(ChangeId(change)).unwrap().unwrap().undone {
                store.undo(ChangeId(change), &signed(&format!("back {change}"))).unwrap();
            }
        }
        prop_assert_eq!(store.export_ndjson().unwrap(), before);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]
    #[test]
    fn two_hundred_changes_and_undos_of_undos_leave_what_those_in_force_say(acts in acts_so_many(150..201)) {
        let (mut store, mut model) = (filled(), Model::default());
        for (at, one) in acts.iter().enumerate() {
            act(&mut store, &mut model, one, &format!("act {at}"));
        }
        for at in 0..CELLS {
            prop_assert_eq!(cell(&store, at), model.holds(at), "cell {}", at);
        }
        prop_assert_eq!(store.faults().unwrap(), Vec::<String>::new());
    }
}
