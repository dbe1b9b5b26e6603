//! Why one shoe stands above another: line by line, with differences that add up.

use maud::{Markup, html};

use super::why::Choice;
use crate::parts::Link;
use crate::parts::layout::{Frame, Width, page};

/// Two shoes of one order. For the fitter.
#[derive(Clone, Debug)]
pub struct WhyAbovePage {
    /// The shoe that stands above.
    pub upper: AboveShoe,
    /// The shoe that stands below.
    pub lower: AboveShoe,
    /// What decided, a sentence each.
    pub say: Vec<String>,
    /// Line by line.
    pub rows: Vec<AboveRow>,
    /// `+2.5`: what the differences add up to.
    pub difference: String,
    /// Other shoes to set beside.
    pub beside: Choice,
    /// Back to the order.
    pub back: Link,
}

/// One of the two shoes.
#[derive(Clone, Debug)]
pub struct AboveShoe {
    /// Maker and name.
    pub name: String,
    /// The page why it stands where it stands.
    pub href: String,
    /// The page of the shoe, where each value tells its origin.
    pub page: String,
    /// `place 4 of 61 in this order`.
    pub place: String,
    /// `71.4`.
    pub total: String,
    /// `could be 68.9 to 73.9`; empty when nothing is open.
    pub interval: String,
}

/// One line of both.
#[derive(Clone, Debug)]
pub struct AboveRow {
    /// `Landing stack, under the heel`.
    pub label: String,
    /// Value and points of the upper shoe.
    pub upper: (String, String),
    /// Value and points of the lower shoe.
    pub lower: (String, String),
    /// Signed: what the upper shoe has more.
    pub difference: String,
    /// The policy, the rule, or what somebody asked for.
    pub rests: Link,
}

impl WhyAbovePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let (upper, lower) = (&self.upper, &self.lower);
        let body = html! {
            div .heading {
                h1 { (say!("Why")) " " (upper.name) " " (say!("stands above")) " " (lower.name) }
                @for shoe in [upper, lower] {
                    p .lead { a href=(shoe.href) { (shoe.name) } " · " (shoe.place) }
                }
            }
            @for say in &self.say { p .spoken { (say) } }
            (self.table())
            (self.beside)
            p { (self.back) }
        };
        page(frame, say!("Why above"), Width::Wide, &body)
    }

    fn table(&self) -> Markup {
        let (upper, lower) = (&self.upper, &self.lower);
        html! {
            div .table tabindex="0" role="region" aria-label=(say!("Both shoes line by line")) {
                table .sum {
                    caption { (say!("Line by line, of 100 points")) }
                    thead { tr {
                        th scope="col" { (say!("Line")) }
                        th scope="col" .number { (upper.name) } th scope="col" .number { (lower.name) }
                        th scope="col" .number { (say!("Difference")) } th scope="col" { (say!("Rests on")) }
                    } }
                    tbody { @for row in &self.rows { (row.view(upper, lower)) } }
                    tfoot { tr {
                        th scope="row" { (say!("In all")) }
                        (total(upper)) (total(lower))
                        td .number { b { (self.difference) } } td {}
                    } }
                }
            }
        }
    }
}

fn total(shoe: &AboveShoe) -> Markup {
    html! { td .number { b { (shoe.total) } @if !shoe.interval.is_empty() { small { (shoe.interval) } } } }
}

impl AboveRow {
    fn view(&self, upper: &AboveShoe, lower: &AboveShoe) -> Markup {
        let cell = |(value, points): &(String, String), shoe: &AboveShoe| {
            html! {
                td .number { (points) @if !value.is_empty() { small { a href=(shoe.page) { (value) } } } }
            }
        };
        html! {
            tr {
                th scope="row" { (self.label) }
                (cell(&self.upper, upper)) (cell(&self.lower, lower))
                td .number .differs[self.difference != "0.0"] { (self.difference) }
                td { (self.rests) }
            }
        }
    }
}
