//! Why one shoe stands where it stands: lines that add up, each with what it rests on.

use maud::{Markup, html};

use crate::labels::HOUSE_VIEW;
use crate::parts::Link;
use crate::parts::evidence::Evidence;
use crate::parts::layout::{Frame, Width, page};
use crate::parts::notes::Notes;
use crate::parts::sole_line::SoleLine;

/// The explanation of one shoe for one fitting. For the fitter.
#[derive(Clone, Debug)]
pub struct WhyPage {
    /// Maker and name.
    pub shoe: String,
    /// Its page.
    pub href: String,
    /// `Fourth of 61 in this order`.
    pub place: String,
    /// The drawing, large.
    pub sole: SoleLine,
    /// `71.4`: what the lines add up to.
    pub total: String,
    /// `68.9 to 73.9`, with the measures that are not given; the same as the total when all are known.
    pub interval: String,
    /// Base, measures, rules, cap: in the order they are added.
    pub lines: Vec<WhyLine>,
    /// The rules among the lines, with their evidence.
    pub rules: Vec<WhyRule>,
    /// Rules in force that carry no points, and conflicts.
    pub notes: Notes,
    /// Back to the order.
    pub back: Link,
}

/// One line of the sum.
#[derive(Clone, Debug)]
pub struct WhyLine {
    /// `Landing stack`, `Calf and drop`, `Where every shoe starts`.
    pub label: String,
    /// The shoe's value, `32 mm`, `not given`; empty for the base and for rules without one.
    pub value: String,
    /// `30 to 34 mm`, with *guessed* or *kept for the calf* in words; empty without a band.
    pub band: String,
    /// Signed, one decimal: `+24.3`, `−1.5`.
    pub points: String,
    /// `25.2 of 28 at the most` or `from 0 to 28: not given`; empty when nothing is open.
    pub range: String,
}

/// A rule behind a line.
#[derive(Clone, Debug)]
pub struct WhyRule {
    /// Its id on the page of rules.
    pub rule: Link,
    /// What it says of this shoe, in the words of its grade.
    pub say: String,
    /// What it rests on.
    pub evidence: Evidence,
}

impl WhyPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            div .heading {
                h1 { "Why this place" }
                p .lead { a href=(self.href) { (self.shoe) } " · " (self.place) }
            }
            figure .profile { (self.sole) figcaption { (self.sole.in_words()) "." } }
            (self.sum())
            p .soft { (HOUSE_VIEW) " No study gives millimetres a step." }
            (self.evidence())
            (self.notes)
            p { (self.back) }
        };
        page(frame, "Why this place", Width::Wide, &body)
    }

    fn sum(&self) -> Markup {
        html! {
            div .table tabindex="0" role="region" aria-label="The lines and their sum" {
                table .sum {
                    caption { "The lines and their sum, of 100 points" }
                    thead { tr {
                        th scope="col" { "Line" } th scope="col" { "This shoe" } th scope="col" { "Looked for" }
                        th scope="col" .number { "Points" }
                    } }
                    tbody { @for line in &self.lines { (line.view()) } }
                    tfoot { tr {
                        th scope="row" colspan="3" { "In all" @if !self.interval.is_empty() { small { "could be " (self.interval) } } }
                        td .number { b { (self.total) } }
                    } }
                }
            }
        }
    }

    fn evidence(&self) -> Markup {
        html! {
            @if !self.rules.is_empty() {
                h2 { "What the rules rest on" }
                @for rule in &self.rules {
                    section .rule {
                        h3 { (rule.rule) }
                        p { (rule.say) }
                        (rule.evidence)
                    }
                }
            }
        }
    }
}

impl WhyLine {
    fn view(&self) -> Markup {
        html! {
            tr {
                th scope="row" { (self.label) }
                td { (self.value) }
                td { (self.band) }
                td .number { (self.points) @if !self.range.is_empty() { small { (self.range) } } }
            }
        }
    }
}
