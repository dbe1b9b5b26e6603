//! What is wrong with a row or one of its cells, in words for the owner.

use super::identity::{Names, Unfound};
use super::row::{RowReader, cell_of};
use crate::columns::{Column, DROP, FOREFOOT_STACK, GTIN, HEEL_STACK, NAME, QUANTITY, SIZE, STYLE_NUMBER};
use crate::draft::{ReadCell, Value};
use crate::finding::{Code, Finding};
use crate::mapping::MappedColumn;
use crate::sheet::Row;
use catalogue::measures::DROP_TOLERANCE;

/// What is wrong with a row as a whole.
pub(super) struct RowFault {
    pub(super) code: Code,
    pub(super) column: Option<u16>,
    pub(super) text: String,
    pub(super) say: String,
}

impl<'s> RowReader<'s> {
    /// A cell beyond the headings: a separator inside a cell has moved the others, and nothing says from where.
    pub(super) fn not_too_wide(&self, row: &Row) -> Result<(), RowFault> {
        if row.cells.len() <= self.width {
            return Ok(());
        }
        let mut beyond = row.cells.iter().skip(self.width);
        let filled = beyond.position(|cell| !cell.trim().is_empty());
        let Some(at) = filled.or((!self.ends_blank).then_some(0)).map(|at| self.width + at) else {
            return Ok(());
        };
        Err(RowFault {
            code: Code::RowTooWide,
            column: u16::try_from(at).ok(),
            text: row.cells.get(at).unwrap_or_default().trim().to_owned(),
            say: "The row goes on beyond the last heading. If one of its cells holds the character that parts the \
                  columns, put that cell in quotes; else give the column a heading."
                .to_owned(),
        })
    }

    /// Pairs belong to a size: a row that counts some and names none would lose them.
    pub(super) fn no_pairs_without_size(&self, row: &Row, cells: &[ReadCell]) -> Result<(), RowFault> {
        let Some(pairs) = cell_of(cells, &QUANTITY) else { return Ok(()) };
        let text = pairs.at.column.map_or("", |at| row.cell(at).trim());
        Err(RowFault {
            code: Code::SizeMissing,
            column: self.mapping.of(&SIZE).map(|mapped| mapped.at),
            text: text.to_owned(),
            say: format!(
                "{text} pairs are counted in row {} and no size is named. Fill in the size.",
                row.number
            ),
        })
    }

    pub(super) fn unfound(&self, row: &'s Row, names: &Names<'_>, why: Unfound) -> RowFault {
        let at = |column: &Column| self.mapping.of(column).map(|mapped| mapped.at);
        // A damaged code that is the row's only name is what is wrong with it.
        let code = if why == Unfound::NoName { &GTIN } else { &STYLE_NUMBER };
        if let Some((planned, fault)) = self.plan.fault(code, row) {
            let (column, text) = (Some(planned.at), row.cell(planned.at).trim().to_owned());
            return RowFault { code: fault.code, column, text, say: fault.say };
        }
        let named = if names.number.is_empty() { names.name } else { names.number };
        match why {
            Unfound::NoName if !named.is_empty() => RowFault {
                code: Code::RowTooShort,
                column: at(&STYLE_NUMBER).or(at(&NAME)),
                text: named.to_owned(),
                say: "This cannot name a style: with its maker it must hold a letter or a digit and at most 200 characters. Shorten it, or give it a number."
                    .to_owned(),
            },
            Unfound::NoName => RowFault {
                code: Code::RowTooShort,
                column: None,
                text: row.cells.join(" · "),
                say: "The row names no style: neither number nor name nor GTIN. Fill one of them, or remove the row."
                    .to_owned(),
            },
            Unfound::NoMaker => {
                let number = if names.number.is_empty() { names.name } else { names.number };
                RowFault {
                    code: Code::MakerUnknown,
                    column: at(&STYLE_NUMBER).or(at(&NAME)),
                    text: number.to_owned(),
                    say: format!(
                        "No maker is named, and \"{number}\" is not of one known style alone. Add a column Maker, or say the maker in the mapping."
                    ),
                }
            }
            Unfound::GtinUnknown => RowFault {
                code: Code::StyleUnknown,
                column: at(&GTIN),
                text: at(&GTIN).map_or("", |at| row.cell(at).trim()).to_owned(),
                say: "The row names its shoe by the GTIN alone, and no size in the catalogue has it. Take in the range sheet first, or add the style number and the size."
                    .to_owned(),
            },
        }
    }

    /// A stated drop and two stacks that do not agree: said, not mended.
    pub(super) fn drop_disagrees(&self, row: &Row, cells: &[ReadCell]) -> Option<Finding> {
        let of = |column| cell_of(cells, column);
        let tenths = |cell: &ReadCell| if let Value::Int(tenths) = cell.value { tenths } else { 0 };
        let (heel, forefoot, drop) = (of(&HEEL_STACK)?, of(&FOREFOOT_STACK)?, of(&DROP)?);
        let by_stacks = tenths(heel) - tenths(forefoot);
        if (by_stacks - tenths(drop)).abs() <= i64::from(DROP_TOLERANCE) {
            return None;
        }
        let text = |cell: &ReadCell| cell.at.column.map_or("", |at| self.cell_text(row, at));
        let say = format!(
            "Drop {} is stated, but {} and {} give {} mm. The stacks rank. Ask the supplier which is right.",
            text(drop),
            text(heel),
            text(forefoot),
            catalogue::units::Tenths(by_stacks as i32)
        );
        let mapped = self.mapping.columns.iter().find(|mapped| Some(mapped.at) == drop.at.column)?;
        Some(self.finding(row, mapped, Code::DropDisagrees, say))
    }

    pub(super) fn finding(&self, row: &Row, mapped: &MappedColumn, code: Code, say: String) -> Finding {
        let place = self.tab.cell_place(row, mapped.at);
        let text = self.cell_text(row, mapped.at).to_owned();
        Finding { code, place, heading: mapped.heading.clone(), text, say }
    }

    pub(super) fn row_finding(&self, row: &Row, fault: RowFault) -> Finding {
        let mapped = fault.column.and_then(|at| self.mapping.columns.iter().find(|m| m.at == at));
        let place = fault.column.map_or_else(|| self.tab.row_place(row), |at| self.tab.cell_place(row, at));
        let heading = mapped.map_or_else(String::new, |m| m.heading.clone());
        Finding { code: fault.code, place, heading, text: fault.text, say: fault.say }
    }
}
