//! The history of the catalogue.

use indexer::proposal::Missing;
use indexer::store::{Receipt, RecordedChange};

use crate::pages::changes::{Change, ChangesPage};
use crate::parts::act::Act;
use crate::parts::pager::Pager;
use crate::visit::capital;
use crate::visit::date::minute;
use crate::visit::number_of;
use crate::words;

/// The field of Undo that says at which change the page was drawn: a second press is the same undo.
pub const AT: &str = "at";
/// Changes on one page.
const SHOWN: usize = 50;

/// One page of the history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Paged {
    page: usize,
    pages: usize,
    /// The number of the latest change, which is also how many there are.
    latest: i64,
}

impl Paged {
    /// The page that was asked for, or the last one where there are fewer.
    pub fn of(asked: usize, latest: i64) -> Self {
        let pages = usize::try_from(latest).unwrap_or_default().div_ceil(SHOWN).max(1);
        Self { page: asked.clamp(1, pages), pages, latest }
    }

    /// How many of the latest changes have to be known for it.
    pub fn reaches(self) -> usize {
        self.page * SHOWN
    }

    fn pager(self) -> Pager {
        let to = |page: usize| format!("/changes?page={page}");
        Pager {
            page: self.page,
            pages: self.pages,
            back: (self.page > 1).then(|| to(self.page - 1)),
            on: (self.page < self.pages).then(|| to(self.page + 1)),
        }
    }
}

/// The page; `newest` are the changes from the latest as far as the page reaches, `receipts` those of the counts among
/// [`shown`], `done` says what has just been done.
pub fn page(
    newest: &[RecordedChange],
    receipts: &[Receipt],
    paged: Paged,
    done: Option<String>,
) -> ChangesPage {
    let receipt = |change: &RecordedChange| receipts.iter().find(|receipt| receipt.change == change.id);
    let changes = shown(newest, paged).map(|change| line(change, receipt(change))).collect();
    ChangesPage { done, changes, pager: paged.pager() }
}

/// The changes that stand on a page.
pub fn shown(newest: &[RecordedChange], paged: Paged) -> impl Iterator<Item = &RecordedChange> {
    newest.iter().skip(paged.reaches() - SHOWN)
}

/// What a change did, as a sentence for whoever has just made it.
pub fn done(change: &RecordedChange) -> String {
    let id = change.id.0;
    match (change.rows, change.undoes) {
        (Some([_, new, changed, _, held, _]), _) => {
            say!(
                "The sheet was applied as change {id}: {new} new, {changed} changed, {held} held.",
                id,
                new,
                changed,
                held
            )
        }
        (_, Some(undoes)) => say!("Change {undoes} is taken back, as change {id}.", undoes = undoes.0, id),
        _ => say!("Done, as change {id}.", id),
    }
}

fn line(change: &RecordedChange, receipt: Option<&Receipt>) -> Change {
    let address = format!("/changes/{}", change.id.0);
    Change {
        id: change.id.0.to_string(),
        what: what(change),
        when: say!(
            "{when}, by {actor}{why}",
            when = minute(change.at),
            actor = words::of(&change.actor),
            why = because(change)
        ),
        counts: match (change.rows, receipt) {
            (Some(rows), _) => with_missing(change, rows),
            (None, Some(receipt)) => counted(receipt),
            (None, None) => values(change),
        },
        undo: (!change.undone).then(|| Act::Go(format!("{address}/undo"))),
        href: Some(address),
        remark: change.undone_by.map(|by| say!("taken back by change {by}", by = by.0)),
    }
}

/// What a change was: `Import of range.csv from Brackwater`.
pub fn what(change: &RecordedChange) -> String {
    match (&change.sheet, &change.supplier, change.undoes) {
        (Some(sheet), Some(supplier), _) => say!("Import of {sheet} from {supplier}", sheet, supplier),
        (_, _, Some(undoes)) => say!("Undo of change {undoes}", undoes = undoes.0),
        _ if change.kind == "policy" => say!("House policy").to_owned(),
        _ => match &change.said {
            Some((_, Some(of))) => {
                let of = of.strip_prefix("size-chart/").unwrap_or(of);
                say!("{kind} of {of}", kind = capital(words::of(&change.kind)), of)
            }
            _ => capital(words::of(&change.kind)),
        },
    }
}

/// `: our runners take longer`, where somebody said why.
pub fn because(change: &RecordedChange) -> String {
    change.why.as_ref().map_or_else(String::new, |why| format!(": “{why}”"))
}

