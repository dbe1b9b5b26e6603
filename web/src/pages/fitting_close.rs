//! Closing a fitting: asked once, because it leaves nothing behind.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};

/// The question before a fitting is closed.
#[derive(Clone, Debug)]
pub struct ClosePage {
    /// `Blue Heron`.
    pub name: String,
    /// What goes with it: `the runner's answers, 3 shoes brought out`.
    pub loses: String,
    /// Posts the close.
    pub close: Act,
    /// Back to the order.
    pub back: Link,
}

impl ClosePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&format!("Close {}?", self.name), "It was never stored, and nothing of it is kept."))
            p { "What goes: " (self.loses) "." }
            div .buttons {
                (self.close.button("Close the fitting", &format!("Close the fitting {}", self.name), Tone::Main))
                a .button .quiet href=(self.back.href) { (self.back.label) }
            }
        };
        page(frame, "Close the fitting", Width::Narrow, &body)
    }
}
