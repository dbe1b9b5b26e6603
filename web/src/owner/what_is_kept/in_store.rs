//! What the file of the catalogue holds.

use indexer::keeping::FileKind;
use indexer::store::{Measured, Thing};

use super::{Facts, size, span};
use crate::pages::kept::{KeptPart, KeptThing};
use crate::visit::date::{day, minute};
use crate::visit::number_of;

/// The part of the page.
pub(super) fn part(facts: &Facts<'_>) -> KeptPart {
    let file =
        facts.folder.as_ref().and_then(|(_, files)| files.iter().find(|file| file.kind == FileKind::Store));
    let lead = file.map_or_else(String::new, |file| {
        say!(
            "One file with its log beside it ({names}): {size}, last written {when}.",
            names = file.names.join(", "),
            size = size(file.bytes),
            when = file.newest.map_or_else(String::new, minute)
        )
    });
    let heading = match file {
        Some(_) => say!("In the file of the catalogue"),
        None => say!("In the catalogue"),
    };
    KeptPart { heading: heading.to_owned(), lead, things: facts.things.iter().map(thing).collect() }
}

fn thing(measured: &Measured) -> KeptThing {
    let said = said(measured.thing);
    let how_much = match measured.thing {
        Thing::Tallies => span_of_days(measured),
        _ => span(measured.oldest, measured.newest),
    };
    let is_empty = measured.rows.iter().all(|(_, rows)| *rows == 0);
    let now = if is_empty { vec![how_much] } else { vec![counted(measured), how_much] };
    KeptThing { now, ..said }
}

fn span_of_days(measured: &Measured) -> String {
    match (measured.oldest, measured.newest) {
        (Some(oldest), Some(newest)) => {
            say!("oldest of {oldest}, newest of {newest}", oldest = day(oldest), newest = day(newest))
        }
        _ => say!("none yet").to_owned(),
    }
}

fn counted(measured: &Measured) -> String {
    let rows = |at: usize| measured.rows.get(at).map_or(0, |(_, rows)| *rows as usize);
    match measured.thing {
        Thing::Catalogue => say!(
            "{styles}, {sizes}; {by_hand} said by hand",
            styles = number_of(rows(0), say!("style"), say!("styles")),
            sizes = number_of(rows(1), say!("size"), say!("sizes")),
            by_hand = number_of(rows(2), say!("value"), say!("values"))
        ),
        Thing::Changes => say!(
            "{changes} with {lines}",
            changes = number_of(rows(0), say!("change"), say!("changes")),
            lines = number_of(rows(1) + rows(2) + rows(3), say!("line"), say!("lines"))
        ),
        Thing::Originals => number_of(rows(0), say!("sheet"), say!("sheets")),
        Thing::Settings | Thing::Readings | Thing::Tallies | Thing::Sums => {
            number_of(rows(0), say!("line"), say!("lines"))
        }
    }
}

/// What it is, how long it stays and what removes it. A new thing does not compile without.
fn said(thing: Thing) -> KeptThing {
    let [name, says, how_long, removed_by] = match thing {
        Thing::Catalogue => [
            say!("The catalogue"),
            say!("Shoes, sizes, pairs, prices and places in the shop, and which of it was said by hand."),
            say!("Until a sheet, a count or a correction says otherwise."),
            say!("Taking a change back removes what it brought."),
        ],
        Thing::Settings => [
            say!("What the shop has set"),
            say!("The numbers of the policy, makers’ size charts and the shop’s synonyms, where they are not as the program brings them."),
            say!("Until they are set otherwise."),
            say!("Setting them back on their pages, or taking the change back."),
        ],
        Thing::Changes => [
            say!("The history of changes"),
            say!("Every change: when it was made, by whom of the staff, why if they said so, and each value before and after. A name stays here when its account is removed."),
            say!("As long as the catalogue."),
            say!("Nothing: it is only added to. A backup that is restored is without the changes after it."),
        ],
        Thing::Originals => [
            say!("The sheets as they came"),
            say!("Each sheet that was applied, byte for byte, with all of its columns, also those that are not read, such as trade prices."),
            say!("As long as the catalogue, also when the sheet is taken back."),
            say!("Nothing."),
        ],
        Thing::Readings => [
            say!("How sheets were read"),
            say!("By supplier and headings: which column was taken for what."),
            say!("Until the next sheet with the same headings."),
            say!("Applying that sheet writes it anew."),
        ],
        Thing::Tallies => [
            say!("What was counted in the fitting room"),
            say!("How often a shoe slipped or pinched, a size was wanted, a box was not found: by shoe and day, without saying of whom."),
            say!("Until it is dealt with."),
            say!("“Dealt with” on the owner’s day; for a box also counting or finding it."),
        ],
        Thing::Sums => [
            say!("Sums against damage"),
            say!("Over each table and each change, by which a bit that has tipped on the disk is found."),
            say!("As long as the catalogue."),
            say!("Written anew with every change."),
        ],
    }
    .map(str::to_owned);
    KeptThing { name, says, how_long, removed_by, ..KeptThing::default() }
}
