//! What stands between a mapping and a change, and what the owner should know of it.

use super::headings::WITHIN;
use super::{Feeds, MappedColumn, Mapping, TabMapping, Undecided};
use crate::columns::{Column, GTIN, NAME, QUANTITY, SIZE, STYLE_NUMBER};
use crate::finding::{Code, Finding};
use crate::sheet::{Place, Remark, RemarkKind, Sheet, Tab};

impl Mapping {
    /// Undecided, missing, unknown and left-out columns, tabs and rows.
    pub fn findings(&self, sheet: &Sheet) -> Vec<Finding> {
        let mut findings: Vec<Finding> =
            sheet.remarks.iter().map(|r| self.under_heading(sheet, remark(r))).collect();
        if self.tabs.iter().all(|tab| tab.headings.is_none()) {
            findings.extend(sheet.tabs.first().map(|tab| no_heading(sheet, tab)));
            return findings;
        }
        for (tab, mapping) in sheet.tabs.iter().zip(&self.tabs) {
            if mapping.is_taken() {
                findings.extend(mapping.titles(tab));
                findings.extend(mapping.columns.iter().filter_map(|mapped| mapping.finding(tab, mapped)));
                findings.extend(mapping.missing(tab));
            } else {
                findings.push(tab_left_out(tab, mapping.left_out));
            }
        }
        findings
    }
}

impl Mapping {
    /// The finding with the heading of its column.
    fn under_heading(&self, sheet: &Sheet, finding: Finding) -> Finding {
        let tab = sheet.tabs.iter().zip(&self.tabs).find(|(tab, _)| tab.label == finding.place.sheet);
        let columns = tab.map_or(&[][..], |(_, mapping)| &mapping.columns);
        let mapped = columns.iter().find(|mapped| Some(mapped.at) == finding.place.column);
        Finding { heading: mapped.map_or_else(String::new, |mapped| mapped.heading.clone()), ..finding }
    }
}

impl TabMapping {
    /// Rows above the headings.
    fn titles(&self, tab: &Tab) -> impl Iterator<Item = Finding> {
        let above = self.headings.map_or(&[][..], |rows| &tab.rows[..rows.first]);
        above.iter().map(|row| {
            let filled = row.cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
            let text = filled.collect::<Vec<_>>().join(" · ");
            let say = format!("\"{text}\" stands above the headings and is taken for a title.");
            Finding { code: Code::RowLeftOut, place: tab.row_place(row), heading: String::new(), text, say }
        })
    }

    /// What is to be said of one heading.
    fn finding(&self, tab: &Tab, mapped: &MappedColumn) -> Option<Finding> {
        let (code, say) = of_feeds(mapped)?;
        let row = &tab.rows[self.headings?.own];
        let place = tab.cell_place(row, mapped.at);
        Some(Finding { code, place, heading: mapped.heading.clone(), text: mapped.heading.clone(), say })
    }

    /// What is missing for the tab to be read at all.
    fn missing(&self, tab: &Tab) -> Option<Finding> {
        let undecided = self.columns.iter().any(|mapped| matches!(mapped.feeds, Feeds::Undecided(_)));
        let has = |column: &Column| self.of(column).is_some();
        let say = if undecided {
            return None;
        } else if !has(&STYLE_NUMBER) && !has(&NAME) && !has(&GTIN) {
            "No column names the style: a style number, a name or a GTIN is needed. Add the column, or map a heading to it."
        } else if has(&QUANTITY) && !has(&SIZE) && !has(&GTIN) && self.run().next().is_none() {
            "There are pairs but no sizes: stock is counted by size. Add the column, or map a heading to it."
        } else {
            return None;
        };
        let place = tab.row_place(&tab.rows[self.headings?.own]);
        Some(whole(Code::ColumnMissing, place, String::new(), say.to_owned()))
    }
}

