//! What a scan or words led to: inside a fitting the shoes with where they stand in its order; and everywhere, for a
//! code that nothing carries, what to do next.

use maud::{Markup, html};

use crate::pages::fitting_stock::Way;
use crate::parts::Link;
use crate::parts::act::Tone;
use crate::parts::layout::{Frame, Width, page};
use crate::parts::ranked_row::RankedRow;
use crate::parts::scan_box::ScanBox;

/// What a scan led to.
#[derive(Clone, Debug)]
pub struct ScanPage {
    /// `Found: 1 shoe`, `Not known here`.
    pub heading: String,
    /// What was read, what was mended in it, what is wrong with it: one sentence each.
    pub said: Vec<String>,
    /// The shoes.
    pub found: Vec<ScanFound>,
    /// With no shoe: what to do next.
    pub steps: Vec<NextStep>,
    /// The box once more, outside a fitting; inside it stands above.
    pub again: Option<ScanBox>,
    /// Back to the order, inside a fitting.
    pub back: Option<Link>,
}

/// One shoe that was found.
#[derive(Clone, Debug)]
pub struct ScanFound {
    /// `Place 3 of 61 in this order, under Bring out first`.
    pub stands: String,
    /// The sizes whose box carries the code, in words.
    pub boxes: Vec<String>,
    /// The shoe as the list shows it, or its name and pairs where there is no order.
    pub shoe: ScanShoe,
    /// What hides it from the list, and the way to take that off.
    pub hidden: Option<(String, Option<Way>)>,
}

/// A shoe that was found.
#[derive(Clone, Debug)]
pub enum ScanShoe {
    /// With its reasons and its step.
    Row(Box<RankedRow>),
    /// Without any order: its page, and its pairs in words.
    Plain(Link, String),
}

/// One thing to do next.
#[derive(Clone, Debug)]
pub struct NextStep {
    /// `Search all shoes for “310”`; empty where there is nothing to follow.
    pub link: Option<Link>,
    /// The rest of the sentence, or all of it.
    pub say: String,
}

impl ScanPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            div .heading { h1 { (self.heading) } @for say in &self.said { p .lead { (say) } } }
            @for found in &self.found { (found.view()) }
            @if !self.steps.is_empty() {
                h2 { (say!("What to do next")) }
                ol .steps { @for step in &self.steps { li { (step.view()) } } }
            }
            @if let Some(again) = &self.again { (again) }
            @if let Some(back) = &self.back { p { (back) } }
        };
        page(frame, say!("Scan"), Width::Wide, &body)
    }
}

impl ScanFound {
    fn view(&self) -> Markup {
        html! {
            section .group {
                h2 { (self.stands) }
                @for say in &self.boxes { p .lead { (say) } }
                @if let Some((say, way)) = &self.hidden {
                    div .announcement {
                        p { (say) }
                        @if let Some(way) = way { (way.act.button(&way.label, &way.label, Tone::Quiet)) }
                    }
                }
                @match &self.shoe {
                    ScanShoe::Row(row) => ol .rows { (row) },
                    ScanShoe::Plain(link, pairs) => p { (link) ": " (pairs) },
                }
            }
        }
    }
}

impl NextStep {
    fn view(&self) -> Markup {
        html! { @if let Some(link) = &self.link { (link) " " } (self.say) }
    }
}

#[cfg(test)]
mod tests {
    use crate::pages::sample;

    #[test]
    fn a_code_that_nothing_carries_leads_on_and_the_title_says_nothing_of_it() {
        let html = sample::unknown_scan_page().view(&sample::frame(None)).into_string();
        assert!(html.contains("What to do next") && html.matches("<li>").count() >= 3);
        assert!(html.contains("<title>Scan ·") && html.contains("autofocus"));
    }
}
