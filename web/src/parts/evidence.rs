//! What stands behind a rule: grade, who was studied, limits, sources.

use maud::{Markup, Render, html};

use crate::parts::Link;

/// The evidence of one rule.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// `moderate`, `limited`, `conflicting` …
    pub grade: String,
    /// Who was studied.
    pub studied: String,
    /// What it does not say.
    pub limits: String,
    /// Where it is published; each leads to the list of sources.
    pub sources: Vec<Link>,
}

impl Render for Evidence {
    fn render(&self) -> Markup {
        html! {
            dl .evidence {
                dt { (say!("Grade")) } dd { (self.grade) }
                dt { (say!("Studied")) } dd { (self.studied) }
                @if !self.limits.is_empty() { dt { (say!("Limits")) } dd { (self.limits) } }
                dt { (say!("Sources")) }
                dd {
                    @if self.sources.is_empty() { (say!("none: our house's view")) }
                    @for (place, source) in self.sources.iter().enumerate() { @if place > 0 { ", " } (source) }
                }
            }
        }
    }
}
