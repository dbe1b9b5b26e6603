//! The desk: open fittings, a new one, the box that searches and takes a scan.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page, swatch};
use crate::parts::search_box::SearchBox;

/// The desk.
#[derive(Clone, Debug)]
pub struct DeskPage {
    /// Open fittings, the latest first.
    pub fittings: Vec<OpenFitting>,
    /// Posts a new fitting.
    pub start: Act,
    /// `412 styles, 3,208 pairs in stock`.
    pub stock: String,
    /// `Stock figures of this morning, 08:10, from Brackwater's sheet`.
    pub age: String,
    /// What the desk must know before a visit: gaps, old figures, a sheet waiting. In words.
    pub remarks: Vec<String>,
}

/// One open fitting.
#[derive(Clone, Debug)]
pub struct OpenFitting {
    /// `Blue Heron`.
    pub name: String,
    /// `Blue`.
    pub colour: &'static str,
    /// Where it goes on.
    pub href: String,
    /// How far it is: `3 brought out`. Nothing about the runner.
    pub state: String,
    /// `opened 10:42`.
    pub since: String,
}

impl DeskPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("Desk"), &self.stock))
            div .desk {
                section aria-labelledby="fittings" {
                    h2 #fittings { (say!("Fittings")) }
                    (self.open())
                    (self.start.button(say!("Start a fitting"), say!("Start a fitting"), Tone::Main))
                }
                section aria-label=(say!("Search")) {
                    (SearchBox { scans: true, focus: true, ..SearchBox::default() })
                    p .soft { (self.age) }
                    ul .plain { @for remark in &self.remarks { li { (remark) } } }
                }
            }
        };
        page(frame, say!("Desk"), Width::Wide, &body)
    }

    fn open(&self) -> Markup {
        html! {
            @if self.fittings.is_empty() { p .lead { (say!("None is open.")) } }
            @else { ul .open-fittings { @for fitting in &self.fittings { li { (fitting.line()) } } } }
        }
    }
}

impl OpenFitting {
    fn line(&self) -> Markup {
        html! { a href=(self.href) { b { (swatch(self.colour)) (self.name) } span { (self.state) } span .soft { (self.since) } } }
    }
}
