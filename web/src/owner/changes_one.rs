//! One change with its cells, and the question before it is taken back.

use catalogue::policy::HousePolicy;
use catalogue::policy::items::item;
use indexer::draft::Value;
use indexer::proposal::{Entity, Missing};
use indexer::store::{Kept, LedgerLine, POLICY, Receipt, RecordedChange, Undoing};

use crate::owner::changes::{AT, because, counted, counts, what};
use crate::owner::shoe_origins::{change as link, name, place};
use crate::owner::values::or_not_given;
use crate::pages::changes_one::{ChangePage, Remark};
use crate::pages::changes_undo::UndoPage;
use crate::parts::act::Act;
use crate::parts::pager::Pager;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::date::minute;
use crate::words;

/// Cells on one page of a change.
pub const CELLS: usize = 100;
/// Cells shown before an undo, of each kind.
pub const SHOWN: usize = 50;

/// One change, as far as one page shows it.
pub struct One {
    /// The change.
    pub change: RecordedChange,
    /// What it counted, of a count.
    pub receipt: Option<Receipt>,
    /// The page of its cells, from 1.
    pub page: usize,
    /// How many lines it wrote.
    pub count: usize,
    /// Those of this page.
    pub lines: Vec<LedgerLine>,
    /// What it left alone.
    pub kept: Vec<Kept>,
}

/// How many pages so many lines take.
pub const fn pages(count: usize) -> usize {
    if count == 0 { 1 } else { count.div_ceil(CELLS) }
}

impl One {
    /// The page.
    pub fn page(&self) -> ChangePage {
        let Self { change, .. } = self;
        let id = change.id.0;
        let rows = change.rows.map(counts).or(self.receipt.as_ref().map(counted));
        let rows = rows.map_or_else(String::new, |rows| format!(". {rows}"));
        ChangePage {
            title: say!("Change {id}: {change}", id, change = what(change)),
            facts: say!(
                "{when}, by {actor}{why}{rows}",
                when = minute(change.at),
                actor = words::of(&change.actor),
                why = because(change),
                rows
            ),
            remarks: remarks(change),
            cells: cells(
                &self.lines,
                say!("Values before and after the change"),
                [say!("Before"), say!("After")],
            ),
            pager: self.pager(),
            kept: kept(&self.kept),
            undo: (!change.undone).then(|| Act::Go(format!("/changes/{id}/undo"))),
        }
    }

    fn pager(&self) -> Pager {
        let to = |page: usize| format!("/changes/{}?page={page}", self.change.id.0);
        let pages = pages(self.count);
        Pager {
            page: self.page,
            pages,
            back: (self.page > 1).then(|| to(self.page - 1)),
            on: (self.page < pages).then(|| to(self.page + 1)),
        }
    }
}

/// The question before `change` is taken back; `latest` is the change it was asked at.
pub fn ask(change: &RecordedChange, undoing: &Undoing, latest: i64) -> UndoPage {
    let id = change.id.0;
    let more = |all: usize, shown: usize| match all.saturating_sub(shown) {
        0 => String::new(),
        more => say!("and {more} more", more),
    };
    UndoPage {
        title: say!("Take back change {id}?", id),
        what: say!(
            "{what}, {when}, by {actor}",
            what = what(change),
            when = minute(change.at),
            actor = words::of(&change.actor)
        ),
        say: in_words(undoing.back, undoing.kept.len()),
        more_back: more(undoing.back, undoing.first.len()),
        back: cells(&undoing.first, say!("Values now and after the undo"), [say!("Now"), say!("Then")]),
        more_kept: more(undoing.kept.len(), SHOWN),
        kept: kept(&undoing.kept[..undoing.kept.len().min(SHOWN)]),
        undo: Act::post(format!("/changes/{id}/undo"), AT, latest.to_string()),
        leave: Act::Go(format!("/changes/{id}")),
    }
}

/// `41 cells go back, 3 stay: later changes own them.`
fn in_words(back: usize, kept: usize) -> String {
    let back = match back {
        0 => say!("Nothing goes back").to_owned(),
        1 => say!("1 cell goes back").to_owned(),
        back => say!("{back} cells go back", back),
    };
    match kept {
        0 => say!("{back}, and nothing stays.", back),
        1 => say!("{back}, 1 stays: a later change owns it.", back),
        kept => say!("{back}, {kept} stay: later changes own them.", back, kept),
    }
}