/// `2 values`, of what a person said.
fn values(change: &RecordedChange) -> String {
    match change.said {
        None => String::new(),
        Some((1, _)) => say!("1 value").to_owned(),
        Some((values, _)) => say!("{values} values", values),
    }
}

fn with_missing(change: &RecordedChange, rows: [i64; 6]) -> String {
    let policy = match change.missing {
        Some(Missing::Keep) => say!(", kept"),
        Some(Missing::OutOfStock) => say!(", marked out of stock"),
        Some(Missing::Retire) => say!(", retired"),
        None => "",
    };
    format!("{}{policy}", counts(rows))
}

/// `12 sizes, 3 changed, 37 pairs`, of what was counted.
pub fn counted(receipt: &Receipt) -> String {
    let Receipt { sizes, changed, pairs, .. } = receipt;
    let sizes = number_of(*sizes as usize, say!("size"), say!("sizes"));
    let pairs = number_of(*pairs as usize, say!("pair"), say!("pairs"));
    say!("{sizes}, {changed} changed, {pairs}", sizes, changed, pairs)
}

/// How many rows of the sheet became what.
pub fn counts([rows, new, changed, unchanged, held, missing]: [i64; 6]) -> String {
    let missing = if missing > 0 { say!(", {missing} missing", missing) } else { String::new() };
    say!(
        "{rows} rows: {new} new, {changed} changed, {unchanged} unchanged, {held} held{missing}",
        rows,
        new,
        changed,
        unchanged,
        held,
        missing
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use indexer::store::ChangeId;

    fn change(id: i64, undoes: Option<i64>, undone: bool) -> RecordedChange {
        RecordedChange {
            id: ChangeId(id),
            kind: if undoes.is_some() { "undo" } else { "import" }.to_owned(),
            actor: "owner".to_owned(),
            at: 0,
            supplier: undoes.is_none().then(|| "Feldrast".to_owned()),
            sheet: undoes.is_none().then(|| "range.csv".to_owned()),
            rows: undoes.is_none().then_some([9, 3, 2, 3, 1, 0]),
            missing: None,
            said: None,
            why: None,
            undoes: undoes.map(ChangeId),
            undone,
            undone_by: None,
        }
    }

    #[test]
    fn a_page_beyond_the_last_is_the_last_and_every_change_is_on_one() {
        assert_eq!(Paged::of(2_000_000_000, 3), Paged::of(1, 3));
        let newest: Vec<_> = (1..=120).rev().map(|id| change(id, None, false)).collect();
        let ids = (1..=3).flat_map(|asked| {
            let paged = Paged::of(asked, 120);
            page(&newest[..paged.reaches().min(120)], &[], paged, None).changes
        });
        let expected: Vec<_> = (1..=120).rev().map(|id: i64| id.to_string()).collect();
        assert_eq!(ids.map(|change| change.id).collect::<Vec<_>>(), expected);
    }

    #[test]
    fn a_change_taken_back_names_the_undo_in_force_and_offers_no_other() {
        let newest = [
            change(4, Some(1), false),
            change(3, Some(2), false),
            change(2, Some(1), true),
            RecordedChange { undone_by: Some(ChangeId(4)), ..change(1, None, true) },
        ];
        let shown = page(&newest, &[], Paged::of(1, 4), None).changes;
        assert_eq!(shown[3].remark.as_deref(), Some("taken back by change 4"));
        assert!(shown[3].undo.is_none() && shown[0].undo.is_some());
    }

    #[test]
    fn a_count_says_how_many_sizes_it_saw_and_how_many_of_them_changed() {
        let count = |id| RecordedChange {
            kind: "count".to_owned(),
            sheet: None,
            rows: None,
            ..change(id, None, false)
        };
        let receipt = Receipt { change: ChangeId(2), sizes: 12, changed: 3, pairs: 37 };
        let one = Receipt { change: ChangeId(1), sizes: 1, changed: 0, pairs: 1 };
        let shown = page(&[count(2), count(1)], &[one, receipt], Paged::of(1, 2), None).changes;
        assert_eq!(
            (shown[0].what.as_str(), shown[0].counts.as_str()),
            ("Count", "12 sizes, 3 changed, 37 pairs")
        );
        assert_eq!(shown[1].counts, "1 size, 0 changed, 1 pair");
    }

    #[test]
    fn what_was_done_is_said_with_its_numbers() {
        assert_eq!(
            done(&change(5, None, false)),
            "The sheet was applied as change 5: 3 new, 2 changed, 1 held."
        );
        assert_eq!(done(&change(6, Some(5), false)), "Change 5 is taken back, as change 6.");
    }
}
