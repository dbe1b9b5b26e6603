//! What replaces a shoe, and the shoes in stock that are like it. It compares shoes: no runner is asked, and no row says
//! that a shoe suits anybody.

use catalogue::measures::{Landing, Measure, Measures};
use catalogue::similar::{Distance, Kind};
use catalogue::stock::Quantity;
use indexer::similar::Replacement;
use indexer::snapshot::{Group, Snapshot, StyleCard};
use indexer::words::Told;

use super::list;
use crate::pages::shoe_similar::{Alike, Replaced};
use crate::pages::shoes::ShoeRow;
use crate::parts::Link;
use crate::visit::{deltas, listed, pairs, shoe};
use crate::words;

/// At most this many are offered.
pub const MOST: usize = 5;

/// Both for the page of a shoe.
pub fn alike(card: &StyleCard<'_>, snapshot: &Snapshot) -> Alike {
    let key = &card.style.key;
    let gone = card.style.retired || !is_in_stock(card);
    let (replaced, similar) = match gone.then(|| snapshot.what_replaces(key, MOST)) {
        None => (None, snapshot.similar(key, MOST)),
        Some(Replacement::NobodySays(similar)) => (Some(nobody_says(!similar.is_empty())), similar),
        Some(Replacement::Said { chain, pairs }) => {
            let mut similar = snapshot.similar(key, MOST + 1);
            similar.retain(|similar| chain.last().is_none_or(|newest| newest.row != similar.card.row));
            similar.truncate(MOST);
            let below = pairs.is_none() && !similar.is_empty();
            (said(&chain, pairs, below, card, snapshot), similar)
        }
    };
    Alike {
        replaced,
        none: similar.is_empty().then(|| nothing_like(&card.measures)),
        not_given: not_given(card),
        rows: similar.iter().map(|like| row(&like.card, card, Some(&like.distance), snapshot)).collect(),
        twin: Link::new(say!("This list as JSON"), format!("{}/similar.json", shoe::href(card.style))),
    }
}

fn is_in_stock(card: &StyleCard<'_>) -> bool {
    card.skus.iter().any(|sku| sku.quantity.is_some_and(Quantity::in_stock))
}

fn nobody_says(below: bool) -> Replaced {
    let say = if below {
        say!("No style says that it replaces this one. The nearest by measures stand below.")
    } else {
        say!("No style says that it replaces this one.")
    };
    Replaced { say: say.to_owned(), row: None }
}

/// The newest of those that say so, with the others in words.
fn said(
    chain: &[StyleCard<'_>],
    pairs: Option<u32>,
    below: bool,
    this: &StyleCard<'_>,
    snapshot: &Snapshot,
) -> Option<Replaced> {
    let (newest, before) = chain.split_last()?;
    let name = shoe::name(newest.style);
    let before: Vec<String> = before.iter().map(|card| shoe::name(card.style)).collect();
    let who = if before.is_empty() {
        say!("{name} replaces it.", name)
    } else {
        say!(
            "{name} is the newest that replaces it; between them came {others}.",
            name,
            others = listed(&before, say!("and"))
        )
    };
    let stocked = match pairs {
        Some(_) => "",
        None if below => say!(" No pair of it is in stock: the nearest by measures stand below."),
        None => say!(" No pair of it is in stock."),
    };
    let distance = Distance::between(&this.measures, &newest.measures, snapshot.policy());
    let row = row(newest, this, distance.as_ref(), snapshot);
    Some(Replaced { say: format!("{who}{stocked}"), row: Some(row) })
}

fn nothing_like(measures: &Measures) -> String {
    let say = if measures.drop().is_none() && measures.heel_stack().is_none() {
        say!("Neither drop nor heel stack of this shoe is given: no other can be called near to it.")
    } else {
        say!("No other shoe in stock that is made for the same comes near to it by measures.")
    };
    say.to_owned()
}

/// What this shoe does not say of what is compared.
fn not_given(card: &StyleCard<'_>) -> Option<String> {
    let measures = &card.measures;
    let silent = [
        (say!("Drop"), measures.drop().is_none()),
        (say!("Heel stack"), measures.heel_stack().is_none()),
        (say!("Forefoot stack"), measures.forefoot_stack().is_none()),
        (say!("Weight"), measures.mass().is_none()),
        (say!("Bending"), measures.bending().is_none()),
    ];
    let silent = silent.into_iter().filter(|(_, silent)| *silent).map(|(label, _)| words::lowered(label));
    let silent: Vec<String> = silent.chain(unsaid(Kind::of(card.style))).collect();
    (!silent.is_empty()).then(|| {
        say!(
            "Not given of this shoe: {join}. That leaves open how near others come, and keeps none out.",
            join = silent.join(", ")
        )
    })
}

/// Of audience, surface and purpose, what a shoe does not say.
fn unsaid(kind: Kind) -> impl Iterator<Item = String> {
    let silent = [
        (Group::Audience, kind.audience.is_none()),
        (Group::Surface, kind.surfaces.is_empty()),
        (Group::Purpose, kind.purposes.is_empty()),
    ];
    let silent = silent.into_iter().filter(|(_, silent)| *silent);
    silent.map(|(group, _)| words::lowered(words::of(group.label())))
}

/// A row as in the list of shoes, told by what differs from this shoe.
fn row(
    card: &StyleCard<'_>,
    this: &StyleCard<'_>,
    distance: Option<&Distance>,
    snapshot: &Snapshot,
) -> ShoeRow {
    let mass = distance.and_then(|distance| distance.line(Measure::Mass).difference);
    let brought = mass.is_some_and(|apart| Some(apart) != as_weighed(this, card));
    let kind = unsaid(Kind::of(card.style)).map(|group| say!("{group} not given", group));
    let brought = brought.then(|| say!("weight compared at one size").to_owned());
    let mut row = list::row_of(snapshot, card, &pairs::hit(card), &Told::default());
    row.remarks.extend(kind.chain(brought));
    row.facts = differs(&card.measures, &this.measures, mass);
    row
}

fn as_weighed(this: &StyleCard<'_>, card: &StyleCard<'_>) -> Option<i32> {
    Some(card.measures.mass()?.in_tenths() - this.measures.mass()?.in_tenths())
}

/// `2 mm less drop, 4 lower, 25 g lighter, one step stiffer`, by the difference of the masses as they were compared.
fn differs(shoe: &Measures, this: &Measures, mass: Option<i32>) -> String {
    let brought = this.mass().zip(mass).map(|(this, apart)| this.in_tenths() + apart);
    let mass = brought.or(shoe.mass().map(|mass| mass.in_tenths()));
    let measured = deltas::in_words(shoe, mass, Some(this), Landing::Mean);
    format!("{measured}, {}", deltas::bending(shoe, this))
}
