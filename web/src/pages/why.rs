//! Why one shoe stands where it stands: lines that add up, each with what it rests on, and what is still open.

use maud::{Markup, Render, html};

use crate::labels::HOUSE_VIEW;
use crate::parts::Link;
use crate::parts::control::Select;
use crate::parts::evidence::Evidence;
use crate::parts::layout::{Frame, Width, page};
use crate::parts::sole_line::SoleLine;
use crate::words;

/// The explanation of one shoe for one fitting. For the fitter.
#[derive(Clone, Debug)]
pub struct WhyPage {
    /// Maker and name.
    pub shoe: String,
    /// Its page, where each value tells its origin.
    pub href: String,
    /// `place 4 of 61 in this order`.
    pub place: String,
    /// What the fitter's hand did with it.
    pub hand: Option<String>,
    /// The drawing, large.
    pub sole: SoleLine,
    /// What speaks for it and against it, in words.
    pub summary: Summary,
    /// `6 of 8 measures this runner’s order needs are given.`
    pub known: String,
    /// The other shoes it can be set beside.
    pub beside: Choice,
    /// `71.4`: what the lines add up to.
    pub total: String,
    /// `68.9 to 73.9`: what the sum could be; empty when all is known.
    pub range: String,
    /// `68.9 to 73.9`, with the measures that are not given; empty when all are known.
    pub interval: String,
    /// Base, measures, rules, cap: in the order they are added.
    pub lines: Vec<WhyLine>,
    /// What is not given, the most telling first.
    pub open: Vec<WhyOpen>,
    /// Where a measure is entered.
    pub measure_href: String,
    /// What nobody asked.
    pub unasked: Vec<WhyUnasked>,
    /// Where it is asked.
    pub runner_href: String,
    /// The rules among the lines, with their evidence.
    pub rules: Vec<WhyRule>,
    /// The same as JSON.
    pub twin: String,
    /// Back to the order.
    pub back: Link,
}

/// What speaks for a shoe, what against it, and what is unknown; no points.
#[derive(Clone, Debug, Default)]
pub struct Summary {
    /// For it.
    pub speaks_for: Vec<String>,
    /// Against it, injuries first.
    pub against: Vec<String>,
    /// Not known.
    pub unknown: Vec<String>,
    /// Rules that count nothing, for another pulls against them.
    pub left_out: Vec<String>,
}

/// The shoes one can be set beside.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The neighbours in the order.
    pub near: Vec<Link>,
    /// All others of the order.
    pub others: Select,
    /// Where the choice is sent; it changes nothing.
    pub action: String,
}

/// One line of the sum.
#[derive(Clone, Debug, Default)]
pub struct WhyLine {
    /// `Landing stack`, `Calf and drop`, `Where every shoe starts`.
    pub label: String,
    /// The shoe's value, `32 mm`, `not given`; empty for the base and for rules without one.
    pub value: String,
    /// Where the value tells its origin.
    pub value_href: Option<String>,
    /// `30 to 34 mm`, with *guessed* or *kept for the calf* in words; empty without a band.
    pub band: String,
    /// The policy, the rule, or what somebody asked for.
    pub rests: Option<Link>,
    /// Signed, one decimal: `+24.3`, `−1.5`.
    pub points: String,
    /// `25.2 of 28 at the most` or `from 0 to 28: not given`; empty when nothing is open.
    pub range: String,
}

/// What one unknown measure would settle.
#[derive(Clone, Debug)]
pub struct WhyOpen {
    /// `Drop`.
    pub measure: String,
    /// `58 to 79`.
    pub now: String,
    /// `7 points wide, such as 65 to 72`.
    pub then: String,
    /// `14 points less open`.
    pub settles: String,
}

