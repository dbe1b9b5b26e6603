//! One sheet before it is applied: how it was understood, what would change, what is wrong where.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::findings::Findings;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::table::Table;

/// The preview of a sheet.
#[derive(Clone, Debug)]
pub struct SheetPreviewPage {
    /// The file's name.
    pub sheet: String,
    /// `from Brackwater, partial, 412 rows`.
    pub facts: String,
    /// `UTF-8, separated by semicolons, decimal comma`: what was guessed, with the evidence.
    pub read_as: Vec<String>,
    /// New, changed, unchanged, held, missing.
    pub counts: Vec<Count>,
    /// Questions that must be settled first, in words; with any of them there is no *Apply*.
    pub undecided: Vec<String>,
    /// Heading, understood as, unit, an example of what was read and what it became.
    pub mapping: Table,
    /// The first of the changes: style, measure, before, after.
    pub changes: Table,
    /// `and 212 more`; empty when all are shown.
    pub more_changes: String,
    /// What is wrong where.
    pub findings: Findings,
    /// Posts Apply; `None` when nothing may or need be applied.
    pub apply: Option<Act>,
    /// Posts Leave.
    pub leave: Act,
}

/// One of the five counts.
#[derive(Clone, Debug)]
pub struct Count {
    /// `new`.
    pub label: String,
    /// How many rows.
    pub count: usize,
    /// What it means: `rows that wait for a mend`.
    pub means: String,
}

impl SheetPreviewPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        page(
            frame,
            "Sheet before it is applied",
            Width::Wide,
            &html! {
                (heading(&self.sheet, &self.facts))
                dl .counts {
                    @for count in &self.counts {
                        div { dt { (count.label) } dd { (count.count) small { (count.means) } } }
                    }
                }
                @for question in &self.undecided { p .remark { (question) } }
                (self.decide())
                h2 { "Findings" }
                (self.findings)
                h2 { "As understood" }
                ul .plain { @for guess in &self.read_as { li { (guess) } } }
                (self.mapping)
                (self.changed())
            },
        )
    }

    fn decide(&self) -> Markup {
        html! {
            div .buttons {
                @if let Some(apply) = &self.apply { (apply.button("Apply", "Apply this sheet", Tone::Main)) }
                (self.leave.button("Leave it", "Leave this sheet unapplied", Tone::Quiet))
            }
        }
    }

    fn changed(&self) -> Markup {
        html! {
            @if !self.changes.rows.is_empty() {
                h2 { "What would change" }
                (self.changes)
                @if !self.more_changes.is_empty() { p .soft { (self.more_changes) } }
            }
        }
    }
}
