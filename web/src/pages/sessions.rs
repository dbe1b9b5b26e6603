//! Who is signed in on which browsers, and the form that ends sessions.

use maud::{Markup, html};

use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, summary, title};
use crate::parts::text_field::TextField;

/// The page.
#[derive(Clone, Debug)]
pub struct SessionsPage {
    /// Whose sessions these are.
    pub lead: String,
    /// What was done just now; else empty.
    pub done: String,
    /// Session by session, the last used first.
    pub sessions: Vec<SessionRow>,
    /// Asked before anything is ended.
    pub password: TextField,
    /// What was wrong.
    pub problems: Vec<Problem>,
}

/// One browser that is signed in.
#[derive(Clone, Debug)]
pub struct SessionRow {
    /// Its number.
    pub id: String,
    /// Whose it is.
    pub name: String,
    /// Since when, and when it was last used.
    pub detail: String,
    /// It is the one that looks at the page, which signs itself out by the button below every page.
    pub own: bool,
    /// It was chosen.
    pub chosen: bool,
}

/// The name of the ticks.
pub const SESSION: &str = "session";

impl SessionsPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Sessions"), &self.lead))
            @if !self.done.is_empty() { p .announcement role="status" { (self.done) } }
            @if !self.sessions.is_empty() { (self.form()) }
        };
        page(frame, &title(say!("Sessions"), &self.problems), Width::Narrow, &body)
    }

    fn form(&self) -> Markup {
        html! {
            form method="post" action="/sessions" novalidate {
                fieldset .field #session {
                    legend { (say!("Browsers that are signed in")) }
                    div .choices { @for session in &self.sessions { (session.view()) } }
                }
                @if self.sessions.iter().any(|session| !session.own) {
                    (self.password)
                    p .buttons { button .button type="submit" { (say!("Sign these out")) } }
                }
            }
        }
    }
}

impl SessionRow {
    fn view(&self) -> Markup {
        html! {
            @if self.own { p .choice { span { b { (self.name) } ", " (say!("this browser")) " " span .hint { (self.detail) } } } }
            @else {
                label .choice {
                    input type="checkbox" name=(SESSION) value=(self.id) checked[self.chosen];
                    span { b { (self.name) } " " span .hint { (self.detail) } }
                }
            }
        }
    }
}
