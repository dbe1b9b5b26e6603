//! Chips: the filters in force, each saying how many only it hides, each removed with one tap.

use maud::{Markup, Render, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};

/// The filters in force, and the way to more.
#[derive(Clone, Debug)]
pub struct Chips {
    /// In force.
    pub chips: Vec<Chip>,
    /// A link to more filters, where they are not on the same page.
    pub add: Option<Link>,
}

/// One filter in force.
#[derive(Clone, Debug)]
pub struct Chip {
    /// `road`, `in 42.5 or 43`, `under € 160`.
    pub label: String,
    /// How many shoes only this filter hides; `None` when that is not counted here.
    pub hides: Option<usize>,
    /// What a tap does. Inside a fitting it posts, so that nothing about the runner stands in a URL.
    pub remove: Act,
}

impl Render for Chips {
    fn render(&self) -> Markup {
        html! {
            @if !self.chips.is_empty() || self.add.is_some() {
                ul .chips aria-label=(say!("Filters in force")) {
                    @for chip in &self.chips { li { (chip) } }
                    @if let Some(add) = &self.add { li { a .chip href=(add.href) { (add.label) } } }
                }
            }
        }
    }
}

impl Render for Chip {
    fn render(&self) -> Markup {
        let spoken = say!(
            "Remove the filter {label}{hides_in_words}",
            label = self.label,
            hides_in_words = self.hides_in_words()
        );
        html! {
            div .chip {
                span { (self.label) }
                @if let Some(hides) = self.hides { span .hides { (say!("hides")) " " (hides) } }
                (self.remove.button("×", &spoken, Tone::Bare))
            }
        }
    }
}

impl Chip {
    fn hides_in_words(&self) -> String {
        match self.hides {
            None => String::new(),
            Some(1) => say!(", which alone hides 1 shoe").to_owned(),
            Some(n) => say!(", which alone hides {n} shoes", n),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chip_says_what_it_hides_and_how_it_is_removed() {
        let chip =
            Chip { label: "road".into(), hides: Some(41), remove: Act::post("/f/chips", "drop", "surface") };
        let html = chip.render().into_string();
        assert!(html.contains("hides 41"));
        assert!(html.contains("aria-label=\"Remove the filter road, which alone hides 41 shoes\""));
        assert!(html.contains("method=\"post\""));
    }
}