/// What one answer could do that nobody has asked for.
#[derive(Clone, Debug)]
pub struct WhyUnasked {
    /// `History`.
    pub name: String,
    /// The rules with points that an answer could bring in.
    pub rules: Vec<Link>,
    /// What else it could do, in words.
    pub also: String,
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
                h1 { (say!("Why this place")) }
                p .lead { a href=(self.href) { (self.shoe) } " · " (self.place) }
            }
            @if let Some(hand) = &self.hand { p .remark { (hand) } }
            div .columns {
                div { (self.summary) }
                figure .profile { (self.sole) figcaption { (self.sole.in_words()) "." } }
            }
            (self.beside)
            h2 { (say!("How sure")) }
            p { (self.known) @if !self.range.is_empty() { " " (say!("The sum could be")) " " (self.range) "." } }
            (self.sum())
            p .soft { (words::of(HOUSE_VIEW)) " " (say!("No study gives millimetres a step.")) }
            (self.open())
            (self.unasked())
            (self.evidence())
            p .twins { (say!("The same as")) " " a href=(self.twin) { (say!("JSON")) } "." }
            p { (self.back) }
        };
        page(frame, say!("Why this place"), Width::Wide, &body)
    }

    fn sum(&self) -> Markup {
        html! {
            div .table tabindex="0" role="region" aria-label=(say!("The lines and their sum")) {
                table .sum {
                    caption { (say!("The lines and their sum, of 100 points")) }
                    thead { tr {
                        th scope="col" { (say!("Line")) } th scope="col" { (say!("This shoe")) } th scope="col" { (say!("Looked for")) }
                        th scope="col" { (say!("Rests on")) } th scope="col" .number { (say!("Points")) }
                    } }
                    tbody { @for line in &self.lines { (line.view()) } }
                    tfoot { tr {
                        th scope="row" colspan="4" { (say!("In all")) @if !self.interval.is_empty() { small { (say!("could be")) " " (self.interval) } } }
                        td .number { b { (self.total) } }
                    } }
                }
            }
        }
    }

    fn open(&self) -> Markup {
        html! {
            @if !self.open.is_empty() {
                h2 #open { (say!("What would change it most")) }
                div .table tabindex="0" role="region" aria-label=(say!("What one more measure would settle")) {
                    table {
                        caption { (say!("Wherever within the present interval the shoe came to stand, this much would stay open")) }
                        thead { tr {
                            th scope="col" { (say!("Once known")) } th scope="col" { (say!("Could be now")) }
                            th scope="col" { (say!("Could be then")) } th scope="col" { (say!("Settles")) }
                        } }
                        tbody { @for open in &self.open { tr {
                            th scope="row" { (open.measure) } td { (open.now) } td { (open.then) } td { (open.settles) }
                        } } }
                    }
                }
                p { a href=(self.measure_href) { (say!("Measure it at the bench and enter it")) } (say!(", or ask the supplier.")) }
            }
        }
    }

    fn unasked(&self) -> Markup {
        html! {
            @if !self.unasked.is_empty() {
                h2 #unasked { (say!("Not asked, and what it could do")) }
                dl .evidence { @for entry in &self.unasked { (entry.view()) } }
                p { a href=(self.runner_href) { (say!("Ask now: the runner’s answers")) } }
            }
        }
    }

    fn evidence(&self) -> Markup {
        html! {
            @if !self.rules.is_empty() {
                h2 { (say!("What the rules rest on")) }
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

impl Render for Summary {
    fn render(&self) -> Markup {
        let part = |kind: &str, sign: &str, says: &[String]| {
            html! {
                @if says.is_empty() { (say!("Nothing of what is known.")) }
                @else {
                    ul .reasons {
                        @for say in says { li class=(kind) { span .sign aria-hidden="true" { (sign) } span { (say) } } }
                    }
                }
            }
        };
        html! {
            dl .evidence {
                dt { (say!("For it")) } dd { (part("plus", "+", &self.speaks_for)) }
                dt { (say!("Against it")) } dd { (part("minus", "−", &self.against)) }
                @if !self.unknown.is_empty() { dt { (say!("Unknown")) } dd { (part("open", "?", &self.unknown)) } }
                @if !self.left_out.is_empty() { dt { (say!("Left out")) } dd { (part("open", "·", &self.left_out)) } }
            }
        }
    }
}

impl Render for Choice {
    fn render(&self) -> Markup {
        html! {
            @if !self.others.groups.iter().all(|group| group.options.is_empty()) {
                section aria-labelledby="beside-heading" {
                    h2 #beside-heading { (say!("Why above, why below")) }
                    div .filters {
                        @for link in &self.near { a .chip href=(link.href) { (link.label) } }
                        form .line method="get" action=(self.action) {
                            (self.others)
                            button .button .quiet type="submit" { (say!("Set beside")) }
                        }
                    }
                }
            }
        }
    }
}

impl WhyLine {
    /// A line of a label only.
    pub fn of(label: String) -> Self {
        Self { label, ..Self::default() }
    }

    fn view(&self) -> Markup {
        html! {
            tr {
                th scope="row" { (self.label) }
                td { @match &self.value_href { Some(href) => a href=(href) { (self.value) }, None => (self.value) } }
                td { (self.band) }
                td { @if let Some(rests) = &self.rests { (rests) } }
                td .number { (self.points) @if !self.range.is_empty() { small { (self.range) } } }
            }
        }
    }
}

impl WhyUnasked {
    fn view(&self) -> Markup {
        html! {
            dt { (self.name) }
            dd {
                @if !self.rules.is_empty() {
                    (say!("could bring in")) " "
                    @for (place, rule) in self.rules.iter().enumerate() { @if place > 0 { ", " } (rule) }
                    @if !self.also.is_empty() { "; " }
                }
                (self.also)
            }
        }
    }
}
