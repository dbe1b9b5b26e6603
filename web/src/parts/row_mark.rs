//! The fitter's hand on a row: what it did, or, folded, what it can do and why.

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
                div .hand-did { p { (say) } (back.button(say!("Take back"), &say!("Take back: {shoe}", shoe), Tone::Quiet)) }
            }
        }
    }

    /// What can be done.
    pub fn offered(&self, shoe: &str) -> Markup {
        html! {
            @if let Self::Can { action, style, reasons } = self {
                details .mark-it {
                    summary { (say!("Set aside / Keep on top")) span .sr { ": " (shoe) } }
                    form method="post" action=(action) {
                        input type="hidden" name="style" value=(style);
                        label { (say!("Reason")) " " (select(reasons)) }
                        (button("pin", say!("Keep on top"), shoe))
                        (button("skip", say!("Set aside"), shoe))
                    }
                }
            }
        }
    }
}

fn select(reasons: &[(&str, &str)]) -> Markup {
    html! {
        select name="reason" {
            option value="" { (say!("not said")) }
            @for (word, reason) in reasons { option value=(word) { (reason) } }
        }
    }
}

fn button(kind: &str, label: &str, shoe: &str) -> Markup {
    html! {
        button .button .quiet type="submit" name="kind" value=(kind) { (label) span .sr { ": " (shoe) } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_may_be_chosen_for_either_act_and_the_shoe_is_named() {
        let mark =
            RowMark::Can { action: "/f/mark".into(), style: "a.b".into(), reasons: vec![("looks", "Looks")] };
        let html = mark.offered("Aro Sound").into_string();
        assert!(html.contains("value=\"looks\">Looks<") && html.contains("value=\"\">not said<"));
        assert!(html.contains("value=\"pin\">Keep on top<") && html.contains("value=\"skip\">Set aside<"));
        assert!(html.contains("Set aside / Keep on top") && html.contains(": Aro Sound"));
        assert!(mark.said("Aro Sound").into_string().is_empty());
    }
}
