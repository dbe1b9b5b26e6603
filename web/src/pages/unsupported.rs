//! What studies do not carry: beliefs as they are heard in a shop, and what was found instead.

use maud::{Markup, html};

use super::rules::Basis;
use crate::parts::layout::{Frame, Width, heading, page};

/// The beliefs.
#[derive(Clone, Debug)]
pub struct UnsupportedPage {
    /// In the order in which they are met.
    pub beliefs: Vec<BeliefEntry>,
}

/// One belief.
#[derive(Clone, Debug)]
pub struct BeliefEntry {
    /// Its anchor.
    pub id: String,
    /// As it is heard.
    pub belief: String,
    /// What was found.
    pub basis: Basis,
}

impl UnsupportedPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead =
            say!("Heard in shops, and not scored here: what was found, in whom, and what it leaves open.");
        let body = html! {
            (heading(say!("What studies do not carry"), lead))
            p { a href="/rules" { (say!("The rules")) } " · " a href="/sources" { (say!("The sources")) } }
            @for belief in &self.beliefs {
                section .rule id=(belief.id) {
                    h2 { "“" (belief.belief) "”" }
                    (belief.basis)
                }
            }
        };
        page(frame, say!("What studies do not carry"), Width::Narrow, &body)
    }
}
