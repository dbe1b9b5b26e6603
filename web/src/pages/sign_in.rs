//! The way in, and the password asked for again with what was filled in.

use maud::{Markup, html};

use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, summary, title};
use crate::parts::text_field::TextField;

/// A form that asks who somebody is.
#[derive(Clone, Debug)]
pub struct SignInPage {
    /// What the page is called.
    pub title: String,
    /// Why it is asked.
    pub lead: String,
    /// Where it is posted.
    pub action: String,
    /// What goes with it, name and value: where to go on, or the form that was filled in.
    pub fields: Vec<(String, String)>,
    /// What is asked for.
    pub asked: Vec<TextField>,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// The words of the button.
    pub button: String,
}

impl SignInPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            (heading(&self.title, &self.lead))
            form method="post" action=(self.action) novalidate {
                @for (name, value) in &self.fields { input type="hidden" name=(name) value=(value); }
                @for field in &self.asked { (field) }
                p .buttons { button .button type="submit" { (self.button) } }
            }
        };
        page(frame, &title(&self.title, &self.problems), Width::Narrow, &body)
    }
}
