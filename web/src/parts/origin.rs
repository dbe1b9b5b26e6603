//! A value with where it came from, one press away, and below that all values that stood there.

use maud::{Markup, Render, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};

/// A value with where it came from.
#[derive(Clone, Debug, Default)]
pub struct Traced {
    /// The value; *not given* is written out.
    pub value: String,
    /// It is not known.
    pub unknown: bool,
    /// `measured in the shop`, where a person said it.
    pub word: Option<String>,
    /// `“36” in range.csv, row 12, column G`, or how it was worked out.
    pub origin: Option<Origin>,
    /// All values that stood, newest first; the present one too.
    pub stood: Vec<Stood>,
    /// What a later sheet says against the hand.
    pub sheet_says: Option<SheetSays>,
}

/// Where a value came from.
#[derive(Clone, Debug)]
pub struct Origin {
    /// Where it was read, or who said it.
    pub say: String,
    /// `from Brackwater, 3 November 2026`.
    pub when: String,
    /// The change that wrote it.
    pub change: Option<Link>,
}

/// A value that stood.
#[derive(Clone, Debug)]
pub struct Stood {
    /// The value.
    pub value: String,
    /// `3 November 2026, import; taken back`.
    pub say: String,
    /// The change that wrote it.
    pub change: Link,
}

/// What a later sheet says against a value set by hand.
#[derive(Clone, Debug)]
pub struct SheetSays {
    /// `range.csv of 3 November 2026 says 33 mm`.
    pub say: String,
    /// Takes the sheet's value.
    pub take: Act,
    /// The whole sentence of the button.
    pub spoken: String,
}

impl Traced {
    /// A value of which nothing more is told.
    pub fn plain(value: impl Into<String>) -> Self {
        Self { value: value.into(), ..Self::default() }
    }

    /// Whether it opens.
    fn opens(&self) -> bool {
        self.origin.is_some() || !self.stood.is_empty()
    }
}

impl Render for Traced {
    fn render(&self) -> Markup {
        html! {
            @if self.opens() {
                details .origin { summary .unknown[self.unknown] { (self.said()) } (self.inside()) }
            } @else {
                span .unknown[self.unknown] { (self.said()) }
            }
            @if let Some(says) = &self.sheet_says {
                div .says { span { (says.say) } (says.take.button(say!("Take it"), &says.spoken, Tone::Quiet)) }
            }
        }
    }
}

impl Traced {
    fn said(&self) -> Markup {
        html! { (self.value) @if let Some(word) = &self.word { " " small .hand { (word) } } }
    }

    fn inside(&self) -> Markup {
        html! {
            @if let Some(origin) = &self.origin { (origin) }
            @if self.stood.len() > 1 {
                ol .stood aria-label=(say!("Values that stood, newest first")) { @for stood in &self.stood { li { (stood) } } }
            }
        }
    }
}

impl Render for Origin {
    fn render(&self) -> Markup {
        html! {
            p {
                (self.say)
                @if !self.when.is_empty() { ", " (self.when) }
                @if let Some(change) = &self.change { ": " (change) }
            }
        }
    }
}

impl Render for Stood {
    fn render(&self) -> Markup {
        html! { b { (self.value) } " " (self.say) ": " (self.change) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_without_an_origin_does_not_open() {
        assert!(!Traced::plain("36 mm").render().into_string().contains("details"));
    }

    #[test]
    fn a_single_value_is_no_history() {
        let stood = Stood {
            value: "36 mm".into(),
            say: "import".into(),
            change: Link::new("Change 1", "/changes/1"),
        };
        let one = Traced { stood: vec![stood.clone()], ..Traced::plain("36 mm") };
        assert!(!one.render().into_string().contains("<ol"));
        let two = Traced { stood: vec![stood.clone(), stood], ..one };
        assert_eq!(two.render().into_string().matches("<li>").count(), 2);
    }
}
