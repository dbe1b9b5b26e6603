//! Pages of a list: where one is, one back, one on.

use maud::{Markup, Render, html};

/// The pager of a list.
#[derive(Clone, Debug)]
pub struct Pager {
    /// This page, from 1.
    pub page: usize,
    /// How many there are.
    pub pages: usize,
    /// The page before.
    pub back: Option<String>,
    /// The page after.
    pub on: Option<String>,
}

impl Render for Pager {
    fn render(&self) -> Markup {
        html! {
            @if self.pages > 1 {
                nav .pager aria-label=(say!("Pages")) {
                    @if let Some(href) = &self.back { a .button .quiet rel="prev" href=(href) { (say!("Back")) } }
                    span { (say!("Page")) " " (self.page) " " (say!("of")) " " (self.pages) }
                    @if let Some(href) = &self.on { a .button .quiet rel="next" href=(href) { (say!("On")) } }
                }
            }
        }
    }
}
