//! Something that can be done from a page: following a link, or posting a small form with one button.

use maud::{Markup, html};

/// What a press does. What reads is a link; what changes anything is a posted form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// Follows a link.
    Go(String),
    /// Posts these fields.
    Post {
        /// Where the form is posted.
        action: String,
        /// Hidden fields, name and value.
        fields: Vec<(String, String)>,
    },
}

/// How loud a button is: one `Main` at most stands in each row or form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// The one thing to do here.
    Main,
    /// Another thing that can be done.
    Quiet,
    /// Lifted out of a chip: no frame of its own.
    Bare,
}

impl Act {
    /// Posts one field.
    pub fn post(action: impl Into<String>, name: &str, value: impl Into<String>) -> Self {
        Self::Post { action: action.into(), fields: vec![(name.to_owned(), value.into())] }
    }

    /// The button or link. `spoken` is the whole sentence for those who do not see the row it stands in.
    pub fn button(&self, label: &str, spoken: &str, tone: Tone) -> Markup {
        match self {
            Self::Go(href) => html! { a class=(tone.class()) href=(href) aria-label=(spoken) { (label) } },
            Self::Post { action, fields } => html! {
                form .act method="post" action=(action) {
                    @for (name, value) in fields { input type="hidden" name=(name) value=(value); }
                    button class=(tone.class()) type="submit" aria-label=(spoken) { (label) }
                }
            },
        }
    }
}

impl Act {
    /// The same around more than words: a value of a facet with its count. An address that ends in its `id` leads back
    /// to it, and gives it the focus.
    pub fn around(&self, class: &str, id: Option<&str>, inner: &Markup) -> Markup {
        match self {
            Self::Go(href) => {
                html! { a id=[id] class=[class_of(class)] href=(href) rel="nofollow" { (inner) } }
            }
            Self::Post { action, fields } => html! {
                form method="post" action=(action) {
                    @for (name, value) in fields { input type="hidden" name=(name) value=(value); }
                    button id=[id] class=[class_of(class)] type="submit" { (inner) }
                }
            },
        }
    }
}

fn class_of(class: &str) -> Option<&str> {
    (!class.is_empty()).then_some(class)
}

impl Tone {
    const fn class(self) -> &'static str {
        match self {
            Self::Main => "button",
            Self::Quiet => "button quiet",
            Self::Bare => "bare",
        }
    }
}
