//! The box that searches the wall, and takes what a hand scanner types.

use maud::{Markup, Render, html};

/// The search box.
#[derive(Clone, Debug, Default)]
pub struct SearchBox {
    /// What was typed.
    pub words: String,
    /// The rest of the list's state, sorted, so that new words keep the filters.
    pub hidden: Vec<(String, String)>,
    /// It goes by way of the scan, which knows the numbers on boxes and hands on words.
    pub scans: bool,
    /// It takes the focus when the page arrives, so that a scan is not lost.
    pub focus: bool,
}

impl Render for SearchBox {
    fn render(&self) -> Markup {
        let (action, name) = if self.scans { ("/scan", "code") } else { ("/shoes", "q") };
        html! {
            form .search role="search" method="get" action=(action) {
                @for (name, value) in &self.hidden { input type="hidden" name=(name) value=(value); }
                label for="q" { (say!("Find a shoe")) }
                p .hint #q-hint { (say!("Maker, name, style number or colour; or scan the box.")) }
                div .line {
                    input #q type="search" name=(name) value=(self.words) autocomplete="off" autocapitalize="off"
                        spellcheck="false" aria-describedby="q-hint" autofocus[self.focus];
                    button .button type="submit" { (say!("Search")) }
                }
            }
        }
    }
}
