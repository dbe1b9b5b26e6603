//! What a sheet would change, one list at a time and page by page: values that change, new shoes, new sizes.

use indexer::columns::NAME;
use indexer::draft::{Join, Reading, Value};
use indexer::proposal::{CellChange, Entity, Missing as LeaveOut, RowChange};
use indexer::shop::Understood;
use serde::Deserialize;

use super::values::in_words;
use crate::labels::NOT_GIVEN;
use crate::pages::sheet::Count;
use crate::pages::sheet_changes::{Changes, Missing};
use crate::parts::Link;
use crate::parts::fields::Choice;
use crate::parts::pager::Pager;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::capital;
use crate::waiting::SheetId;
use crate::words;

/// Rows on one page.
const SHOWN: usize = 50;

/// Shoes and sizes that are named of those left out.
const MISSING_SHOWN: usize = 200;

/// What is asked of the lists: which, and which page.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
pub struct Asked {
    /// The list.
    #[serde(default)]
    list: Option<List>,
    /// The page, from 1.
    #[serde(default)]
    page: Option<usize>,
}

/// The lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum List {
    Changed,
    Styles,
    Sizes,
}

/// Rows by what becomes of them, and what that means.
pub fn counts(understood: &Understood) -> Vec<Count> {
    let counts = &understood.proposal.counts;
    let count = |label: &str, count: usize, means: &str| Count {
        label: label.to_owned(),
        count,
        means: means.to_owned(),
    };
    let all = [
        count(say!("new"), counts.new, say!("rows of shoes or sizes that the catalogue does not hold")),
        count(say!("changed"), counts.changed, say!("rows that change a value")),
        count(say!("unchanged"), counts.unchanged, say!("rows that change nothing")),
        count(say!("held"), counts.held, say!("rows that wait for a mend")),
        count(say!("cells held"), counts.held_cells, say!("single cells that wait, in rows that are taken")),
        count(
            say!("missing"),
            counts.missing,
            say!("shoes and sizes of this supplier that a full sheet does not list"),
        ),
    ];
    all.into_iter()
        .filter(|count| count.count > 0 || ![say!("cells held"), say!("missing")].contains(&&*count.label))
        .collect()
}

/// How rows were joined to their shoes.
pub fn joined(understood: &Understood) -> Vec<String> {
    let ways =
        [(Join::Number, say!("style number")), (Join::Gtin, "GTIN"), (Join::Name, say!("maker and name"))];
    let said: Vec<String> = ways
        .into_iter()
        .map(|(join, words)| (understood.reading.joined(join), words))
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| say!("{count} by {words}", count, words))
        .collect();
    if said.is_empty() {
        Vec::new()
    } else {
        vec![say!("Rows were joined to their shoes: {said}.", said = said.join(", "))]
    }
}

/// The page of the list that is asked for; the first that holds anything when none is.
pub fn changes(id: SheetId, understood: &Understood, asked: Asked) -> Changes {
    let rows = &understood.proposal.changes;
    let changed: usize = rows.iter().filter(|row| !row.new).map(|row| row.cells.len()).sum();
    let new = |entity| rows.iter().filter(|row| row.new && row.entity == entity).count();
    let lists = [
        (List::Changed, changed, say!("values that change")),
        (List::Styles, new(Entity::Style), say!("new shoes")),
        (List::Sizes, new(Entity::Sku), say!("new sizes")),
    ];
    let held = lists.iter().filter(|(_, count, _)| *count > 0);
    let first = held.clone().next().map_or(List::Changed, |(list, ..)| *list);
    let list = asked.list.filter(|asked| held.clone().any(|(own, ..)| own == asked)).unwrap_or(first);
    let total = lists.iter().find(|(own, ..)| *own == list).map_or(0, |(_, count, _)| *count);
    let pager = pager(asked.page.unwrap_or(1), total, SHOWN, |page| href(id, list, page));
    let skip = (pager.page - 1) * SHOWN;
    let unchanged = understood.proposal.counts.unchanged;
    Changes {
        lists: held
            .map(|(own, count, words)| {
                (Link::new(format!("{count} {words}"), href(id, *own, 1)), *own == list)
            })
            .collect(),
        table: table(understood, list, skip),
        pager,
        hidden: if unchanged > 0 {
            say!("{unchanged} unchanged rows are not shown.", unchanged)
        } else {
            String::new()
        },
    }
}

