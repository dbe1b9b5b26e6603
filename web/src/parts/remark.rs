//! A remark on what was asked, and what can be done about it.

use maud::{Markup, Render, html};

use crate::parts::Link;

/// A sentence with its links.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Remark {
    /// `Including results for “Marl”.`
    pub say: String,
    /// `Only “marrl”`.
    pub links: Vec<Link>,
}

impl Render for Remark {
    fn render(&self) -> Markup {
        html! {
            p .remark {
                (self.say)
                @for link in &self.links { " " a href=(link.href) { (link.label) } }
            }
        }
    }
}
