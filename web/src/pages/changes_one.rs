//! One change: its cells, and what it took back or what took it back.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::pager::Pager;
use crate::parts::table::Table;

/// One change.
#[derive(Clone, Debug)]
pub struct ChangePage {
    /// `Change 4: import of range.csv from Brackwater`.
    pub title: String,
    /// When, by whom, how many rows.
    pub facts: String,
    /// What it took back, what took it back, what was done with what was missing: one sentence each.
    pub remarks: Vec<Remark>,
    /// The cells it wrote: shoe or size, what, before, after.
    pub cells: Table,
    /// The pager of the cells.
    pub pager: Pager,
    /// For an undo: what it left alone, and the later change that owns it.
    pub kept: Table,
    /// Leads to the undo; `None` when it is taken back already.
    pub undo: Option<Act>,
}

/// A sentence about a change, with another change it speaks of.
#[derive(Clone, Debug)]
pub struct Remark {
    /// `It is taken back by`.
    pub say: String,
    /// The other change.
    pub change: Option<Link>,
}

impl ChangePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&self.title, &self.facts))
            @for remark in &self.remarks {
                p .remark { (remark.say) @if let Some(change) = &remark.change { " " (change) "." } }
            }
            div .buttons {
                @if let Some(undo) = &self.undo { (undo.button(say!("Undo it"), say!("Undo it: first see what would go back"), Tone::Quiet)) }
                a .button .quiet href="/changes" { (say!("All changes")) }
            }
            @if !self.kept.rows.is_empty() {
                h2 { (say!("What was kept")) }
                (self.kept)
            }
            h2 { (say!("What it wrote")) }
            @if self.cells.rows.is_empty() { p .lead { (say!("Nothing: every value was there already.")) } }
            @else { (self.cells) (self.pager) }
        };
        page(frame, &self.title, Width::Wide, &body)
    }
}
