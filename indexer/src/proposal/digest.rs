//! The hash of what a proposal would do: another one is a conflict.

use sha2::{Digest, Sha256};

use super::{LeftOut, RowChange};
use crate::draft::Value;
use crate::hash::hex;

/// The hash of changes and of what is left out. Every text is hashed with its length in front, so that no two lists of
/// texts are alike.
pub(super) fn digest(changes: &[RowChange], missing: &LeftOut) -> String {
    let mut hash = Hash(Sha256::new());
    for change in changes {
        hash.text(change.entity.word());
        hash.text(&change.key);
        hash.number(i64::from(change.new));
        hash.number(change.cells.len() as i64);
        for cell in &change.cells {
            hash.text(cell.column.key);
            hash.value(cell.before.as_ref());
            hash.value(cell.after.as_ref());
        }
    }
    for key in missing.styles.iter().chain(&missing.sizes) {
        hash.text("missing");
        hash.text(key);
    }
    hex(&hash.0.finalize()[..16])
}

struct Hash(Sha256);

impl Hash {
    fn text(&mut self, text: &str) {
        self.number(text.len() as i64);
        self.0.update(text);
    }

    fn number(&mut self, number: i64) {
        self.0.update(number.to_le_bytes());
    }

    fn value(&mut self, value: Option<&Value>) {
        match value {
            None => self.0.update([0]),
            Some(Value::Int(number)) => {
                self.0.update([1]);
                self.number(*number);
            }
            Some(Value::Text(text)) => {
                self.0.update([2]);
                self.text(text);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::columns::{PLACE, SIZE};
    use crate::draft::At;
    use crate::proposal::{CellChange, Entity};

    fn change(key: &str, after: Option<Value>) -> RowChange {
        let at = At { tab: 0, row: 0, column: None };
        let cell = |column, after| CellChange { column, before: None, after, at };
        let cells = vec![cell(&PLACE, after), cell(&SIZE, None)];
        RowChange { entity: Entity::Sku, key: key.into(), style: "s".into(), new: true, cells }
    }

    #[test]
    fn changes_that_differ_in_a_key_or_a_value_have_another_digest() {
        let of = |key, after| digest(&[change(key, after)], &LeftOut::default());
        let text = |text: &str| Some(Value::Text(text.into()));
        let all = [
            of("a", text("1")),
            of("b", text("1")),
            of("a", text("2")),
            of("a", Some(Value::Int(1))),
            of("a", None),
        ];
        for (at, digest) in all.iter().enumerate() {
            assert!(!all[..at].contains(digest), "{at}");
        }
        assert_eq!(of("a", text("1")), of("a", text("1")));
    }

    #[test]
    fn what_is_left_out_is_part_of_the_digest() {
        let missing = |styles: &[&str]| LeftOut {
            styles: styles.iter().map(ToString::to_string).collect(),
            ..LeftOut::default()
        };
        assert_ne!(digest(&[], &missing(&["a", "b"])), digest(&[], &missing(&["ab"])));
    }
}
