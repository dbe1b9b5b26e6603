//! What the catalogue does not know: counts, doubts, and what to ask whom; and the shoes behind one count.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::pager::Pager;
use crate::parts::table::Table;

/// The counts and doubts.
#[derive(Clone, Debug)]
pub struct GapsPage {
    /// `412 styles` or `38 styles of Brackwater`.
    pub lead: String,
    /// Leads to all shoes; `None` when all are looked at.
    pub all: Option<Link>,
    /// There is nothing to look at: says what that means.
    pub empty: String,
    /// What is wanted, how many lack it, what that costs.
    pub holes: Table,
    /// `Nothing is missing of rocker sole and price.`
    pub whole: String,
    /// Contradictions, outliers, duplicates.
    pub doubts: Vec<Doubts>,
    /// Supplier, styles, holes, and the letter.
    pub suppliers: Table,
    /// Maker, styles, holes.
    pub makers: Table,
    /// What to ask the one supplier that is looked at.
    pub letter: Option<Letter>,
}

/// Doubts of one kind.
#[derive(Clone, Debug)]
pub struct Doubts {
    /// `Contradictions`.
    pub heading: String,
    /// How they are found.
    pub how: String,
    /// What it means that there are none.
    pub none: String,
    /// How many there are in all.
    pub count: usize,
    /// The first of them.
    pub shown: Vec<DoubtLine>,
}

/// One doubt.
#[derive(Clone, Debug)]
pub struct DoubtLine {
    /// What is the matter.
    pub say: String,
    /// Each shoe it is about, linked to its page.
    pub shoes: Vec<Link>,
    /// Where each is mended.
    pub mend: Vec<Link>,
}

/// A letter ready to be mailed.
#[derive(Clone, Debug)]
pub struct Letter {
    /// The text.
    pub text: String,
    /// The same text as a file.
    pub download: String,
}

/// The shoes that lack one thing.
#[derive(Clone, Debug)]
pub struct GapListPage {
    /// `Drop: not given`.
    pub heading: String,
    /// `38 of 412 styles of Brackwater`.
    pub lead: String,
    /// What the want costs.
    pub costs: String,
    /// Back to the counts.
    pub back: Link,
    /// Shoe, number, supplier, what else is missing, mend.
    pub shoes: Table,
    /// The pager.
    pub pager: Pager,
}

impl GapsPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("Gaps"), &self.lead))
            @if let Some(all) = &self.all { p { (all) } }
            @if self.empty.is_empty() { (self.counts()) } @else { p .lead { (self.empty) } }
        };
        page(frame, say!("Gaps"), Width::Wide, &body)
    }

    fn counts(&self) -> Markup {
        html! {
            h2 { (say!("Not given")) }
            @if !self.holes.rows.is_empty() { (self.holes) }
            @if !self.whole.is_empty() { p .soft { (self.whole) } }
            @for doubts in &self.doubts { (doubts.view()) }
            @if let Some(letter) = &self.letter { (letter.view()) }
            @if !self.suppliers.rows.is_empty() { h2 { (say!("By supplier")) } (self.suppliers) }
            @if !self.makers.rows.is_empty() { h2 { (say!("By maker")) } (self.makers) }
        }
    }
}

impl Doubts {
    fn view(&self) -> Markup {
        let more = self.count - self.shown.len().min(self.count);
        html! {
            section {
                h2 { (self.heading) " " span .soft { (self.count) } }
                @if self.count == 0 { p .soft { (self.none) } }
                @if !self.how.is_empty() { p .soft { (self.how) } }
                @if !self.shown.is_empty() { ul .changes { @for doubt in &self.shown { li { (doubt.view()) } } } }
                @if more > 0 { p .soft { (say!("And")) " " (more) " " (say!("more. Mend these, and the next come up.")) } }
            }
        }
    }
}

impl DoubtLine {
    fn view(&self) -> Markup {
        html! {
            div {
                p { b { @for (at, shoe) in self.shoes.iter().enumerate() { @if at > 0 { ", " } (shoe) } } }
                p { (self.say) }
            }
            @for mend in &self.mend { (mend) " " }
        }
    }
}

impl Letter {
    fn view(&self) -> Markup {
        html! {
            section {
                h2 { (say!("What we are asking you for")) }
                div .field {
                    label for="letter" { (say!("Ready to be mailed")) }
                    textarea #letter rows="14" cols="72" readonly { "\n" (self.text) }
                }
                p .buttons { a .button .quiet href=(self.download) download { (say!("Save as a text file")) } }
            }
        }
    }
}

impl GapListPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(&self.heading, &self.lead))
            p { (self.costs) }
            p { (self.back) }
            @if self.shoes.rows.is_empty() { p .lead { (say!("None: every one of these shoes says it.")) } }
            @else { (self.shoes) }
            (self.pager)
        };
        page(frame, say!("Gaps"), Width::Wide, &body)
    }
}