fn remarks(change: &RecordedChange) -> Vec<Remark> {
    let with = |say: &str, other: Option<i64>| Remark { say: say.to_owned(), change: other.map(link) };
    let undone = change.undone_by.map(|by| with(say!("It is taken back by"), Some(by.0)));
    let undoes = change.undoes.map(|of| with(say!("It took back"), Some(of.0)));
    let missing = change.missing.map(|missing| with(dealt_with(missing), None));
    undone.into_iter().chain(undoes).chain(missing).collect()
}

/// What was done with what a full sheet left out.
pub fn dealt_with(missing: Missing) -> &'static str {
    match missing {
        Missing::Keep => say!("What the sheet left out was kept as it was."),
        Missing::OutOfStock => say!("Sizes that the sheet left out were marked out of stock."),
        Missing::Retire => say!("Shoes that the sheet left out were retired."),
    }
}

fn cells(lines: &[LedgerLine], caption: &str, [before, after]: [&str; 2]) -> Table {
    Table {
        caption: caption.to_owned(),
        heads: [say!("Shoe or size"), say!("What"), before, after].map(Head::words).into(),
        rows: lines.iter().map(cell).collect(),
    }
}

fn cell(line: &LedgerLine) -> Vec<Cell> {
    if line.entity == Entity::Setting {
        return setting(line);
    }
    let shoe = line.key.split('/').next().unwrap_or_default();
    let named = Cell::text(&line.key).linked(format!("/shoes/{shoe}"));
    if line.is_of_the_row() {
        let there = |is: bool| Cell::text(if is { say!("in the catalogue") } else { say!("not there") });
        return vec![
            named,
            Cell::text(say!("itself")),
            there(line.before.is_some()),
            there(line.after.is_some()),
        ];
    }
    let shown = |value| Cell::text(or_not_given(&line.column, value));
    let from = if line.is_undo { String::new() } else { place(line) };
    let after = shown(line.after.as_ref());
    vec![
        named,
        Cell::text(name(&line.column)),
        shown(line.before.as_ref()),
        if from.is_empty() { after } else { after.below(from) },
    ]
}

/// What the shop has set: an item of the policy by its label, a size chart as it is kept.
fn setting(line: &LedgerLine) -> Vec<Cell> {
    let item = item(&line.column).filter(|_| line.key == POLICY);
    let of = match item {
        Some(item) => Cell::text(say!("House policy")).linked(format!("/policy#{}", item.topic.word())),
        None => Cell::text(line.key.replace("size-chart/", say!("size chart of "))),
    };
    let standing = |value: Option<&Value>| match (value, item) {
        (Some(value), _) => or_not_given("", Some(value)),
        (None, Some(item)) => say!("{standard} (the default)", standard = item.say(&HousePolicy::standard())),
        (None, None) => say!("none").to_owned(),
    };
    let what = item.map_or_else(
        || name(&line.column).to_owned(),
        |item| format!("{}: {}", words::of(item.topic.word()), words::of(item.label)),
    );
    vec![
        of,
        Cell::text(what),
        Cell::text(standing(line.before.as_ref())),
        Cell::text(standing(line.after.as_ref())),
    ]
}

fn kept(kept: &[Kept]) -> Table {
    Table {
        caption: say!("What stays, and why").to_owned(),
        heads: [say!("Shoe or size"), say!("What"), say!("Why")].map(Head::words).into(),
        rows: kept.iter().map(kept_row).collect(),
    }
}

fn kept_row(kept: &Kept) -> Vec<Cell> {
    let why = match kept.later {
        Some(later) => Cell::text(say!("later value from change {later}", later = later.0))
            .linked(format!("/changes/{}", later.0)),
        None => Cell::text(say!("values of other changes rest on it")),
    };
    let what = if kept.column == "key" { say!("itself") } else { name(&kept.column) };
    vec![Cell::text(&kept.key), Cell::text(what), why]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_and_what_stays_is_said_in_numbers() {
        assert_eq!(in_words(41, 3), "41 cells go back, 3 stay: later changes own them.");
        assert_eq!(in_words(1, 0), "1 cell goes back, and nothing stays.");
        assert_eq!(in_words(0, 1), "Nothing goes back, 1 stays: a later change owns it.");
    }

    #[test]
    fn a_change_without_cells_is_one_page() {
        assert_eq!([0, 1, 100, 101].map(pages), [1, 1, 1, 2]);
    }
}
