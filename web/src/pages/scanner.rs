//! What a handheld scanner really sends. The script listens; without it the page says what to look for by hand.

use maud::{Markup, html};

use crate::parts::layout::{Frame, Width, heading, page};

/// The page; it knows nothing of the shop.
#[derive(Clone, Copy, Debug, Default)]
pub struct ScannerPage;

impl ScannerPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = say!(
            "Scan any box here: below stands what the scanner sent, sign by sign. Nothing is looked up."
        );
        let body = html! {
            (heading(say!("Scanner"), lead))
            div .scan-bench data-scanner tabindex="0" role="region" aria-label=(say!("What the scanner sent")) aria-live="polite" {
                p .soft { (say!("Nothing was scanned yet. Where nothing appears, this browser runs no script: scan into a box that says “Scan or find” instead.")) }
            }
            h2 { (say!("How it should be set")) }
            ul {
                li { (say!("It sends the code, then")) " " b { (say!("Enter")) } (say!(". Tab or nothing at the end is set in the scanner’s own booklet.")) }
                li { (say!("It sends the signs")) " " b { (say!("less than 60 ms")) } " " (say!("one after the other; a slower one is taken for a hand that types.")) }
                li { (say!("It may send a prefix such as ]E0, or control signs: both are left out.")) }
                li { (say!("Its keyboard is the one of this tablet. Where letters come wrong, set both to the same language.")) }
            }
            h2 { (say!("When it gets in the way")) }
            p { (say!("A scan goes to its page whatever has the focus. On this tablet that can be switched off; scans then do what keys do.")) }
            p { button .button .quiet type="button" data-guard hidden { (say!("Leave scans to whatever has the focus")) } }
        };
        page(frame, say!("Scanner"), Width::Narrow, &body)
    }
}
