//! One sheet before it is applied: how it was understood, what would change, what is wrong where.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::fields::{Choice, radio};
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
    /// Questions that must be settled first; with any of them `apply` is `None`.
    pub undecided: Option<Settle>,
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

/// The form that settles what the sheet left open.
#[derive(Clone, Debug)]
pub struct Settle {
    /// Where the answers are posted.
    pub action: String,
    /// One a heading.
    pub questions: Vec<Undecided>,
}

/// One question about a heading.
#[derive(Clone, Debug)]
pub struct Undecided {
    /// The name posted.
    pub name: String,
    /// `“Stiffness” in column H: which kind is it?`
    pub say: String,
    /// Column keys or answers as values; *leave it out* among them where it may be left out.
    pub choices: Vec<Choice>,
    /// The value chosen so far, blank for none.
    pub chosen: String,
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
        let body = html! {
            (heading(&self.sheet, &self.facts))
            dl .counts {
                @for count in &self.counts {
                    div { dt { (count.label) } dd { (count.count) small { (count.means) } } }
                }
            }
            @if let Some(settle) = &self.undecided { (settle.view()) }
            (self.decide())
            h2 { "Findings" }
            (self.findings)
            h2 { "As understood" }
            ul .plain { @for guess in &self.read_as { li { (guess) } } }
            (self.mapping)
            (self.changed())
        };
        page(frame, "Sheet before it is applied", Width::Wide, &body)
    }

    fn decide(&self) -> Markup {
        html! {
            div .buttons {
                @if let Some(apply) = &self.apply { (apply.button("Apply", "Apply this sheet", Tone::Main)) }
                (self.leave.button("Leave it", "Leave it: nothing of this sheet is stored", Tone::Quiet))
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

impl Settle {
    fn view(&self) -> Markup {
        html! {
            form .settle method="post" action=(self.action) autocomplete="off" {
                h2 { "To settle first" }
                @for question in &self.questions { (question.view()) }
                p .buttons { button .button type="submit" { "Settle" } }
            }
        }
    }
}

impl Undecided {
    fn view(&self) -> Markup {
        html! {
            fieldset .field id=(self.name) {
                legend { (self.say) }
                div .choices {
                    @for choice in &self.choices { (radio(&self.name, choice, self.chosen == choice.value)) }
                }
            }
        }
    }
}
