//! The brief: what an order rests on, in the fitter's words, each entry leading to where it is changed.

use maud::{Markup, Render, html};

use crate::labels::NOT_ASKED;
use crate::words;

/// What the order rests on.
#[derive(Clone, Debug)]
pub struct Brief {
    /// In the order they are said: worn now, heading, looking for, drop, sizes, pain, and what else was answered.
    pub entries: Vec<BriefEntry>,
}

/// One answer, or the plain words that nobody asked.
#[derive(Clone, Debug)]
pub struct BriefEntry {
    /// `Worn now`, `Heading`, `Pain`.
    pub term: String,
    /// `38 / 30 mm, drop 8, 280 g`; `None` when it was not asked. Never the body mass.
    pub says: Option<String>,
    /// Where it is changed.
    pub href: String,
}

impl Render for Brief {
    fn render(&self) -> Markup {
        html! {
            section .brief aria-label=(say!("What this order rests on")) {
                dl { @for entry in &self.entries { (entry) } }
            }
        }
    }
}

impl Render for BriefEntry {
    fn render(&self) -> Markup {
        let says = self.says.as_deref().unwrap_or(words::of(NOT_ASKED));
        html! {
            div {
                dt { (self.term) }
                dd .unasked[self.says.is_none()] {
                    a href=(self.href) { (says) span .sr { (say!(", change")) " " (self.term) } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_nobody_asked_for_is_printed_as_not_asked() {
        let entry = BriefEntry { term: "Pain".into(), says: None, href: "/fittings/a/runner#pain".into() };
        let html = Brief { entries: vec![entry] }.render().into_string();
        assert!(html.contains(">not asked<") && html.contains("href=\"/fittings/a/runner#pain\""));
    }
}
