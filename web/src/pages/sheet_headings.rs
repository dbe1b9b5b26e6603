//! The headings of a sheet: one row a heading, what it feeds, and how its cells are written.

use maud::{Markup, Render, html};

use crate::parts::control::Select;

/// The headings, undecided ones first.
#[derive(Clone, Debug)]
pub struct Headings {
    /// `18 headings: 15 understood, 2 left out, 1 undecided`.
    pub short: String,
    /// The ones that are to be decided.
    pub undecided: Vec<HeadingRow>,
    /// The others, in the order of the sheet.
    pub decided: Vec<HeadingRow>,
    /// `Columns F to Q are sizes, EU 36 to EU 48: pairs stand in their cells.`
    pub runs: Vec<String>,
}

/// One heading.
#[derive(Clone, Debug)]
pub struct HeadingRow {
    /// `column D`, with the tab where there are several.
    pub place: String,
    /// As printed.
    pub heading: String,
    /// The first different texts below it, at most three.
    pub samples: Vec<String>,
    /// What is to be decided, or how it was understood.
    pub state: String,
    /// It has to be decided before the sheet can be applied.
    pub undecided: bool,
    /// What it feeds.
    pub feeds: Select,
    /// Columns it may be, each with score and reason.
    pub suggestions: Vec<String>,
    /// The unit of bare numbers, where it has one.
    pub unit: Option<Select>,
    /// The decimal mark, where it has one, and its evidence.
    pub mark: Option<(Select, String)>,
}

impl Render for Headings {
    fn render(&self) -> Markup {
        html! {
            h2 #headings { (say!("Headings")) }
            p .lead { (self.short) }
            @for run in &self.runs { p .soft { (run) } }
            @if !self.undecided.is_empty() {
                (table(say!("To decide"), &self.undecided))
                p .buttons { button .button type="submit" { (say!("Read it so")) } }
            }
            @if !self.decided.is_empty() {
                details .further {
                    summary { (say!("Headings that are decided: look, or change")) }
                    (table(say!("Decided"), &self.decided))
                    p .buttons { button .button .quiet type="submit" { (say!("Read it so")) } }
                }
            }
        }
    }
}

fn table(caption: &str, rows: &[HeadingRow]) -> Markup {
    html! {
        div .table tabindex="0" role="region" aria-label=(caption) {
            table .headings {
                caption .sr { (caption) }
                thead { tr { th scope="col" { (say!("Heading and first cells")) } th scope="col" { (say!("Is")) } th scope="col" { (say!("Unit and decimal mark")) } } }
                tbody { @for row in rows { (row) } }
            }
        }
    }
}

impl Render for HeadingRow {
    fn render(&self) -> Markup {
        html! {
            tr .undecided[self.undecided] {
                th scope="row" {
                    (self.heading) small { (self.place) }
                    @if !self.samples.is_empty() {
                        small .samples { @for sample in &self.samples { code { (sample) } " " } }
                    }
                }
                td {
                    @if self.undecided { strong .severity { (say!("to decide")) } }
                    small { (self.state) }
                    (self.feeds)
                    @for suggestion in &self.suggestions { small { (suggestion) } }
                }
                td {
                    @if let Some(unit) = &self.unit { (unit) }
                    @if let Some((mark, evidence)) = &self.mark { (mark) small { (evidence) } }
                }
            }
        }
    }
}
