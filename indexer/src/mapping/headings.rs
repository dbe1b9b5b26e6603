//! The rows of headings: one, two where groups stand above, and a row of units below; found below any titles.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::feeds::feeds_of;
use super::{Answers, Feeds, MappedColumn, MappingFile, runs};
use crate::columns::{GTIN, NAME, STYLE_NUMBER};
use crate::heading::{Heading, Unit, unit_of};
use crate::sheet::{Row, Tab};

/// How many rows from the top may hold titles before the headings.
pub(super) const WITHIN: usize = 20;

/// Where the headings stand, as places among the rows of the tab.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeadingRows {
    /// The first of them: the row of groups where there are two.
    pub first: usize,
    /// The row of the headings themselves.
    pub own: usize,
    /// The last of them: the row of units where there is one. Data begin behind it.
    pub last: usize,
}

/// The rows near the top with the most headings that are known, at least two, of which one names a style or a size;
/// or the row that the owner has said, by its number.
pub(super) fn find(tab: &Tab, file: Option<&MappingFile>, said: Option<u32>) -> Option<HeadingRows> {
    if let Some(number) = said {
        let first = tab.rows.iter().position(|row| row.number == number)?;
        return best(shapes(tab, first), |rows| known(tab, rows, file).0);
    }
    let near = 0..tab.rows.len().min(WITHIN);
    let qualifies = |first: &usize| {
        shapes(tab, *first).into_iter().any(|rows| matches!(known(tab, rows, file), (2.., true)))
    };
    let first = near.clone().find(qualifies)?;
    // A title that is merged over the whole width may stand as a group above the headings, and says nothing.
    let shapes = (first..near.end.min(first + 3)).flat_map(|first| shapes(tab, first)).collect();
    best(shapes, |rows| known(tab, rows, file).0)
}

/// The form with the most known headings; of equal ones that with the fewest rows, then the first.
fn best(shapes: Vec<HeadingRows>, known: impl Fn(HeadingRows) -> usize) -> Option<HeadingRows> {
    shapes.into_iter().min_by_key(|rows| (Reverse(known(*rows)), rows.own - rows.first, rows.first))
}

/// The forms that headings beginning in this row may have.
fn shapes(tab: &Tab, first: usize) -> Vec<HeadingRows> {
    [first, first + 1]
        .into_iter()
        .filter(|own| *own < tab.rows.len() && (*own == first || may_be_groups(tab, first, *own)))
        .map(|own| {
            let units = tab.rows.get(own + 1).is_some_and(is_of_units);
            HeadingRows { first, own, last: own + usize::from(units) }
        })
        .collect()
}

/// Groups stand right above their headings; one cell alone above the first of them is a title.
fn may_be_groups(tab: &Tab, above: usize, own: usize) -> bool {
    let filled = |at: usize| -> Vec<usize> {
        let cells = tab.rows[at].cells.iter().enumerate();
        cells.filter(|(_, cell)| !cell.trim().is_empty()).map(|(column, _)| column).collect()
    };
    let (groups, headings) = (filled(above), filled(own));
    let adjacent = tab.rows[above].number + 1 == tab.rows[own].number;
    adjacent && (groups.len() > 1 || groups.first() > headings.first())
}

/// How many headings are known, and whether one of them names a style or a size.
fn known(tab: &Tab, rows: HeadingRows, file: Option<&MappingFile>) -> (usize, bool) {
    let mut columns = columns(tab, rows);
    for mapped in &mut columns {
        mapped.feeds = feeds_of(mapped, file);
    }
    runs::find(&mut columns, &Answers::default(), file);
    let names = |mapped: &MappedColumn| {
        mapped.column().is_some_and(|column| [STYLE_NUMBER.key, NAME.key, GTIN.key].contains(&column.key))
    };
    // A column counts once: a heading merged over two says less than the two below it.
    let fed: BTreeSet<&str> =
        columns.iter().filter_map(|mapped| mapped.column()).map(|column| column.key).collect();
    let beside = |mapped: &&MappedColumn| matches!(mapped.feeds, Feeds::Size(_) | Feeds::LeftOut(_));
    (fed.len() + columns.iter().filter(beside).count(), columns.iter().any(names))
}

/// One heading a column, from the left; columns without any are left out.
pub(super) fn columns(tab: &Tab, rows: HeadingRows) -> Vec<MappedColumn> {
    let width = tab.rows[rows.first..=rows.last].iter().map(|row| row.cells.len()).max().unwrap_or(0);
    let columns = (0..width).filter_map(|at| u16::try_from(at).ok());
    let mut columns: Vec<_> = columns.filter_map(|at| heading(tab, rows, at)).collect();
    number_the_same(&mut columns);
    columns
}

fn heading(tab: &Tab, rows: HeadingRows, at: u16) -> Option<MappedColumn> {
    let own = text(tab, rows.own, at).to_owned();
    let group =
        if rows.own > rows.first { group(tab, rows.first, at, !own.is_empty()) } else { String::new() };
    let parts: Vec<&str> =
        [group.as_str(), own.as_str()].into_iter().filter(|part| !part.is_empty()).collect();
    if parts.is_empty() {
        return None;
    }
    // `Maker` over `Maker`, merged downwards, is one word.
    let printed = if parts.len() == 2 && parts[0] == parts[1] { own.clone() } else { parts.join(" / ") };
    let below = (rows.last > rows.own).then(|| unit_in(text(tab, rows.last, at))).flatten();
    let unit = below.or(Heading::of_parts(&parts).unit);
    Some(MappedColumn::new(at, &printed, unit))
}

/// The text above a heading: its own, that of the block it is merged into, or, in a table of text where merging leaves
/// blanks, the nearest one to the left.
fn group(tab: &Tab, row: usize, at: u16, has_own: bool) -> String {
    let own = text(tab, row, at);
    if !own.is_empty() || !has_own {
        return own.to_owned();
    }
    if tab.title.is_some() {
        return String::new();
    }
    let to_the_left = (0..at).rev().map(|left| text(tab, row, left)).find(|text| !text.is_empty());
    to_the_left.unwrap_or_default().to_owned()
}

/// The text of a heading cell, or that of the block of cells it is merged into.
fn text(tab: &Tab, row: usize, at: u16) -> &str {
    let row = &tab.rows[row];
    let own = row.cell(at).trim();
    if own.is_empty() { tab.merged_into(row, at).unwrap_or_default().trim() } else { own }
}

/// A row of nothing but units.
fn is_of_units(row: &Row) -> bool {
    let mut filled = row.cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty()).peekable();
    filled.peek().is_some() && filled.all(|cell| unit_in(cell).is_some() || is_of_pairs(cell))
}

/// What stands below a column of pairs in a row of units.
fn is_of_pairs(cell: &str) -> bool {
    let cell = cell.trim_matches(|c: char| "()[] .".contains(c)).to_lowercase();
    ["pairs", "pair", "prs", "paar", "paires", "pares", "paia", "pcs", "stk"].contains(&cell.as_str())
}

fn unit_in(text: &str) -> Option<Unit> {
    unit_of(text.trim_matches(|c: char| "()[] .".contains(c)).to_lowercase().as_str())
}

fn number_the_same(columns: &mut [MappedColumn]) {
    for at in 1..columns.len() {
        let before = columns[..at].iter().filter(|other| other.heading == columns[at].heading).count();
        if before > 0 {
            columns[at].name = format!("{} ({})", columns[at].heading, before + 1);
        }
    }
}
