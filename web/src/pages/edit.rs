//! The owner's form for one shoe: each value as it stands, where it came from, and a new one beside it.

use maud::{Markup, html};

use crate::parts::act::Act;
use crate::parts::fields::{Choice, radio, tick};
use crate::parts::layout::{Frame, Width, page};
use crate::parts::origin::Origin;
use crate::parts::problems::{Problem, at, summary, title};

/// The form.
#[derive(Clone, Debug)]
pub struct EditPage {
    /// Maker and name.
    pub shoe: String,
    /// The page of the shoe.
    pub href: String,
    /// Where the form is posted.
    pub action: String,
    /// The change at which it was drawn: a shoe changed since is not overwritten.
    pub at: i64,
    /// What happened in between, when this form came too late.
    pub overtaken: Option<String>,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// What cannot be edited, each with its value and why.
    pub fixed: Vec<Fixed>,
    /// The fields, group by group.
    pub groups: Vec<EditGroup>,
    /// The shop's note.
    pub note: ShopNote,
    /// Where the values come from, and which of them was ticked.
    pub reasons: (Vec<Choice>, String),
    /// The same in own words.
    pub reason_words: String,
    /// Gives single cells back to the sheets; a button at such a cell names its column.
    pub take: Act,
}

/// A value that is part of the key.
#[derive(Clone, Debug)]
pub struct Fixed {
    /// `Maker`.
    pub label: String,
    /// Its value.
    pub value: String,
    /// Why it stays.
    pub why: String,
}

/// Fields that belong together.
#[derive(Clone, Debug)]
pub struct EditGroup {
    /// `Measures`.
    pub label: String,
    /// In the order of the form.
    pub fields: Vec<EditField>,
}

/// One field.
#[derive(Clone, Debug)]
pub struct EditField {
    /// The key of its column.
    pub name: String,
    /// `Heel stack`.
    pub label: String,
    /// `mm, cm or in`; empty when there is none.
    pub unit: String,
    /// What the field holds.
    pub value: String,
    /// Values and labels, where one of a few is chosen.
    pub choices: Vec<(String, String)>,
    /// It takes words, not a number.
    pub words: bool,
    /// The value that stands, and where it came from.
    pub now: Now,
}

/// What stands in a cell.
#[derive(Clone, Debug, Default)]
pub struct Now {
    /// `36 mm`, `not given`.
    pub value: String,
    /// Where it came from.
    pub origin: Option<Origin>,
    /// The words of the button that gives the cell back to the sheets; only where a person has set it.
    pub take: Option<String>,
    /// What was typed into a form that came too late.
    pub typed: Option<String>,
}

/// The shop's note: words that are known, and others.
#[derive(Clone, Debug)]
pub struct ShopNote {
    /// `runs short` and so on.
    pub ticks: Vec<(Choice, bool)>,
    /// Other words.
    pub field: EditField,
}

impl EditPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            div .heading {
                h1 { (say!("Correct")) " " (self.shoe) }
                p .lead {
                    (say!("What is said here stands against the next sheet, until you take the sheet's value again.")) " "
                    a href=(self.href) { (say!("Back to the shoe")) }
                }
            }
            @if let Some(say) = &self.overtaken { div .announcement role="alert" { p { (say) } } }
            form .edit method="post" action=(self.action) autocomplete="off" {
                input type="hidden" name="at" value=(self.at);
                @for group in &self.groups { (self.group(group)) }
                (self.shop_note())
                (self.part_of_key())
                (self.reason())
                p .buttons {
                    button .button type="submit" { (say!("Keep these values")) }
                    a .button .quiet href=(self.href) { (say!("Leave it as it is")) }
                }
            }
            (self.take_form())
        };
        page(frame, &title(say!("Correct a shoe"), &self.problems), Width::Wide, &body)
    }

    fn group(&self, group: &EditGroup) -> Markup {
        html! {
            fieldset .group-of-fields {
                legend { (group.label) }
                div .two { @for field in &group.fields { (self.field(field)) } }
            }
        }
    }

    fn field(&self, field: &EditField) -> Markup {
        let error = at(&self.problems, &field.name);
        html! {
            div .field .wrong[error.is_some()] {
                label for=(field.name) {
                    (field.label) @if !field.unit.is_empty() { span .unit { ", " (field.unit) } }
                }
                (said(&field.name, error))
                (input(field, error))
                div #(format!("{}-now", field.name)) { (field.now.view(&field.name)) }
            }
        }
    }

    fn shop_note(&self) -> Markup {
        html! {
            fieldset .group-of-fields {
                legend { (say!("The shop's note")) }
                div .choices {
                    @for (choice, ticked) in &self.note.ticks { (tick("shop_note.tick", choice, *ticked)) }
                }
                (self.field(&self.note.field))
            }
        }
    }

    fn part_of_key(&self) -> Markup {
        html! {
            fieldset .group-of-fields {
                legend { (say!("What stays")) }
                dl .fixed {
                    @for fixed in &self.fixed { div { dt { (fixed.label) } dd { (fixed.value) small { (fixed.why) } } } }
                }
            }
        }
    }

    fn reason(&self) -> Markup {
        let error = at(&self.problems, "reason");
        let words = at(&self.problems, "reason_words");
        html! {
            fieldset .group-of-fields .wrong[error.is_some()] #reason {
                legend { (say!("Where these values come from")) }
                (said("reason", error))
                div .choices {
                    @for choice in &self.reasons.0 { (radio("reason", choice, self.reasons.1 == choice.value)) }
                }
                div .field .wrong[words.is_some()] {
                    label for="reason_words" { (say!("In own words")) }
                    (said("reason_words", words))
                    input .words #reason_words name="reason_words" type="text" value=(self.reason_words);
                }
            }
        }
    }

    /// Stands beside the form, since no form stands in another; its buttons name it.
    fn take_form(&self) -> Markup {
        let Act::Post { action, fields } = &self.take else { return html! {} };
        html! {
            form #take method="post" action=(action) {
                @for (name, value) in fields { input type="hidden" name=(name) value=(value); }
            }
        }
    }
}

impl Now {
    fn view(&self, column: &str) -> Markup {
        html! {
            @if let Some(typed) = &self.typed { p .error { (say!("You had typed:")) " " (typed) } }
            p .hint {
                (say!("Now")) " " b { (self.value) }
                @if let Some(origin) = &self.origin {
                    " · " (origin.say) @if !origin.when.is_empty() { ", " (origin.when) }
                    @if let Some(change) = &origin.change { ": " (change) }
                }
            }
            @if let Some(take) = &self.take {
                button .button .quiet type="submit" form="take" name="column" value=(column) { (take) }
            }
        }
    }
}

fn input(field: &EditField, error: Option<&str>) -> Markup {
    let mut described = format!("{}-now", field.name);
    if error.is_some() {
        described = say!("{field}-error {described}", field = field.name, described);
    }
    html! {
        @if field.choices.is_empty() {
            input .words[field.words] id=(field.name) name=(field.name) type="text" value=(field.value)
                inputmode=[(!field.words).then_some("decimal")] aria-describedby=(described)
                aria-invalid=[error.map(|_| "true")];
        } @else {
            select id=(field.name) name=(field.name) aria-describedby=(described) {
                @for (value, label) in &field.choices {
                    option value=(value) selected[*value == field.value] { (label) }
                }
            }
        }
    }
}

fn said(name: &str, error: Option<&str>) -> Markup {
    html! {
        @if let Some(error) = error {
            p .error id=(format!("{name}-error")) { span .sr { (say!("Error:")) " " } (error) }
        }
    }
}
