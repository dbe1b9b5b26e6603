//! Two or three shoes beside the worn pair, drawn to one scale, differences in words.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::sole_line::SoleLine;
use crate::parts::table::Table;

/// A comparison: inside a fitting, or by URL without anything about a runner.
#[derive(Clone, Debug)]
pub struct ComparePage {
    /// The columns: the worn pair first where there is one.
    pub shoes: Vec<Compared>,
    /// A row a measure: unit in the first cell, one precision a row, the difference to the first column in words
    /// below the value, `differs` where it matters.
    pub measures: Table,
    /// Sentences that sum up: `Both are lower than the pair worn now; only the Marl keeps its drop.`
    pub said: Vec<String>,
    /// Too many, unknown, fewer than two: what is the matter, in words.
    pub warnings: Vec<String>,
    /// The same comparison to share, without the runner; `None` when this is it.
    pub share: Option<Link>,
    /// Only the rows that differ, or all of them.
    pub only_differences: Option<Link>,
    /// The card, inside a fitting.
    pub card: Option<Link>,
}

/// One column.
#[derive(Clone, Debug)]
pub struct Compared {
    /// Maker and name, or `Your pair now`.
    pub name: String,
    /// Its page; `None` for a worn pair that is not in the catalogue.
    pub href: Option<String>,
    /// The drawing, large, the worn pair over it.
    pub sole: SoleLine,
    /// `€ 139 · 42.5, 43 in stock`; empty for the worn pair.
    pub stock: String,
    /// Takes it out of the comparison.
    pub remove: Option<Act>,
    /// Chooses it, inside a fitting.
    pub choose: Option<Act>,
}

impl ComparePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading("Side by side", "All drawn to one scale: two pixels a millimetre."))
            @for warning in &self.warnings { p .remark { (warning) } }
            @for sentence in &self.said { p .summary { (sentence) } }
            div .compared { @for shoe in &self.shoes { (shoe.view()) } }
            @if !self.measures.rows.is_empty() { (self.measures) }
            (self.links())
        };
        page(frame, "Compare", Width::Wide, &body)
    }

    fn links(&self) -> Markup {
        html! {
            p .buttons {
                @if let Some(card) = &self.card { a .button href=(card.href) { (card.label) } }
                @for link in [&self.only_differences, &self.share].into_iter().flatten() {
                    a .button .quiet href=(link.href) { (link.label) }
                }
            }
        }
    }
}

impl Compared {
    fn view(&self) -> Markup {
        html! {
            section .one {
                div .named {
                    h2 { @match &self.href { Some(href) => a href=(href) { (self.name) }, None => (self.name) } }
                    @if !self.stock.is_empty() { p .soft { (self.stock) } }
                    div .buttons {
                        @if let Some(act) = &self.choose {
                            (act.button("Choose", &format!("Choose {}", self.name), Tone::Main))
                        }
                        @if let Some(act) = &self.remove {
                            (act.button("Take out", &format!("Take out {}", self.name), Tone::Quiet))
                        }
                    }
                }
                (self.sole)
            }
        }
    }
}
