//! The stock by drop and stack: places with what stands at each, fields of the range, and what has no place.

use std::collections::BTreeMap;

use catalogue::measures::Landing;
use indexer::search::{Choice, Hit, Results, Search};
use indexer::snapshot::{Group, Snapshot, StyleCard};

use super::narrow::{self, Doors, SHOES};
use crate::labels::NOT_GIVEN;
use crate::pages::stock_map::{MapNarrowing, NoPlace, StockMapPage};
use crate::parts::Link;
use crate::parts::dot_rows::Reading;
use crate::parts::stock_map::{Place, StockMap};
use crate::parts::table::{Cell, Head, Table};
use crate::request::shoes::ShoesQuery;
use crate::visit::beside::drop_span;
use crate::visit::shoe::{self, plain};
use crate::visit::{capital, number_of};
use crate::words;

/// The address of the map.
pub const STOCK_MAP: &str = "/stock-map";
/// As many shoes without a place are named.
const MOST_NAMED: usize = 60;
/// As many shoes are named at one place of the table.
const MOST_AT_A_PLACE: usize = 4;
/// Where a field of the range begins, in tenths of mm, with its words: the bands of the list's own facets.
const DROPS: [(i32, &str); 4] = [
    (i32::MIN, word!("Drop 0-2 mm")),
    (30, word!("Drop 3-5 mm")),
    (60, word!("Drop 6-8 mm")),
    (90, word!("Drop 9 mm and more")),
];
const STACKS: [(i32, &str); 5] = [
    (i32::MIN, word!("under 20 mm")),
    (200, word!("20-27 mm")),
    (280, word!("28-35 mm")),
    (360, word!("36-40 mm")),
    (401, word!("over 40 mm")),
];

/// Shoes by where they stand.
pub struct Gathered<'s> {
    stack: &'static str,
    landing: Landing,
    placed: BTreeMap<Key, Vec<(StyleCard<'s>, u32)>>,
    unplaced: Vec<(StyleCard<'s>, u32)>,
}

/// A place, highest stack first: stack, drop and, where the sheet contradicts itself, both ends of the drop.
type Key = (std::cmp::Reverse<i32>, i32, Option<(i32, i32)>);

/// Which stack stands upwards, in words.
pub fn stack_in_words(landing: Landing) -> &'static str {
    match landing {
        Landing::Heel => say!("heel stack"),
        Landing::Forefoot => say!("forefoot stack"),
        Landing::Mean => say!("mean of heel and forefoot stack"),
    }
}

/// Every style in stock that passes the filters.
pub fn search(asked: &ShoesQuery) -> Search {
    let mut search = Search { limit: None, offset: 0, ..asked.search() };
    search.choices.insert(Group::Stock, Choice::of(&["yes"]));
    search
}

/// The page of the whole stock.
pub fn page(asked: &ShoesQuery, results: &Results, snapshot: &Snapshot) -> StockMapPage {
    let gathered = Gathered::of(snapshot, &results.hits, Landing::Heel);
    let results = &without_stock(results);
    // What is not in stock is never on the map, so that this filter is not offered.
    let offered = narrow::plain_groups(results).filter(|group| group.group != Group::Stock);
    let doors = Doors::Links(STOCK_MAP);
    let narrowing = MapNarrowing {
        chips: narrow::chips(asked, results, STOCK_MAP),
        clear: narrow::clear(asked, STOCK_MAP),
        facets: offered
            .map(|group| narrow::facet(asked, group, &doors, narrow::stands_open(group)))
            .collect(),
        ranges: narrow::ranges(asked, results, &doors),
        without: if results.total == 0 {
            narrow::without(asked, results, STOCK_MAP, |other| narrow::total(search(other), snapshot))
        } else {
            Vec::new()
        },
    };
    let empty = snapshot.styles().is_empty().then(|| {
        say!("The catalogue is empty: import a supplier's range sheet, then a stock sheet, under Sheets.")
            .to_owned()
    });
    StockMapPage {
        lead: say!("Every style in stock by its drop and its heel stack.").to_owned(),
        said: empty.into_iter().collect(),
        narrowing: Some(narrowing),
        links: vec![Link::new(
            say!("The same shoes as a list"),
            asked.with(Group::Stock.key(), "yes").href(SHOES),
        )],
        ..gathered.page()
    }
}

