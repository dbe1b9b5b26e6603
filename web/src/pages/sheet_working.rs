//! A sheet that is being read or applied: how far it is, and a way to call it off. The page asks again by itself.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};

/// A sheet at work.
#[derive(Clone, Debug)]
pub struct SheetWorkingPage {
    /// The file's name.
    pub sheet: String,
    /// `Reading: 41,000 rows so far.`
    pub say: String,
    /// What is not done yet, in words.
    pub promise: String,
    /// Looks again.
    pub again: String,
    /// Calls it off.
    pub cancel: Act,
}

impl SheetWorkingPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&self.sheet, &self.promise))
            p .summary role="status" { (self.say) }
            p { (say!("This page looks again every second.")) " " a href=(self.again) { (say!("Look now")) } }
            p .buttons { (self.cancel.button(say!("Cancel"), say!("Cancel: nothing of this sheet is stored"), Tone::Quiet)) }
        };
        page(frame, say!("A sheet at work"), Width::Narrow, &body)
    }
}
