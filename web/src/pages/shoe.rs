//! One shoe: its drawing, its numbers with where each came from, its sizes in stock, and rules that speak of it.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, page};
use crate::parts::sole_line::SoleLine;
use crate::parts::table::Table;

/// One shoe.
#[derive(Clone, Debug)]
pub struct ShoePage {
    /// The maker.
    pub maker: String,
    /// The name.
    pub name: String,
    /// `Men's, road, daily and long · style AB-210 · autumn`: what is missing is named.
    pub facts: String,
    /// Shop note, no longer supplied, follows another: one sentence each.
    pub remarks: Vec<String>,
    /// The drawing, large; the worn pair over it inside a fitting.
    pub sole: SoleLine,
    /// Stated drop and stacks disagree, and other findings that stand: one sentence each.
    pub findings: Vec<String>,
    /// Measure, value or *not given*, and below the value the text it was read from and its sheet, row and column.
    pub specification: Table,
    /// The Minimalist Index with its interval, `52 of 100 (48 to 60: bending not given)`; for the fitter.
    pub minimalist_index: Option<String>,
    /// Colourway, size with its system, width, pairs, price, place.
    pub stock: Table,
    /// `7 pairs in stock`, or `none in stock`.
    pub stock_in_words: String,
    /// The supplier's notes.
    pub notes: Option<String>,
    /// Rules that speak of a measure of this shoe.
    pub rules: Vec<Link>,
    /// The shoe it follows, shoes that follow it, near twins.
    pub related: Vec<Link>,
    /// Set beside another; `Compare with …`.
    pub compare: Option<Link>,
    /// Bring it out, inside a fitting.
    pub bring_out: Option<Act>,
}

impl ShoePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let name = format!("{} {}", self.maker, self.name);
        let body = html! {
            div .heading {
                h1 { (name) }
                p .lead { (self.facts) }
                @for remark in &self.remarks { p .remark { (remark) } }
            }
            (self.drawing())
            (self.buttons(&name))
            div .columns {
                (self.measures())
                (self.sizes())
            }
            (self.more())
        };
        page(frame, &name, Width::Wide, &body)
    }

    fn drawing(&self) -> Markup {
        html! {
            figure .profile {
                (self.sole)
                figcaption { (self.sole.in_words()) "." }
            }
            @for finding in &self.findings { p .remark { (finding) } }
        }
    }

    fn buttons(&self, name: &str) -> Markup {
        html! {
            @if self.bring_out.is_some() || self.compare.is_some() {
                div .buttons {
                    @if let Some(act) = &self.bring_out {
                        (act.button("Bring out", &format!("Bring out {name}"), Tone::Main))
                    }
                    @if let Some(link) = &self.compare { a .button .quiet href=(link.href) { (link.label) } }
                }
            }
        }
    }

    fn measures(&self) -> Markup {
        html! {
            section aria-labelledby="measures" {
                h2 #measures { "Measures" }
                (self.specification)
                @if let Some(index) = &self.minimalist_index {
                    p .soft { "Minimalist Index: " (index) ". Shown, never scored." }
                }
            }
        }
    }

    fn sizes(&self) -> Markup {
        html! {
            section aria-labelledby="sizes" {
                h2 #sizes { "On the wall" }
                p .lead { (self.stock_in_words) }
                @if !self.stock.rows.is_empty() { (self.stock) }
            }
        }
    }

    fn more(&self) -> Markup {
        html! {
            @if let Some(notes) = &self.notes { h2 { "The supplier's words" } p { (notes) } }
            @if !self.rules.is_empty() {
                h2 { "Rules that speak of it" }
                ul .plain { @for rule in &self.rules { li { (rule) } } }
            }
            @if !self.related.is_empty() {
                h2 { "Beside it" }
                ul .plain { @for shoe in &self.related { li { (shoe) } } }
            }
        }
    }
}