fn of_feeds(mapped: &MappedColumn) -> Option<(Code, String)> {
    let heading = &mapped.heading;
    Some(match &mapped.feeds {
        Feeds::Column(_) | Feeds::Size(_) | Feeds::Ignored => return None,
        Feeds::Unknown => (
            Code::HeadingUnknown,
            format!(
                "\"{heading}\" is not known; the column is left out. Map it to a column if it holds one."
            ),
        ),
        Feeds::LeftOut(column) => {
            (Code::HeadingLeftOut, format!("\"{heading}\" is left out. {}", column.says))
        }
        Feeds::Undecided(why @ Undecided::Nearly(_)) => (Code::HeadingNearMiss, undecided(heading, why)),
        Feeds::Undecided(why) => (Code::HeadingUndecided, undecided(heading, why)),
    })
}

fn undecided(heading: &str, why: &Undecided) -> String {
    match why {
        Undecided::Another(column) => format!(
            "\"{heading}\" and another heading both feed {}. Map one of them, and the other to ignore.",
            column.headings[0]
        ),
        Undecided::Either(columns) => {
            let names: Vec<&str> = columns.iter().map(|column| column.headings[0]).collect();
            format!("\"{heading}\" may be {}. Map it to one of them, or to ignore.", names.join(" or "))
        }
        Undecided::Nearly(column) => format!(
            "\"{heading}\" is not known and nearly says \"{}\". Map it to that column, to another, or to ignore.",
            column.headings[0]
        ),
    }
}

fn remark(remark: &Remark) -> Finding {
    let Remark { kind, place, count } = remark;
    let (code, say) = match kind {
        RemarkKind::HiddenTab => (
            Code::TabHidden,
            "This tab is hidden and was not read. Show it in the spreadsheet if it belongs to the sheet."
                .to_owned(),
        ),
        RemarkKind::HiddenRows => (
            Code::RowHidden,
            format!(
                "From here on {count} rows are hidden and were not read. Show them in the spreadsheet if they belong to the sheet."
            ),
        ),
        RemarkKind::HiddenColumns => (
            Code::ColumnHidden,
            format!(
                "From here on {count} columns are hidden and were not read. Show them in the spreadsheet if they belong to the sheet."
            ),
        ),
        RemarkKind::StrayQuote => (
            Code::QuoteStray,
            "A quotation mark inside the quotes of this cell is not doubled; the cell was taken as it stands between the outer ones. Check that nothing of it is missing.".to_owned(),
        ),
        RemarkKind::NoResult => (
            Code::FormulaWithoutResult,
            format!(
                "{count} cells from here on hold a formula whose result is not in the file, or an error; they are unknown. Open the file in a spreadsheet, let it calculate, and save it again."
            ),
        ),
    };
    whole(code, place.clone(), String::new(), say)
}

fn tab_left_out(tab: &Tab, said: bool) -> Finding {
    let place = Place { sheet: tab.label.clone(), row: 0, line: 0, column: None };
    let title = tab.title.as_deref().unwrap_or_default().to_owned();
    let say = if said {
        "Nothing is read from this tab, as you said.".to_owned()
    } else {
        format!(
            "In the first {WITHIN} rows of this tab none holds headings that are known; nothing is read from it."
        )
    };
    whole(Code::TabLeftOut, place, title, say)
}

fn no_heading(sheet: &Sheet, tab: &Tab) -> Finding {
    let place = Place { sheet: sheet.name.clone(), row: 0, line: 0, column: None };
    let say = format!(
        "In the first {WITHIN} rows of {} none holds headings that are known. Put one row of headings above the data, such as Maker, Style number, Heel stack mm, or say in which row they stand; `lastbench columns` lists them.",
        tab.label
    );
    whole(Code::NoHeading, place, String::new(), say)
}

fn whole(code: Code, place: Place, text: String, say: String) -> Finding {
    Finding { code, place, heading: String::new(), text, say }
}
