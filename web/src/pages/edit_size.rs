//! The owner's form for one size: each value as it stands, and a new one beside it.

use maud::{Markup, html};

use crate::parts::fields::{Choice, radio};
use crate::parts::layout::{Frame, Width, page};
use crate::parts::problems::{Problem, at, summary, title};

/// The form.
#[derive(Clone, Debug)]
pub struct EditSizePage {
    /// Maker and name.
    pub shoe: String,
    /// `EU 42.5, D, grey`.
    pub size: String,
    /// The page of the shoe.
    pub href: String,
    /// Where the form is posted.
    pub action: String,
    /// The change at which it was drawn.
    pub at: i64,
    /// The size was changed in between: nothing was kept.
    pub overtaken: bool,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// The fields.
    pub fields: Vec<SizeField>,
    /// Where values come from.
    pub reasons: Vec<Choice>,
    /// The one that was ticked.
    pub reason: String,
    /// The same in own words.
    pub reason_words: String,
}

/// One field.
#[derive(Clone, Debug)]
pub struct SizeField {
    /// The key of its column.
    pub name: &'static str,
    /// `Pairs`.
    pub label: String,
    /// What the field holds.
    pub value: String,
    /// What stands now.
    pub now: String,
    /// How it is written.
    pub hint: &'static str,
}

impl EditSizePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            div .heading {
                h1 { (self.shoe) ", " (self.size) }
                p .lead {
                    (say!("What is said here stands when the next sheet says otherwise; only the pairs follow it. Label, width and colourway are the key and stay.")) " "
                    a href=(self.href) { (say!("Back to the shoe")) }
                }
            }
            @if self.overtaken {
                div .announcement role="alert" { p { (say!("This size was changed while you typed, so nothing was kept. What stands now is beside each field.")) } }
            }
            form .edit method="post" action=(self.action) autocomplete="off" novalidate {
                input type="hidden" name="at" value=(self.at);
                div .two { @for field in &self.fields { (self.field(field)) } }
                (self.reason())
                p .buttons {
                    button .button type="submit" { (say!("Keep these values")) }
                    a .button .quiet href=(self.href) { (say!("Leave it as it is")) }
                }
            }
        };
        page(frame, &title(say!("Correct a size"), &self.problems), Width::Wide, &body)
    }

    fn field(&self, field: &SizeField) -> Markup {
        let error = at(&self.problems, field.name);
        html! {
            div .field .wrong[error.is_some()] {
                label for=(field.name) { (field.label) }
                @if !field.hint.is_empty() { p .hint { (field.hint) } }
                @if let Some(error) = error { p .error { (error) } }
                input .words id=(field.name) name=(field.name) type="text" value=(field.value)
                    aria-invalid=[error.map(|_| "true")];
                p .soft { (say!("Now:")) " " (field.now) }
            }
        }
    }

    fn reason(&self) -> Markup {
        let error = at(&self.problems, "reason");
        let words = at(&self.problems, "reason_words");
        html! {
            fieldset .group-of-fields .wrong[error.is_some()] #reason {
                legend { (say!("Where these values come from")) }
                @if let Some(error) = error { p .error { (error) } }
                div .choices { @for choice in &self.reasons { (radio("reason", choice, self.reason == choice.value)) } }
                div .field .wrong[words.is_some()] {
                    label for="reason_words" { (say!("In own words")) }
                    @if let Some(words) = words { p .error { (words) } }
                    input .words #reason_words name="reason_words" type="text" value=(self.reason_words);
                }
            }
        }
    }
}