/// What a full sheet leaves out; `None` when it leaves nothing out.
pub fn missing(understood: &Understood) -> Option<Missing> {
    let left_out = &understood.proposal.missing;
    let (styles, sizes) = (left_out.styles.len(), left_out.sizes.len());
    if styles + sizes == 0 {
        return None;
    }
    let choice = |missing: LeaveOut, label: &str, hint: &str| Choice {
        value: missing.word().to_owned(),
        label: label.to_owned(),
        hint: hint.to_owned(),
    };
    let keys = left_out.styles.iter().chain(&left_out.sizes);
    Some(Missing {
        say: say!(
            "{styles} shoes and {sizes} sizes of {supplier} are not in this full sheet. What becomes of them?",
            styles,
            sizes,
            supplier = understood.reading.supplier
        ),
        listed: keys.take(MISSING_SHOWN).cloned().collect(),
        more: (styles + sizes).saturating_sub(MISSING_SHOWN),
        name: super::sheet_page::MISSING.to_owned(),
        choices: vec![
            choice(LeaveOut::Keep, say!("Keep them as they are"), say!("nothing changes")),
            choice(
                LeaveOut::OutOfStock,
                say!("Mark them out of stock"),
                say!("their sizes hold no pair any more"),
            ),
            choice(LeaveOut::Retire, say!("Retire them"), say!("no longer supplied, still on the wall")),
        ],
        chosen: LeaveOut::Keep.word().to_owned(),
    })
}

/// The pager of so many things.
pub fn pager(asked: usize, total: usize, shown: usize, href: impl Fn(usize) -> String) -> Pager {
    let pages = total.div_ceil(shown).max(1);
    let page = asked.clamp(1, pages);
    Pager {
        page,
        pages,
        back: (page > 1).then(|| href(page - 1)),
        on: (page < pages).then(|| href(page + 1)),
    }
}

/// Sorted keys, nothing that is as usual.
fn href(id: SheetId, list: List, page: usize) -> String {
    let word = match list {
        List::Changed => "changed",
        List::Styles => "styles",
        List::Sizes => "sizes",
    };
    let page = if page > 1 { format!("&page={page}") } else { String::new() };
    format!("{}?list={word}{page}#changes", id.href())
}

fn table(understood: &Understood, list: List, skip: usize) -> Table {
    let (rows, reading) = (&understood.proposal.changes, &understood.reading);
    let new = |entity| rows.iter().filter(move |row| row.new && row.entity == entity).skip(skip).take(SHOWN);
    let (caption, heads, rows): (_, &[&str], Vec<_>) = match list {
        List::Changed => {
            let cells = rows
                .iter()
                .filter(|row| !row.new)
                .flat_map(|row| row.cells.iter().map(move |cell| (row, cell)));
            let rows = cells.skip(skip).take(SHOWN).map(|(row, cell)| changed(row, cell, reading)).collect();
            (
                say!("Values that change"),
                &[say!("Shoe or size"), say!("What"), say!("Before"), say!("After"), say!("Read")],
                rows,
            )
        }
        List::Styles => (
            say!("New shoes"),
            &[say!("Shoe"), say!("What the sheet says of it"), say!("Read")],
            new(Entity::Style).map(|row| style(row, reading)).collect(),
        ),
        List::Sizes => (
            say!("New sizes"),
            &[say!("Size"), say!("What the sheet says of it"), say!("Read")],
            new(Entity::Sku).map(|row| said(row, reading)).collect(),
        ),
    };
    Table { caption: caption.to_owned(), heads: heads.iter().map(|head| Head::words(*head)).collect(), rows }
}

fn changed(row: &RowChange, cell: &CellChange, reading: &Reading) -> Vec<Cell> {
    let shown = |value: Option<&Value>| match value {
        Some(value) => Cell::text(in_words(cell.column, value)),
        None => Cell { unknown: true, ..Cell::text(words::of(NOT_GIVEN)) },
    };
    vec![
        Cell::text(&row.key),
        Cell::text(words::of(cell.column.headings[0])),
        shown(cell.before.as_ref()),
        shown(cell.after.as_ref()),
        Cell::text(words::quoted(cell.text(reading))).below(row_of(cell, reading)),
    ]
}

fn style(row: &RowChange, reading: &Reading) -> Vec<Cell> {
    let name = row.cells.iter().find(|cell| cell.column.key == NAME.key).and_then(|cell| cell.after.as_ref());
    let mut cells = said(row, reading);
    if let (Some(Value::Text(name)), Some(first)) = (name, cells.first_mut()) {
        *first = Cell::text(&**name).below(&row.key);
    }
    cells
}

/// All that the sheet says of a new row, in one line.
fn said(row: &RowChange, reading: &Reading) -> Vec<Cell> {
    let named = |cell: &&CellChange| !row.entity.names(cell.column.key) && cell.column.key != NAME.key;
    let values = row.cells.iter().filter(named).filter_map(|cell| {
        let value = in_words(cell.column, cell.after.as_ref()?);
        Some(format!("{} {value}", words::of(cell.column.headings[0])))
    });
    let place = row.cells.first().map_or_else(String::new, |cell| row_of(cell, reading));
    let values = values.collect::<Vec<_>>().join(" · ");
    let values = if values.is_empty() { say!("its name alone").to_owned() } else { capital(&values) };
    vec![Cell::text(&row.key), Cell::text(values), Cell::text(place)]
}

fn row_of(cell: &CellChange, reading: &Reading) -> String {
    say!("row {row}", row = reading.place(cell.at).row)
}
