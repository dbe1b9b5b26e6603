//! What is kept and where: each thing with its place, its size, how long it stays and what removes it.

use maud::{Markup, Render, html};

use crate::parts::layout::{Frame, Width, heading, page};

/// The page.
#[derive(Clone, Debug)]
pub struct KeptPage {
    /// Where all of it is.
    pub lead: String,
    /// What is kept, place by place.
    pub parts: Vec<KeptPart>,
    /// What is not.
    pub not_kept: Vec<String>,
}

/// What is kept in one place.
#[derive(Clone, Debug)]
pub struct KeptPart {
    /// The place.
    pub heading: String,
    /// What is true of all of it.
    pub lead: String,
    /// Thing by thing.
    pub things: Vec<KeptThing>,
}

/// One thing that is kept.
#[derive(Clone, Debug, Default)]
pub struct KeptThing {
    /// What it is called.
    pub name: String,
    /// What is in it.
    pub says: String,
    /// Names of files, cookies or keys, as they stand there; none where the place says it all.
    pub places: Vec<String>,
    /// How much there is now, since when.
    pub now: Vec<String>,
    /// How long it stays.
    pub how_long: String,
    /// What removes it.
    pub removed_by: String,
}

impl KeptPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("What is kept, and where"), &self.lead))
            @for part in &self.parts { (part) }
            section {
                h2 { (say!("What is not kept")) }
                ul .noted { @for line in &self.not_kept { li { p { (line) } } } }
            }
        };
        page(frame, say!("What is kept, and where"), Width::Wide, &body)
    }
}

impl Render for KeptPart {
    fn render(&self) -> Markup {
        html! {
            section {
                h2 { (self.heading) }
                @if !self.lead.is_empty() { p .soft { (self.lead) } }
                @for thing in &self.things { (thing) }
            }
        }
    }
}

impl Render for KeptThing {
    fn render(&self) -> Markup {
        html! {
            div .kept {
                div { h3 { (self.name) } p { (self.says) } }
                dl .evidence {
                    @if !self.places.is_empty() {
                        dt { (say!("Where")) }
                        dd { @for (at, place) in self.places.iter().enumerate() { @if at > 0 { ", " } code { (place) } } }
                    }
                    @if !self.now.is_empty() {
                        dt { (say!("Now")) } dd { @for (at, now) in self.now.iter().enumerate() { @if at > 0 { br; } (now) } }
                    }
                    dt { (say!("How long")) } dd { (self.how_long) }
                    dt { (say!("Removed by")) } dd { (self.removed_by) }
                }
            }
        }
    }
}
