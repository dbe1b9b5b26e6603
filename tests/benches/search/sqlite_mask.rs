//! SQLite in a second way, for questions about styles alone: one pass writes down which narrowed groups fail, a bit each,
//! for every style that fails in none or in one; every group is then counted from that.

use std::fmt::Write as _;

use indexer::snapshot::Group;
use rusqlite::{Result, params_from_iter};

use crate::question::Question;
use crate::shop::OF_STYLE;
use crate::sqlite::{Conditions, Counted, Sqlite};

impl Sqlite {
    /// Totals and a count for every value and bar.
    pub(crate) fn ask_by_mask(&self, question: &Question) -> Result<Counted> {
        let narrowed: Vec<Group> = question.narrowed().into_iter().collect();
        self.write_masks(question, &narrowed)?;
        let mut answer = Counted::default();
        let total = "SELECT count(*) FROM masked WHERE mask = 0";
        answer.total = self.prepared(total, |s| s.query_row([], |row| row.get(0)))?;
        for group in OF_STYLE {
            let bit = narrowed.iter().position(|own| *own == group).map_or(0, |at| 1 << at);
            let of = |value: &str| {
                format!(
                    "SELECT {value}, count(*) FROM masked m JOIN style s ON s.id = m.id
                     WHERE m.mask IN (0, {bit}) GROUP BY 1"
                )
            };
            let none = Conditions::default();
            let by_value = of(&format!("s.g_{}", group.key()));
            self.count(&by_value, &none, |counted| answer.counts.push((group, counted)))?;
            if let Some(bar) = self.bar(group) {
                self.count(&of(&bar), &none, |counted| answer.bars.push((group, counted)))?;
            }
        }
        Ok(answer)
    }

    fn write_masks(&self, question: &Question, narrowed: &[Group]) -> Result<()> {
        let (mut mask, mut values) = (String::from("0"), Vec::new());
        for (at, group) in narrowed.iter().enumerate() {
            let own = self.conditions(&question.only(*group), None);
            // A number that nobody gave is in no range: what is not true fails.
            let _ = write!(mask, " | CASE WHEN {} THEN 0 ELSE {} END", own.plain(), 1 << at);
            values.extend(own.values);
        }
        let words = self.conditions(&question.only_words(), None);
        values.extend(words.values);
        self.prepared("DELETE FROM masked", |s| s.execute([]))?;
        let sql = format!(
            "INSERT INTO masked SELECT id, mask FROM (SELECT s.id, {mask} AS mask FROM style s{})
             WHERE mask & (mask - 1) = 0",
            words.sql
        );
        self.prepared(&sql, |s| s.execute(params_from_iter(&values)))?;
        Ok(())
    }
}
