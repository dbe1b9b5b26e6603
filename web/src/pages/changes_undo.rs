//! Before a change is taken back: what would go, and what would stay.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::table::Table;

/// The question before an undo.
#[derive(Clone, Debug)]
pub struct UndoPage {
    /// `Take back change 4?`
    pub title: String,
    /// What the change was.
    pub what: String,
    /// `41 cells go back, 3 stay: later changes own them.`
    pub say: String,
    /// The first of the cells that go back: shoe or size, what, now, then.
    pub back: Table,
    /// `and 212 more`; empty when all are shown.
    pub more_back: String,
    /// What stays, and the later change that owns it.
    pub kept: Table,
    /// `and 212 more`; empty when all are shown.
    pub more_kept: String,
    /// Takes it back.
    pub undo: Act,
    /// The page of the change.
    pub leave: Act,
}

impl UndoPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&self.title, &self.what))
            p { b { (self.say) } " " (say!("The undo is a change of its own and can be taken back too.")) }
            div .buttons {
                (self.undo.button(say!("Take it back"), &say!("Take it back. {title}", title = self.title), Tone::Main))
                (self.leave.button(say!("Leave it"), say!("Leave it as it is"), Tone::Quiet))
            }
            @if !self.kept.rows.is_empty() {
                h2 { (say!("What stays")) }
                (self.kept)
                @if !self.more_kept.is_empty() { p .soft { (self.more_kept) } }
            }
            @if !self.back.rows.is_empty() {
                h2 { (say!("What goes back")) }
                (self.back)
                @if !self.more_back.is_empty() { p .soft { (self.more_back) } }
            }
        };
        page(frame, &self.title, Width::Wide, &body)
    }
}
