//! Two or three shoes beside the worn pair, drawn to one scale, differences in words.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::beside_table::beside;
use crate::parts::dot_rows::{DotRows, Reading};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::qr::Qr;
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
    /// The same numbers, a drawing a measure, in the order of the table.
    pub charts: Vec<DotRows>,
    /// Too many, unknown, fewer than two: what is the matter, in words.
    pub warnings: Vec<Warning>,
    /// The same comparison to share, without the runner; `None` when this is it.
    pub share: Option<Link>,
    /// The whole address of what can be shared, for another device.
    pub on_a_phone: Option<Share>,
    /// Only the rows that differ, or all of them.
    pub only_differences: Option<Link>,
    /// Finds another shoe to set beside these; outside a fitting.
    pub add: Option<AddShoe>,
    /// The card, inside a fitting.
    pub card: Option<Link>,
}

/// What is the matter, and what can be done.
#[derive(Clone, Debug)]
pub struct Warning {
    /// A sentence.
    pub say: String,
    /// The next step, where there is one that a link can take.
    pub way: Option<Link>,
}

/// An address for the customer's own telephone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// The whole address; nothing about a runner is in it.
    pub address: String,
    /// The same as a square code; `None` where no other device can reach it, or where no code is that large.
    pub code: Option<Qr>,
    /// No other device can reach it.
    pub this_machine_only: bool,
}

/// The box that finds another shoe.
#[derive(Clone, Debug)]
pub struct AddShoe {
    /// The keys of the shoes that stay.
    pub shoes: Vec<String>,
    /// What was typed.
    pub words: String,
    /// What the words may mean, each leading to the comparison with it.
    pub found: Vec<Link>,
    /// Words were typed, and they mean no other shoe.
    pub none: bool,
    /// Whoever looks may look through all shoes.
    pub all: bool,
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

impl From<String> for Warning {
    fn from(say: String) -> Self {
        Self { say, way: None }
    }
}

impl ComparePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = if self.shoes.is_empty() {
            ""
        } else {
            say!("All soles are drawn to one scale; heights and drop in millimetres.")
        };
        let body = html! {
            (heading(say!("Side by side"), lead))
            @for warning in &self.warnings {
                p .remark { (warning.say) @if let Some(way) = &warning.way { " " (way) } }
            }
            @for sentence in &self.said { p .summary { (sentence) } }
            @if !self.shoes.is_empty() { div .compared { @for shoe in &self.shoes { (shoe.view()) } } }
            @if let Some(add) = &self.add { (add.view()) }
            (self.charts())
            @if !self.measures.rows.is_empty() { (beside(&self.measures)) }
            (self.links())
            @if let Some(share) = &self.on_a_phone { (share.view()) }
        };
        page(frame, say!("Compare"), Width::Wide, &body)
    }

    fn charts(&self) -> Markup {
        let rows = || self.charts.iter().flat_map(|chart| &chart.rows);
        let worn = rows().any(|row| row.worn);
        let spans = rows().any(|row| matches!(row.reading, Reading::Between { .. }));
        let band = self.charts.iter().any(|chart| chart.band.is_some());
        html! {
            @if !self.charts.is_empty() {
                h2 { (say!("Measure by measure")) }
                p .soft {
                    (say!("A dot is a shoe"))
                    @if worn { (say!(", a cross the pair worn now")) }
                    @if spans { (say!(", a closed line a value that lies between two")) }
                    @if band { (say!("; the dashed frame is what is looked for")) }
                    (say!(". An axis begins where its figures say. The table below holds the same numbers."))
                }
                div .dot-rows { @for chart in &self.charts { (chart) } }
            }
        }
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

impl Share {
    fn view(&self) -> Markup {
        html! {
            section .share {
                h2 { (say!("On the customer's own phone")) }
                @if self.this_machine_only {
                    p {
                        (say!("This page was opened by a name that only this machine knows. Open it by the address of the shop's")) " "
                        (say!("network, and a phone can follow it from here."))
                    }
                } @else {
                    p { (say!("These shoes without anything about a runner, on the network of the shop:")) }
                    @if let Some(code) = &self.code { (code) }
                    p { code { (self.address) } }
                }
            }
        }
    }
}

impl AddShoe {
    fn label(&self) -> &'static str {
        match self.shoes.len() {
            0 => say!("Find the first shoe"),
            1 => say!("Set another shoe beside it"),
            _ => say!("Set another shoe beside them"),
        }
    }

    fn view(&self) -> Markup {
        html! {
            form .search .add method="get" action="/compare" {
                @for shoe in &self.shoes { input type="hidden" name="shoe" value=(shoe); }
                label for="add" { (self.label()) }
                p .hint #add-hint { (say!("Maker, name or style number.")) }
                div .line {
                    input #add type="search" name="add" value=(self.words) autocomplete="off" autocapitalize="off"
                        spellcheck="false" aria-describedby="add-hint";
                    button .button .quiet type="submit" { (say!("Find")) }
                }
            }
            @if self.none {
                p .remark {
                    (say!("No other shoe has these words."))
                    @if self.all { " " a href="/shoes" { (say!("Look through all shoes")) } }
                }
            }
            @if !self.found.is_empty() {
                ul .plain { @for found in &self.found { li { (found) } } }
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
                            (act.button(say!("Choose"), &say!("Choose {name}", name = self.name), Tone::Main))
                        }
                        @if let Some(act) = &self.remove {
                            (act.button(say!("Take out"), &say!("Take out {name}", name = self.name), Tone::Quiet))
                        }
                    }
                }
                (self.sole)
            }
        }
    }
}
