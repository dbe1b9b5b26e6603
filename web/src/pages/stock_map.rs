//! The stock as a map, with the fields of the range that hold no shoe, what has no place on it, and its table.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::beside_table::beside;
use crate::parts::chips::Chips;
use crate::parts::facets::Facet;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::ranges::{RangeFacet, narrowing};
use crate::parts::stock_map::StockMap;
use crate::parts::table::Table;

/// The map: of the whole stock, or of the order of a fitting.
#[derive(Clone, Debug)]
pub struct StockMapPage {
    /// What it shows: `Every style in stock by its drop and its heel stack.`
    pub lead: String,
    /// `38 styles, 112 pairs in stock`.
    pub found: String,
    /// Sentences beside the map: what is looked for, why no region is drawn, that the worn pair has no place.
    pub said: Vec<String>,
    /// The drawing.
    pub map: StockMap,
    /// Fields of drop and stack with the styles and pairs in each; an empty one says so.
    pub fields: Option<Table>,
    /// What has no place, since its drop or its stack is not given.
    pub without_place: Vec<NoPlace>,
    /// As many more have none.
    pub more_without: usize,
    /// The drawing as a table, a row a place.
    pub places: Option<Table>,
    /// What narrows it; `None` inside a fitting, where the filters of the order hold.
    pub narrowing: Option<MapNarrowing>,
    /// Leads on: to the list, to the order.
    pub links: Vec<Link>,
}

/// A shoe without a place on the map.
#[derive(Clone, Debug)]
pub struct NoPlace {
    /// The shoe.
    pub shoe: Link,
    /// `drop 8 mm, heel stack not given; 6 pairs`.
    pub say: String,
}

/// Filters, whose whole state is in the address.
#[derive(Clone, Debug)]
pub struct MapNarrowing {
    /// In force.
    pub chips: Chips,
    /// Leads to the map without any.
    pub clear: Option<String>,
    /// Groups of values.
    pub facets: Vec<Facet>,
    /// Measures.
    pub ranges: Vec<RangeFacet>,
    /// With nothing found: what it would show without each filter.
    pub without: Vec<Link>,
}

impl StockMapPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("Stock map"), &self.lead))
            @match &self.narrowing {
                None => (self.shown()),
                Some(narrowing) => {
                    div .filters #filters { (narrowing.chips) }
                    div .list {
                        div .results #results { (self.shown()) (narrowing.ways_out()) }
                        (narrowing.view(&self.found))
                    }
                },
            }
        };
        page(frame, say!("Stock map"), Width::Wide, &body)
    }

    fn shown(&self) -> Markup {
        html! {
            div .found {
                p role="status" { b { (self.found) } }
                @if self.narrowing.is_some() { a .to-narrow href="#narrow" { (say!("Narrow the map")) } }
            }
            @for sentence in &self.said { p { (sentence) } }
            (self.map)
            (self.unplaced())
            @if let Some(fields) = &self.fields {
                h2 { (say!("Where the range has holes")) }
                (beside(fields))
            }
            @if let Some(places) = &self.places {
                details .further {
                    summary { (say!("The map as a table")) }
                    (places)
                }
            }
            @if !self.links.is_empty() {
                p .buttons { @for link in &self.links { a .button .quiet href=(link.href) { (link.label) } } }
            }
        }
    }

    fn unplaced(&self) -> Markup {
        html! {
            @if !self.without_place.is_empty() {
                h2 { (say!("Not on the map")) }
                p .soft { (say!("Their drop or their stack is not given, so that they have no place; none is put at zero.")) }
                ul .plain .unplaced {
                    @for shoe in &self.without_place { li { (shoe.shoe) " " span .soft { (shoe.say) } } }
                }
                @if self.more_without > 0 { p .soft { (say!("And")) " " (self.more_without) " " (say!("more.")) } }
            }
        }
    }
}

impl MapNarrowing {
    fn view(&self, found: &str) -> Markup {
        narrowing(found, self.clear.as_deref(), &self.facets, &self.ranges)
    }

    fn ways_out(&self) -> Markup {
        html! {
            @if !self.without.is_empty() {
                p .lead { (say!("No shoe passes every filter.")) }
                ul .plain { @for link in &self.without { li { (link) } } }
            }
        }
    }
}
