//! The staff of the shop: who may sign in, who is, and what they may do.

use maud::{Markup, html};

use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, summary, title};
use crate::parts::text_field::TextField;

/// The page.
#[derive(Clone, Debug)]
pub struct StaffPage {
    /// What accounts are for, and whether there are any.
    pub lead: String,
    /// What was done just now; else empty.
    pub done: String,
    /// Everybody, by name.
    pub members: Vec<MemberRow>,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// The fields of a new account.
    pub new: Vec<TextField>,
    /// Which role is ticked: `fitter` or `owner`.
    pub role: &'static str,
    /// Only an owner can be added: there is nobody yet.
    pub first: bool,
}

/// One of the staff.
#[derive(Clone, Debug)]
pub struct MemberRow {
    /// The name.
    pub name: String,
    /// `Owner`, `Fitter`.
    pub role: String,
    /// `since 12 March 2026`, `signed in on 2 browsers, last used 3 min ago`.
    pub details: Vec<String>,
    /// It is whoever looks at the page.
    pub own: bool,
    /// Somebody is signed in by it.
    pub signed_in: bool,
}

impl StaffPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Staff"), &self.lead))
            @if !self.done.is_empty() { p .announcement role="status" { (self.done) } }
            @for member in &self.members { (member.view()) }
            (self.form())
        };
        page(frame, &title(say!("Staff"), &self.problems), Width::Narrow, &body)
    }

    fn form(&self) -> Markup {
        html! {
            h2 { @if self.first { (say!("The first account, an owner’s")) } @else { (say!("A further account")) } }
            form method="post" action="/staff" autocomplete="off" novalidate {
                @for field in &self.new { (field) }
                @if self.first { input type="hidden" name="role" value="owner"; }
                @else {
                    fieldset .field {
                        legend { (say!("May")) }
                        div .choices {
                            (role("fitter", say!("fit: stock and visits"), self.role))
                            (role("owner", say!("do everything: sheets, changes, staff"), self.role))
                        }
                    }
                }
                p .buttons { button .button type="submit" { (say!("Add the account")) } }
            }
        }
    }
}

fn role(value: &str, label: &str, chosen: &str) -> Markup {
    html! {
        label .choice {
            input type="radio" name="role" value=(value) checked[value == chosen];
            span { (label) }
        }
    }
}

impl MemberRow {
    fn view(&self) -> Markup {
        html! {
            section .member aria-label=(self.name) {
                h2 { (self.name) " " span .hint { (self.role) @if self.own { ", " (say!("you")) } } }
                @for detail in &self.details { p .hint { (detail) } }
                div .do {
                    @if !self.own {
                        @if self.signed_in {
                            (self.act("/staff/sign-out", say!("Sign out everywhere"), &say!("Sign {name} out everywhere", name = self.name)))
                        }
                        (self.act("/staff/remove", say!("Remove"), &say!("Remove {name}", name = self.name)))
                    }
                }
            }
        }
    }

    fn act(&self, action: &str, label: &str, spoken: &str) -> Markup {
        html! {
            form .act method="post" action=(action) {
                input type="hidden" name="name" value=(self.name);
                button .button .quiet type="submit" aria-label=(spoken) { (label) }
            }
        }
    }
}