/// The answer without the filter that is always in force here.
fn without_stock(results: &Results) -> Results {
    let mut results = Results { hits: Vec::new(), ..results.clone() };
    results.hidden.retain(|(group, _)| *group != Group::Stock);
    results
}

impl<'s> Gathered<'s> {
    /// The shoes of these hits, with the pairs that match.
    pub fn of(snapshot: &'s Snapshot, hits: &[Hit], landing: Landing) -> Self {
        let mut gathered =
            Self { stack: stack_in_words(landing), landing, placed: BTreeMap::new(), unplaced: Vec::new() };
        for hit in hits.iter().filter(|hit| hit.pairs > 0) {
            let Some(card) = snapshot.card(hit.row) else { continue };
            match place(&card, landing) {
                Some(key) => gathered.placed.entry(key).or_default().push((card, hit.pairs)),
                None => gathered.unplaced.push((card, hit.pairs)),
            }
        }
        gathered
    }

    /// All of the page that follows from the shoes; what surrounds it is the caller's.
    pub fn page(&self) -> StockMapPage {
        let is_empty = self.placed.is_empty();
        StockMapPage {
            lead: String::new(),
            found: self.found(),
            said: Vec::new(),
            map: self.map(),
            fields: (!is_empty).then(|| self.fields()),
            without_place: self.unplaced.iter().take(MOST_NAMED).map(|shoe| self.no_place(shoe)).collect(),
            more_without: self.unplaced.len().saturating_sub(MOST_NAMED),
            places: (!is_empty).then(|| self.places()),
            narrowing: None,
            links: Vec::new(),
        }
    }

    fn found(&self) -> String {
        let all = || self.placed.values().flatten().chain(&self.unplaced);
        let pairs: u32 = all().map(|(_, pairs)| pairs).sum();
        let on_it: usize = self.placed.values().map(Vec::len).sum();
        let on_map =
            if self.unplaced.is_empty() { String::new() } else { say!(", {on_it} on the map", on_it) };
        say!(
            "{all}{on_map}, {pairs} in stock",
            all = number_of(all().count(), say!("style"), say!("styles")),
            on_map,
            pairs = number_of(pairs as usize, say!("pair"), say!("pairs"))
        )
    }

