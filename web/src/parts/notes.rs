//! Notes that speak of the runner, not of one shoe; printed once a page.

use maud::{Markup, Render, html};

use crate::parts::Link;

/// The notes of a page.
#[derive(Clone, Debug, Default)]
pub struct Notes {
    /// In the order they are said.
    pub notes: Vec<Note>,
}

/// One note.
#[derive(Clone, Debug)]
pub struct Note {
    /// The sentence, in the words of its grade.
    pub say: String,
    /// The grade and who was studied, in a few words; empty for the house's own notes.
    pub grade: String,
    /// The rule it comes from.
    pub rule: Option<Link>,
}

impl Render for Notes {
    fn render(&self) -> Markup {
        html! {
            @if !self.notes.is_empty() {
                section .notes aria-labelledby="notes" {
                    h2 #notes { (say!("To say once")) }
                    ul { @for note in &self.notes { li { (note) } } }
                }
            }
        }
    }
}

impl Render for Note {
    fn render(&self) -> Markup {
        html! {
            (self.say)
            @if !self.grade.is_empty() { " " span .soft { (self.grade) } }
            @if let Some(rule) = &self.rule { " " (rule) }
        }
    }
}
