//! The list of shoes: words, facets, ranges, and what was found.

use maud::{Markup, html};

use crate::labels::NOT_GIVEN;
use crate::parts::Link;
use crate::parts::chips::Chips;
use crate::parts::facets::Facet;
use crate::parts::layout::{Frame, Width, page};
use crate::parts::marked::Marked;
use crate::parts::pager::Pager;
use crate::parts::ranges::{RangeFacet, narrowing};
use crate::parts::remark::Remark;
use crate::parts::search_box::SearchBox;
use crate::parts::sole_line::SoleLine;
use crate::words;

/// The list of shoes. Its whole state is in its URL.
#[derive(Clone, Debug)]
pub struct ShoesPage {
    /// The box, filled with the words in force.
    pub search: SearchBox,
    /// `38 styles, 112 pairs in stock`.
    pub found: String,
    /// What became of the words: read as filters, looked for otherwise, left out.
    pub told: Vec<Remark>,
    /// Filters that were not understood and are left out, in words.
    pub warnings: Vec<String>,
    /// Filters in force.
    pub chips: Chips,
    /// Leads to the list without any filter; `None` when none is in force.
    pub clear: Option<String>,
    /// Groups of values.
    pub facets: Vec<Facet>,
    /// Measures.
    pub ranges: Vec<RangeFacet>,
    /// Orders to choose among: label, address, chosen.
    pub orders: Vec<(Link, bool)>,
    /// The rows of this page.
    pub rows: Vec<ShoeRow>,
    /// With nothing found: each filter with what the list would hold without it, most first.
    pub without: Vec<Link>,
    /// The pager.
    pub pager: Pager,
    /// The same list as `.json`, `.csv` and `.xlsx`.
    pub twins: Vec<Link>,
}

/// One shoe of the list.
#[derive(Clone, Debug)]
pub struct ShoeRow {
    /// The page of the shoe.
    pub href: String,
    /// The maker.
    pub maker: Marked,
    /// The name.
    pub name: Marked,
    /// Where else what was looked for stands: style number, colour, notes; the label and the text.
    pub found_in: Vec<(String, Marked)>,
    /// `262 g`, or `None`.
    pub mass: Option<String>,
    /// The drawing.
    pub sole: SoleLine,
    /// `road, daily; drop 8 mm; bends medium`: what is missing is named.
    pub facts: String,
    /// Shop note, plate, rocker, no longer supplied.
    pub remarks: Vec<String>,
    /// `€ 139`, or `None`.
    pub price: Option<String>,
    /// `7 pairs, EU 40 to 45`, or `none in stock`.
    pub stock: String,
    /// `bay C4`.
    pub place: Option<String>,
}

impl ShoesPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let title = match self.pager.page {
            1 => say!("Shoes").to_owned(),
            page => say!("Shoes, page {page}", page),
        };
        page(
            frame,
            &title,
            Width::Wide,
            &html! {
                                      h1 { (say!("Shoes")) }
                                  (self.search)
                                  (self.remarks())
                                  div .filters #filters { (self.chips) }
                                      div .list {
                                      div .results #results {
            h2 .sr { (say!("Shoes found")) }
                                              div .found {
                                                  p role="status" { b { (self.found) } }
                       a .to-narrow href="#narrow" { (say!("Narrow the list")) }
                                                  (self.order())
                                              }
                                              (self.results())
                                              (self.pager)
                                              @if !self.twins.is_empty() { p .twins { (say!("The same list:")) " " @for twin in &self.twins { (twin) " " } } }
                                      }
                                      (self.narrowing())
                                      }
                                  },
        )
    }

    fn remarks(&self) -> Markup {
        html! {
            @for remark in &self.told { (remark) }
            @for warning in &self.warnings { p .remark { (warning) } }
        }
    }

    fn narrowing(&self) -> Markup {
        narrowing(&self.found, self.clear.as_deref(), &self.facets, &self.ranges)
    }

    fn order(&self) -> Markup {
        html! {
            @if !self.orders.is_empty() {
                p .orders {
                    (say!("Order:")) " "
                    @for (link, chosen) in &self.orders {
                        a href=(link.href) aria-current=[chosen.then_some("true")] { (link.label) } " "
                    }
                }
            }
        }
    }

    fn results(&self) -> Markup {
        html! {
            @if self.rows.is_empty() {
                p .lead { (say!("No shoe passes every filter.")) }
                @if !self.without.is_empty() {
                    ul .plain { @for link in &self.without { li { (link) } } }
                }
            } @else {
                ol .rows .shoes { @for row in &self.rows { (row.view()) } }
            }
        }
    }
}

impl ShoeRow {
    /// The row, an item of a list.
    pub fn view(&self) -> Markup {
        html! {
            li .row {
                div .drawing { (self.sole) }
                div .words {
                    h3 {
                        a href=(self.href) { (self.maker) " " (self.name) } " "
                        span .mass { (self.mass.as_deref().unwrap_or(say!("weight not given"))) }
                    }
                    p .facts { (self.facts) }
                    @if !self.found_in.is_empty() {
                        p .facts { @for (label, text) in &self.found_in { span .found-in { (label) ": " (text) } " " } }
                    }
                    p .remarks { @for remark in &self.remarks { span { (remark) } } }
                }
                div .stock {
                    p .price { @match &self.price { Some(p) => (p), None => span .soft { (say!("price")) " " (words::of(NOT_GIVEN)) } } }
                    p .pairs { (self.stock) }
                    @if let Some(place) = &self.place { p .place { (place) } }
                }
            }
        }
    }
}
