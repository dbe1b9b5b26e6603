//! The fitter's hand on a row: what it did, or, folded, what it can do, each reason a button.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};

/// The fitter's hand on a row.
#[derive(Clone, Debug)]
pub enum RowMark {
    /// A list nobody acts on.
    Nothing,
    /// The shoe can be kept on top or set aside.
    Can {
        /// Where it is posted.
        action: String,
        /// The key of the shoe.
        style: String,
        /// The reasons: as posted, and as read.
        reasons: Vec<(&'static str, &'static str)>,
    },
    /// It was.
    Is {
        /// `Kept on top by the fitter: comfort; computed place 7.`
        say: String,
        /// Takes it back.
        back: Act,
    },
}

impl RowMark {
    /// What was done, with the way back.
    pub fn said(&self, shoe: &str) -> Markup {
        html! {
            @if let Self::Is { say, back } = self {
                div .hand-did { p { (say) } (back.button("Take back", &format!("Take back: {shoe}"), Tone::Quiet)) }
            }
        }
    }

    /// What can be done.
    pub fn offered(&self, shoe: &str) -> Markup {
        html! {
            @if let Self::Can { action, style, reasons } = self {
                details .mark-it {
                    summary { "Set aside / Keep on top" span .sr { ": " (shoe) } }
                    @for (kind, label) in [("pin", "Keep on top for"), ("skip", "Set aside for")] {
                        form method="post" action=(action) aria-label=(format!("{label} a reason: {shoe}")) {
                            input type="hidden" name="style" value=(style);
                            input type="hidden" name="kind" value=(kind);
                            p { (label) }
                            div .reasons-why { @for (word, reason) in reasons { (button(word, reason)) } }
                        }
                    }
                }
            }
        }
    }
}

fn button(word: &str, reason: &str) -> Markup {
    html! { button .button .quiet type="submit" name="reason" value=(word) { (reason) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reason_is_a_button_of_both_forms_and_the_shoe_is_named() {
        let mark =
            RowMark::Can { action: "/f/mark".into(), style: "a.b".into(), reasons: vec![("looks", "Looks")] };
        let html = mark.offered("Aro Sound").into_string();
        assert_eq!(html.matches("value=\"looks\"").count(), 2);
        assert!(html.contains("Set aside / Keep on top") && html.contains(": Aro Sound"));
        assert!(mark.said("Aro Sound").into_string().is_empty());
    }
}
