//! The order of a fitting as a map: what is looked for as a region, the worn pair as a cross.

use catalogue::measures::{Measure, Measures};
use catalogue::rank::{Band, Ranker};
use indexer::search::Hit;

use super::Visit;
use super::brief::band_in_words;
use crate::browse::stock_map::{Gathered, stack_in_words};
use crate::labels::NOT_GIVEN;
use crate::pages::stock_map::StockMapPage;
use crate::parts::Link;
use crate::parts::stock_map::{Region, StockMap};
use crate::words;

/// The map of these hits of an order.
pub fn page(visit: &Visit<'_>, ranker: &Ranker, hits: &[Hit]) -> StockMapPage {
    let landing = ranker.landing();
    let stack = stack_in_words(landing);
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let place = worn.as_ref().and_then(|worn| standing(worn, ranker));
    let (drop, high) = (ranker.brief().band(Measure::Drop), ranker.brief().band(Measure::LandingStack));
    let region = Region { drop: ends(drop), stack: ends(high) };
    let looked_for = say!(
        "Looking for a drop of {drop} and a {stack} of {high}.",
        drop = band_in_words(drop),
        stack,
        high = band_in_words(high)
    );
    let no_cross = worn.filter(|_| place.is_none()).map(|_| {
        say!(
            "The worn pair has no place on the map: its drop or its {stack} is {value}.",
            stack,
            value = words::of(NOT_GIVEN)
        )
    });
    let page = Gathered::of(visit.snapshot, hits, landing).page();
    let is_empty = page.map.places.is_empty();
    let nothing_left = hits.is_empty().then(|| say!("No shoe of this order passes every filter.").to_owned());
    StockMapPage {
        lead: say!(
            "The shoes of this order by drop and {stack}; the filters of the order hold here too.",
            stack
        ),
        said: [looked_for].into_iter().chain(no_cross).chain(nothing_left).collect(),
        map: StockMap {
            region: (!is_empty).then_some(region),
            worn: place.filter(|_| !is_empty),
            ..page.map
        },
        links: vec![
            Link::new(say!("Back to the order"), visit.href("")),
            Link::new(say!("Change the filters"), visit.href("?narrow=yes")),
        ],
        ..page
    }
}

fn standing(worn: &Measures, ranker: &Ranker) -> Option<(i32, i32)> {
    let stack = worn.landing_stack(ranker.landing())?;
    Some((worn.drop()?.in_tenths(), stack.in_tenths()))
}

const fn ends(band: &Band) -> (i32, i32) {
    (band.from, band.to)
}
