//! The bibliography: what the rules rest on, and which rules rest on it.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::layout::{Frame, Width, heading, page};

/// The sources.
#[derive(Clone, Debug)]
pub struct SourcesPage {
    /// In the order of their ids.
    pub sources: Vec<SourceEntry>,
}

/// One paper or standard.
#[derive(Clone, Debug)]
pub struct SourceEntry {
    /// Its anchor.
    pub id: String,
    /// Authors, year, title, journal.
    pub citation: String,
    /// The DOI as printed; no link leaves the shop's network by itself.
    pub doi: Option<String>,
    /// One line: what it is and who was studied.
    pub what: String,
    /// *From memory*, or how it was read.
    pub read: Option<String>,
    /// The rules that rest on it.
    pub rules: Vec<Link>,
}

impl SourcesPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading("Sources", "What the rules rest on."))
            ul .sources { @for source in &self.sources { li id=(source.id) { (source.view()) } } }
        };
        page(frame, "Sources", Width::Narrow, &body)
    }
}

impl SourceEntry {
    fn view(&self) -> Markup {
        html! {
            p { (self.citation) @if let Some(doi) = &self.doi { " doi:" (doi) } }
            p .soft { (self.what) @if let Some(read) = &self.read { " " em { (read) } } }
            @if !self.rules.is_empty() {
                p { "Rules: " @for (place, rule) in self.rules.iter().enumerate() { @if place > 0 { ", " } (rule) } }
            }
        }
    }
}
