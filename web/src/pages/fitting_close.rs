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
    /// What is counted for the owner, of the shoes alone: `Fennick Marl 3: heel slips`.
    pub counts: Vec<String>,
    /// Posts the close.
    pub close: Act,
    /// Back to the order.
    pub back: Link,
}

impl ClosePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&say!("Close {name}?", name = self.name), say!("It was never stored, and nothing of the runner is kept.")))
            p { (say!("What goes:")) " " (self.loses) "." }
            @if !self.counts.is_empty() {
                p { (say!("What is counted for the owner, without saying of whom:")) }
                ul { @for line in &self.counts { li { (line) } } }
            }
            div .buttons {
                (self.close.button(say!("Close the fitting"), &say!("Close the fitting {name}", name = self.name), Tone::Main))
                a .button .quiet href=(self.back.href) { (self.back.label) }
            }
        };
        page(frame, say!("Close the fitting"), Width::Narrow, &body)
    }
}
