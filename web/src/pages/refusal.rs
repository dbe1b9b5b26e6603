//! A refusal: what went wrong, where, and what to do; never a dead end.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::search_box::SearchBox;

/// A refusal.
#[derive(Clone, Debug)]
pub struct RefusalPage {
    /// `This shoe is not in the catalogue`.
    pub title: String,
    /// What happened and where.
    pub say: String,
    /// Several things at once, one sentence each.
    pub details: Vec<String>,
    /// What to do next.
    pub ways: Vec<Link>,
    /// The search box helps here.
    pub search: bool,
    /// By which the log knows the request.
    pub request: String,
}

impl RefusalPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&self.title, &self.say))
            @if !self.details.is_empty() { ul { @for detail in &self.details { li { (detail) } } } }
            ul .ways { @for way in &self.ways { li { (way) } } }
            @if self.search { (SearchBox::default()) }
            p { small .soft { (say!("In the log this is request {request}.", request = self.request)) } }
        };
        page(frame, &self.title, Width::Narrow, &body)
    }
}
