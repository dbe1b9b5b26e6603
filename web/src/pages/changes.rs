//! The history: every change to the catalogue, each of which can be undone.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::pager::Pager;

/// The history.
#[derive(Clone, Debug)]
pub struct ChangesPage {
    /// What has just been done, in words: `The sheet was applied: 3 new, 41 changed.`
    pub done: Option<String>,
    /// The latest first.
    pub changes: Vec<Change>,
    /// The pager.
    pub pager: Pager,
}

/// One change.
#[derive(Clone, Debug)]
pub struct Change {
    /// Its number.
    pub id: String,
    /// `Import of range.csv from Brackwater`, `Undo of change 4`.
    pub what: String,
    /// `today, 08:10`.
    pub when: String,
    /// `3 new, 41 changed, 2 held`.
    pub counts: String,
    /// The details; `None` when there are none.
    pub href: Option<String>,
    /// Posts the undo; `None` when it is undone already, or a later change stands on it.
    pub undo: Option<Act>,
    /// Why it cannot be undone, or `undone by change 6`.
    pub remark: Option<String>,
}

impl ChangesPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = say!("Nothing is ever overwritten: an undo is a change of its own.");
        let body = html! {
            (heading(say!("Changes"), lead))
            @if let Some(done) = &self.done { p .announcement role="status" { (done) } }
            @if self.changes.is_empty() { p .lead { (say!("None yet. The first sheet makes one.")) } }
            ol .changes reversed { @for change in &self.changes { li { (change.view()) } } }
            (self.pager)
        };
        page(frame, say!("Changes"), Width::Wide, &body)
    }
}

impl Change {
    fn view(&self) -> Markup {
        let spoken = say!("Undo change {id}: {what}", id = self.id, what = self.what);
        html! {
            div {
                p { b { @match &self.href { Some(href) => a href=(href) { (self.what) }, None => (self.what) } } }
                p .soft { (say!("Change")) " " (self.id) " · " (self.when) @if !self.counts.is_empty() { " · " (self.counts) } }
                @if let Some(remark) = &self.remark { p .soft { (remark) } }
            }
            @if let Some(undo) = &self.undo { (undo.button(say!("Undo"), &spoken, Tone::Quiet)) }
        }
    }
}
