//! The cells of a run of sizes: one column a size, pairs or a mark in each.

use std::cell::Cell;

use catalogue::key::{SkuKey, StyleKey};

use super::plan::manner;
use super::row::{RowReader, cell_of};
use crate::cells::read_cell;
use crate::columns::{GTIN, QUANTITY, SIZE, SIZE_SYSTEM};
use crate::draft::{ReadCell, Sizes, Value};
use crate::finding::{Code, Finding};
use crate::mapping::{MappedColumn, Means, RunSize};
use crate::sheet::Row;

/// How often each mark stood in the run of a tab: blank, dash, zero, x.
#[derive(Default)]
pub(super) struct Marks([Cell<u32>; 4]);

impl Marks {
    fn count(&self, text: &str) {
        let at = match text {
            "" => 0,
            "0" => 2,
            _ if text.chars().all(|c| "-–—".contains(c)) => 1,
            _ => 3,
        };
        self.0[at].set(self.0[at].get() + 1);
    }
}

impl RowReader<'_> {
    /// Gives the cells of a row, those from `from` on, to each size of the run of which it says something. Where it says
    /// something of none, they stay as they are.
    pub(super) fn run(
        &self,
        (at, row): (u32, &Row),
        style: &StyleKey,
        (colourway, width): (&str, &str),
        from: usize,
        sizes: &mut Sizes,
        findings: &mut Vec<Finding>,
    ) {
        let of_all = sizes.cells.split_off(from);
        let before = sizes.cells.len();
        if cell_of(&of_all, &GTIN).is_some() {
            findings.extend(self.gtin_of_run(row));
        }
        let shared = || of_all.iter().filter(|cell| !cell.column.is(&GTIN) && !cell.column.is(&QUANTITY));
        for (mapped, size) in self.mapping.run() {
            let Some(pairs) = self.pairs(at, row, mapped, findings) else { continue };
            let from = sizes.cells.len();
            sizes.cells.extend(shared().cloned().chain(self.size_cells(mapped, size)).chain([pairs]));
            sizes.push(SkuKey::of(style, colourway, &size.label, width), from);
        }
        if sizes.cells.len() == before {
            sizes.cells.extend(of_all);
        }
    }

    /// What a cell says of the pairs; `None` when it says nothing.
    fn pairs(
        &self,
        at: u32,
        row: &Row,
        mapped: &MappedColumn,
        findings: &mut Vec<Finding>,
    ) -> Option<ReadCell> {
        let text = row.cell(mapped.at).trim();
        let means = self.whole.answers.run.of(text);
        if means.is_some() {
            self.marks.count(text);
        }
        let value = match means {
            Some(Means::Nothing) => return None,
            Some(Means::None) => Value::Text("0".into()),
            Some(Means::Some) => Value::Text("x".into()),
            None => match read_cell(&QUANTITY, text, manner(mapped)) {
                Ok(value) => value?,
                Err(fault) => {
                    findings.push(self.finding(row, mapped, fault.code, fault.say));
                    return None;
                }
            },
        };
        Some(ReadCell { column: &QUANTITY, value, at: self.at(at, Some(mapped.at)) })
    }

    /// The size stands in the heading.
    fn size_cells(&self, mapped: &MappedColumn, size: &RunSize) -> Vec<ReadCell> {
        let heading = self.mapping.headings.map_or(0, |rows| rows.own as u32);
        let cell = |column, text: &str| {
            let value = Value::Text(text.into());
            ReadCell { column, value, at: self.at(heading, Some(mapped.at)) }
        };
        let system = size.label.system().map(|system| cell(&SIZE_SYSTEM, system.word()));
        system.into_iter().chain([cell(&SIZE, size.label.printed())]).collect()
    }

    fn gtin_of_run(&self, row: &Row) -> Option<Finding> {
        let say = "One GTIN stands beside a whole run of sizes; it is of one size, and nothing says of which. It is left out.";
        let mapped = self.mapping.of(&GTIN)?;
        Some(self.finding(row, mapped, Code::GtinOfRun, say.to_owned()))
    }

    /// What the marks of the run were taken for, said once a tab.
    pub(super) fn run_marks(&self) -> Option<Finding> {
        let (first, _) = self.mapping.run().next()?;
        let run = self.whole.answers.run;
        let [blank, dash, zero, x] = [0, 1, 2, 3].map(|at| self.marks.0[at].get());
        let told = [
            ("blank", blank, run.blank),
            ("\"-\"", dash, run.dash),
            ("\"0\"", zero, run.zero),
            ("\"x\"", x, run.x),
        ];
        let told: Vec<String> = told
            .into_iter()
            .filter(|(_, count, _)| *count > 0)
            .map(|(mark, count, means)| format!("{count} {mark}: {}", means.words()))
            .collect();
        if told.is_empty() {
            return None;
        }
        let row = &self.tab.rows[self.mapping.headings?.own];
        let say = format!("In the run of sizes, {}. Say otherwise once in the mapping.", told.join("; "));
        let place = self.tab.cell_place(row, first.at);
        Some(Finding {
            code: Code::RunMarks,
            place,
            heading: first.heading.clone(),
            text: String::new(),
            say,
        })
    }
}
