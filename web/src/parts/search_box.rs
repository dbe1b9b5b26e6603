//! The box that searches the wall, and takes what a hand scanner types.

use maud::{Markup, Render, html};

/// The search box.
#[derive(Clone, Debug, Default)]
pub struct SearchBox {
    /// What was typed.
    pub words: String,
    /// The rest of the list's state, sorted, so that new words keep the filters.
    pub hidden: Vec<(String, String)>,
    /// It takes the focus when the page arrives, so that a scan is not lost.
    pub focus: bool,
}

impl Render for SearchBox {
    fn render(&self) -> Markup {
        html! {
            form .search role="search" method="get" action="/shoes" {
                @for (name, value) in &self.hidden { input type="hidden" name=(name) value=(value); }
                label for="q" { "Find a shoe" }
                p .hint #q-hint { "Maker, name, style number or colour; or scan the box." }
                div .line {
                    input #q type="search" name="q" value=(self.words) autocomplete="off" autocapitalize="off"
                        spellcheck="false" aria-describedby="q-hint" autofocus[self.focus];
                    button .button type="submit" { "Search" }
                }
            }
        }
    }
}
