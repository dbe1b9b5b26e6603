//! To whose box a number belongs that nothing here carries: the shoe is looked for, then its size is chosen.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::layout::{Frame, Width, heading, page};

/// A number that waits for its size.
#[derive(Clone, Debug)]
pub struct AttachPage {
    /// The number: `00629104150021`; `None` where what was sent is none.
    pub code: Option<String>,
    /// What is wrong with the number, or what to do.
    pub lead: String,
    /// The words that were looked for.
    pub words: String,
    /// What was found: a sentence, before any words nothing.
    pub found: Option<String>,
    /// The shoes.
    pub shoes: Vec<AttachShoe>,
}

/// A shoe with its sizes.
#[derive(Clone, Debug)]
pub struct AttachShoe {
    /// Its name, leading to its page.
    pub shoe: Link,
    /// Its sizes: the form of each with the number filled in, and what is known of it.
    pub sizes: Vec<(Link, String)>,
}

impl AttachPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("Attach a number"), &self.lead))
            @if let Some(code) = &self.code { (self.search(code)) }
            @if let Some(found) = &self.found { p role="status" { (found) } }
            @for shoe in &self.shoes { (shoe.view()) }
        };
        page(frame, say!("Attach a number"), Width::Narrow, &body)
    }

    fn search(&self, code: &str) -> Markup {
        html! {
            form .search role="search" method="get" action="/scan/attach" {
                input type="hidden" name="code" value=(code);
                label for="q" { (say!("Find its shoe")) }
                p .hint #q-hint { (say!("Maker, name, style number or colour.")) }
                div .line {
                    input #q type="search" name="q" value=(self.words) autocomplete="off" autocapitalize="off"
                        spellcheck="false" aria-describedby="q-hint" autofocus[self.words.is_empty()];
                    button .button type="submit" { (say!("Search")) }
                }
            }
        }
    }
}

impl AttachShoe {
    fn view(&self) -> Markup {
        html! {
            section .group {
                h2 { (self.shoe) }
                ul .plain { @for (size, known) in &self.sizes { li { (size) " " span .soft { (known) } } } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::pages::sample;

    #[test]
    fn every_size_leads_to_its_form_with_the_number_in_it() {
        let html = sample::attach_page().view(&sample::frame(None)).into_string();
        assert!(html.contains("gtin=06291041500213") && html.contains("no number yet"));
    }
}
