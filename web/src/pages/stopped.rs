//! A red flag ended the ordering: the page names it, says why and whom to see. The stock can still be searched.

use maud::{Markup, html};

use crate::parts::brief::Brief;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::search_box::SearchBox;

/// The page of a stopped fitting.
#[derive(Clone, Debug)]
pub struct StoppedPage {
    /// What was answered.
    pub brief: Brief,
    /// Each flag that is up.
    pub flags: Vec<FlagUp>,
    /// Where the answer is changed, if it was a slip.
    pub change_href: String,
}

/// One flag.
#[derive(Clone, Debug)]
pub struct FlagUp {
    /// The sign.
    pub say: String,
    /// Why the ordering stops.
    pub why: String,
    /// Whom to see, and how soon.
    pub see: String,
}

impl StoppedPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = say!(
            "No order is made today. This is not a finding: a shop cannot tell these apart, a clinician can."
        );
        let body = html! {
            (heading(say!("A clinician first"), lead))
            @for flag in &self.flags {
                section .flag {
                    h2 { (flag.say) }
                    p { (flag.why) }
                    p .see { b { (say!("Whom to see:")) " " } (flag.see) }
                }
            }
            p { a href=(self.change_href) { (say!("Change the answers about pain")) } }
            (self.brief)
            h2 { (say!("The stock can still be searched")) }
            (SearchBox::default())
        };
        page(frame, say!("Stock in order"), Width::Narrow, &body)
    }
}
