//! The bibliography: what the advice rests on, and which advice rests on each source.

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
    /// Authors, year, journal.
    pub citation: String,
    /// The DOI as printed; no link leaves the shop's network by itself.
    pub doi: Option<String>,
    /// One line: what it is and who was studied.
    pub what: String,
    /// Conflicts of interest, where known.
    pub conflicts: String,
    /// The rules that rest on it.
    pub rules: Vec<Link>,
    /// The claims that rest on it.
    pub claims: Vec<Link>,
    /// The beliefs it does not carry.
    pub beliefs: Vec<Link>,
}

impl SourcesPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead =
            say!("What the advice rests on: {sources} papers and standards.", sources = self.sources.len());
        let body = html! {
            (heading(say!("Sources"), &lead))
            p { a href="/rules" { (say!("The rules")) } " · " a href="/unsupported" { (say!("What studies do not carry")) } }
            ul .sources { @for source in &self.sources { li id=(source.id) { (source.view()) } } }
        };
        page(frame, say!("Sources"), Width::Narrow, &body)
    }
}

impl SourceEntry {
    fn view(&self) -> Markup {
        let unused = self.rules.is_empty() && self.claims.is_empty() && self.beliefs.is_empty();
        html! {
            p { b { (self.citation) } @if let Some(doi) = &self.doi { " " (say!("doi:")) (doi) } }
            p { (self.what) }
            p .soft { (say!("Conflicts of interest:")) " " (self.conflicts) "." }
            (links(say!("Rules"), &self.rules))
            (links(say!("Claims"), &self.claims))
            (links(say!("Does not carry"), &self.beliefs))
            @if unused { p .soft { (say!("Read, and no rule, claim or belief of these pages rests on it.")) } }
        }
    }
}

fn links(title: &str, links: &[Link]) -> Markup {
    html! {
        @if !links.is_empty() {
            p { (title) ": " @for (place, link) in links.iter().enumerate() { @if place > 0 { ", " } (link) } }
        }
    }
}
