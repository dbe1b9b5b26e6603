//! Findings of a sheet: what was read where, and what to do, grouped with true totals.

use crate::words;
use maud::{Markup, Render, html};

/// How much a finding holds back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// Something is held back.
    Stop,
    /// Taken, but worth a look.
    Warn,
    /// For the record.
    Note,
}

/// Findings of one kind.
#[derive(Clone, Debug)]
pub struct FindingGroup {
    /// The stable code.
    pub code: String,
    /// How much it holds back.
    pub severity: Severity,
    /// What is the matter, once for all of them.
    pub say: String,
    /// What to do.
    pub mend: String,
    /// How many there are in all.
    pub count: usize,
    /// The first of them.
    pub places: Vec<Place>,
    /// Leads to all of them.
    pub all: Option<String>,
}

/// Where one finding stands.
#[derive(Clone, Debug)]
pub struct Place {
    /// `row 214, column F (Weight)`; the sheet's name where there are several.
    pub at: String,
    /// The text that was read.
    pub text: String,
}

/// All findings of a sheet, stops first.
#[derive(Clone, Debug, Default)]
pub struct Findings {
    /// One a kind.
    pub groups: Vec<FindingGroup>,
}

impl Severity {
    /// The word that stands at it; colour only repeats it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Warn => "warn",
            Self::Note => "note",
        }
    }
}

impl Render for Findings {
    fn render(&self) -> Markup {
        html! {
            @if self.groups.is_empty() { p .lead { (say!("Nothing to remark on.")) } }
            @for group in &self.groups { (group) }
        }
    }
}

impl Render for FindingGroup {
    fn render(&self) -> Markup {
        let shown = self.places.len();
        html! {
            section class={ "finding " (self.severity.word()) } {
                h3 {
                    span .severity { (words::of(self.severity.word())) } " "
                    (self.say) " " span .count { (self.count) " ×" }
                }
                p .mend { (self.mend) }
                ul .places-read {
                    @for place in &self.places { li { (place.at) @if !place.text.is_empty() { ": " code { (place.text) } } } }
                    @if self.count > shown {
                        li .soft {
                            (say!("and")) " " (self.count - shown) " " (say!("more"))
                            @if let Some(all) = &self.all { ": " a href=(all) { (say!("all")) " " (self.count) } }
                        }
                    }
                }
                p .code { (say!("Code")) " " (self.code) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_group_names_its_true_total_beside_the_first_places() {
        let place = Place { at: "row 3, column F (Weight)".into(), text: "abc".into() };
        let group = FindingGroup {
            code: "mass-not-a-number".into(),
            severity: Severity::Stop,
            say: "The weight is no number.".into(),
            mend: "Type grams, such as 262.".into(),
            count: 312,
            places: vec![place],
            all: None,
        };
        let html = Findings { groups: vec![group] }.render().into_string();
        assert!(html.contains("312 ×") && html.contains("and 311 more") && html.contains("<code>abc</code>"));
    }
}
