//! The plan for the change: what kind, the weeks, the shoes on the way, when to stop, what it rests on.

use maud::{Markup, html};

use crate::labels::HOUSE_VIEW;
use crate::parts::Link;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::sole_line::SoleLine;
use crate::words;

/// The plan of a fitting, for fitter and customer together: no body mass, no points.
#[derive(Clone, Debug)]
pub struct PlanPage {
    /// The pair worn now, in words.
    pub from: String,
    /// The shoe it is for; `None` when nothing has been brought out.
    pub shoe: Option<PlannedShoe>,
    /// The plans of the other shoes that were brought out.
    pub others: Vec<Link>,
    /// `26 weeks, to a minimal-type shoe.`
    pub short: String,
    /// Why it is that kind of plan; empty when there is nothing to say.
    pub why: String,
    /// What it must be read with, each with where to go about it.
    pub announcements: Vec<(String, Option<Link>)>,
    /// Week by week; empty where none are needed.
    pub weeks: Vec<WeekRow>,
    /// Kilometres a week; `None` when they were not asked.
    pub weekly_km: Option<u16>,
    /// How the stepping shoes stand.
    pub stepping: String,
    /// The shoes on the way, the wish last; empty when it is one step, or none.
    pub steps: Vec<OnTheWay>,
    /// `after week 2: 10 December 2026`.
    pub reviews: Vec<String>,
    /// What is said about it, part by part; when to stop comes first where a change needs it.
    pub parts: Vec<Part>,
    /// Back to the answers.
    pub runner: Link,
}

/// The shoe a plan is for.
#[derive(Clone, Debug)]
pub struct PlannedShoe {
    /// Its name, leading to its page.
    pub link: Link,
    /// `4 mm less drop, 8 lower, 30 g lighter`.
    pub deltas: String,
    /// The drawing, large, the worn pair over it.
    pub sole: SoleLine,
}

/// One week.
#[derive(Clone, Debug)]
pub struct WeekRow {
    /// From 1.
    pub week: u16,
    /// The day it begins.
    pub from: String,
    /// `38 %`.
    pub share: String,
    /// Kilometres in the new shoe, or *not asked*.
    pub new: String,
    /// Kilometres in the old one, or *not asked*.
    pub old: String,
    /// Runner and fitter look again after it.
    pub review: bool,
}

/// A shoe on the way.
#[derive(Clone, Debug)]
pub struct OnTheWay {
    /// Its name, leading to its page.
    pub shoe: Link,
    /// `28 / 22 mm, drop 6, 240 g`.
    pub measures: String,
    /// What the step to it changes.
    pub step: String,
    /// The drawing, the shoe before it dashed.
    pub sole: SoleLine,
}

/// One part of what is said.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its heading.
    pub heading: &'static str,
    /// The sentences.
    pub said: Vec<Said>,
}

/// A sentence with what it rests on.
#[derive(Clone, Debug)]
pub struct Said {
    /// The sentence.
    pub say: String,
    /// Grade and who was studied, leading to the page of rules.
    pub basis: Link,
}

impl PlanPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("Plan for the change"), ""))
            @match &self.shoe {
                None => (self.nothing_yet()),
                Some(shoe) => (self.for_shoe(shoe)),
            }
        };
        page(frame, say!("Plan for the change"), Width::Wide, &body)
    }

    fn nothing_yet(&self) -> Markup {
        html! {
            p .summary { (say!("A plan leads from the pair worn now to a shoe: bring one out from the stock in order, and its plan is here.")) }
            p { (self.runner) }
        }
    }

    fn for_shoe(&self, shoe: &PlannedShoe) -> Markup {
        html! {
            div .planned {
                div {
                    h2 .flush { (say!("To")) " " (shoe.link) }
                    p .summary { (self.short) }
                    @if !self.why.is_empty() { p { (say!("Why:")) " " (self.why) } }
                    p .soft { (say!("From")) " " (self.from) ": " (shoe.deltas) "." }
                    @if !self.others.is_empty() {
                        p { (say!("Plan to")) " " @for (place, other) in self.others.iter().enumerate() { @if place > 0 { ", " } (other) } " " (say!("instead")) }
                    }
                }
                (shoe.sole)
            }
            @for (say, way) in &self.announcements {
                div .announcement { p { (say) } @if let Some(way) = way { a .button .quiet href=(way.href) { (way.label) } } }
            }
            // What ends or holds the change stands before what carries it on.
            @if let Some(signs) = self.parts.first() { (signs.view()) }
            (self.weeks())
            (self.on_the_way())
            @for part in self.parts.iter().skip(1) { (part.view()) }
            p .soft { (words::of(HOUSE_VIEW)) }
            p { (self.runner) }
        }
    }

    fn weeks(&self) -> Markup {
        html! {
            @if !self.weeks.is_empty() {
                h2 { (say!("Week by week")) }
                p .lead {
                    (say!("The most in the new shoe; less is within the plan.")) " "
                    @if let Some(km) = self.weekly_km { (say!("Counted for")) " " (km) " " (say!("km a week, all weeks alike.")) }
                }
                div .table tabindex="0" role="region" aria-label=(say!("Week by week")) {
                    table .weeks {
                        thead { tr {
                            th scope="col" .number { (say!("Week")) }
                            th scope="col" { (say!("From")) }
                            th scope="col" .number { (say!("At most")) }
                            th scope="col" .number { (say!("km, new pair")) }
                            th scope="col" .number { (say!("km, old pair")) }
                            th scope="col" { (say!("After it")) }
                        } }
                        tbody { @for week in &self.weeks { (week.view()) } }
                    }
                }
            } @else if !self.reviews.is_empty() {
                p { (say!("Look again together")) " " (self.reviews.join(", ")) "." }
            }
        }
    }

    fn on_the_way(&self) -> Markup {
        html! {
            h2 { (say!("Stepping shoes")) }
            p { (self.stepping) }
            @if !self.steps.is_empty() {
                ol .steps {
                    @for step in &self.steps {
                        li {
                            div { b { (step.shoe) } p .soft { (step.measures) } p { (step.step) } }
                            (step.sole)
                        }
                    }
                }
                p .soft { (say!("Drawn to scale; dashed: the shoe before. Each step is planned anew when it is there.")) }
            }
        }
    }
}

impl WeekRow {
    fn view(&self) -> Markup {
        html! {
            tr .review[self.review] {
                th scope="row" .number { (self.week) }
                td { (self.from) }
                td .number { (self.share) }
                td .number { (self.new) }
                td .number { (self.old) }
                td { @if self.review { (say!("Look again together")) } }
            }
        }
    }
}

impl Part {
    fn view(&self) -> Markup {
        html! {
            h2 { (self.heading) }
            ul {
                @for said in &self.said { li { (said.say) " " small .soft { "(" (said.basis) ")" } } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::pages::sample;

    #[test]
    fn a_plan_promises_nothing_and_carries_the_caution() {
        let html = sample::plan_page().view(&sample::fitting_frame("Plan")).into_string();
        for word in ["prevents", "cures", "corrects"] {
            assert!(!html.contains(word), "{word}");
        }
        assert!(html.contains(crate::labels::CAUTION) && html.contains("Look again together"));
    }

    #[test]
    fn without_a_shoe_the_page_says_what_to_do() {
        let page = super::PlanPage { shoe: None, ..sample::plan_page() };
        let html = page.view(&sample::fitting_frame("Plan")).into_string();
        assert!(html.contains("bring one out") && !html.contains("<table"));
    }
}