    fn map(&self) -> StockMap {
        let place = |((stack, drop, span), shoes): (&Key, &Vec<(StyleCard<'_>, u32)>)| Place {
            drop: *drop,
            stack: stack.0,
            span: *span,
            pairs: shoes.iter().map(|(_, pairs)| pairs).sum(),
        };
        StockMap {
            stack: format!("{}, mm", capital(self.stack)),
            places: self.placed.iter().map(place).collect(),
            region: None,
            worn: None,
        }
    }

    fn no_place(&self, (card, pairs): &(StyleCard<'_>, u32)) -> NoPlace {
        let said = |mm: Option<catalogue::units::Mm>| {
            mm.map_or_else(|| words::of(NOT_GIVEN).to_owned(), words::number)
        };
        NoPlace {
            shoe: shoe::link(card.style),
            say: say!(
                "drop {drop}, {stack} {landing}; {pairs}",
                drop = said(card.measures.drop()),
                stack = self.stack,
                landing = said(card.measures.landing_stack(self.landing)),
                pairs = number_of(*pairs as usize, say!("pair"), say!("pairs"))
            ),
        }
    }

    /// The drawing as a table: a row a place, the shoes that stand there by name.
    fn places(&self) -> Table {
        let row = |((stack, drop, span), shoes): (&Key, &Vec<(StyleCard<'_>, u32)>)| {
            let pairs: u32 = shoes.iter().map(|(_, pairs)| pairs).sum();
            let drop = match span {
                None => Cell::text(plain(*drop)),
                Some((from, to)) => Cell::text(say!("{from} to {to}", from = plain(*from), to = plain(*to)))
                    .below(say!("{drop} ranks", drop = plain(*drop))),
            };
            vec![Cell::text(plain(stack.0)), drop, Cell::text(pairs.to_string()), names(shoes)]
        };
        Table {
            caption: say!("Styles and pairs in stock by stack and drop").to_owned(),
            heads: vec![
                Head::number(format!("{}, mm", capital(self.stack))),
                Head::number(say!("Drop, mm")),
                Head::number(say!("Pairs")),
                Head::words(say!("Styles")),
            ],
            rows: self.placed.iter().map(row).collect(),
        }
    }

    /// Fields of drop and stack, the highest stack first; a field without a shoe is a hole of the range.
    fn fields(&self) -> Table {
        let cell = |stack: usize, drop: usize| {
            let here = self
                .placed
                .iter()
                .filter(|((s, d, _), _)| field(&STACKS, s.0) == stack && field(&DROPS, *d) == drop);
            let (styles, pairs) = here
                .flat_map(|(_, shoes)| shoes)
                .fold((0, 0), |(styles, all), (_, pairs)| (styles + 1, all + *pairs as usize));
            match styles {
                0 => Cell::text(say!("No style")).differing(),
                _ => Cell::text(number_of(styles, say!("style"), say!("styles"))).below(number_of(
                    pairs,
                    say!("pair"),
                    say!("pairs"),
                )),
            }
        };
        let row = |stack: usize| {
            let head = Cell::text(format!("{} {}", capital(self.stack), words::of(STACKS[stack].1)));
            [head].into_iter().chain((0..DROPS.len()).map(|drop| cell(stack, drop))).collect()
        };
        let heads = DROPS.iter().map(|(_, words)| Head::number(words::of(words)));
        Table {
            caption: say!("Styles and pairs in each field of the range").to_owned(),
            heads: [Head::words(say!("Stack"))].into_iter().chain(heads).collect(),
            rows: (0..STACKS.len()).rev().map(row).collect(),
        }
    }
}

/// Where a shoe stands; `None` where its drop or its stack is not known.
fn place(card: &StyleCard<'_>, landing: Landing) -> Option<Key> {
    let drop = card.measures.drop()?.in_tenths();
    let stack = card.measures.landing_stack(landing)?.in_tenths();
    let span = match drop_span(&card.measures, Some(&card.style.specification)) {
        Some((Reading::Between { from, to, .. }, _)) => Some((from, to)),
        _ => None,
    };
    Some((std::cmp::Reverse(stack), drop, span))
}

/// The field a value falls into.
fn field(fields: &[(i32, &str)], tenths: i32) -> usize {
    fields.iter().rposition(|(from, _)| tenths >= *from).unwrap_or(0)
}

fn names(shoes: &[(StyleCard<'_>, u32)]) -> Cell {
    let named: Vec<String> =
        shoes.iter().take(MOST_AT_A_PLACE).map(|(card, _)| shoe::name(card.style)).collect();
    let more = shoes.len().saturating_sub(MOST_AT_A_PLACE);
    let cell = match shoes {
        [(only, _)] => Cell::text(shoe::name(only.style)).linked(shoe::href(only.style)),
        _ => Cell::text(named.join(", ")),
    };
    if more > 0 { cell.below(say!("and {more} more", more)) } else { cell }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_begins_where_the_bands_of_the_list_do() {
        let at = |tenths: i32| words::of(DROPS[field(&DROPS, tenths)].1);
        assert_eq!([at(-20), at(0), at(29)], ["Drop 0-2 mm"; 3]);
        assert_eq!([at(30), at(60), at(90)], ["Drop 3-5 mm", "Drop 6-8 mm", "Drop 9 mm and more"]);
        let at = |tenths: i32| words::of(STACKS[field(&STACKS, tenths)].1);
        assert_eq!([at(199), at(400), at(401)], ["under 20 mm", "36-40 mm", "over 40 mm"]);
    }
}
