//! The card to take home: one page, black on white, nothing for staff only.

use maud::{DOCTYPE, Markup, html};

use crate::labels::{CAUTION, NOT_ASKED};
use crate::parts::Link;
use crate::parts::layout::{Frame, head};
use crate::parts::sole_line::SoleLine;

/// The card. No body mass, no health answer beyond whether pain was asked about.
#[derive(Clone, Debug)]
pub struct CardPage {
    /// The shop as it signs.
    pub shop: String,
    /// `25 November 2026`.
    pub date: String,
    /// That a red flag has stopped the ordering.
    pub stopped: Option<String>,
    /// The chosen shoe, or the first of the shortlist; `None` when nothing was chosen.
    pub chosen: Option<CardShoe>,
    /// The others that were tried or brought out.
    pub others: Vec<CardShoe>,
    /// The pair worn now, in words.
    pub worn: String,
    /// Why these, in plain words; no points.
    pub reasons: Vec<String>,
    /// What to mind in the change, each with the short source in brackets where there is one.
    pub advice: Vec<String>,
    /// The plan for the change to the chosen shoe; `None` when nothing was chosen or nobody may plan.
    pub plan: Option<CardPlan>,
    /// `asked: none`; `None` prints *not asked*.
    pub pain: Option<String>,
    /// Answers nobody asked for, by name.
    pub unasked: Vec<String>,
    /// The shareable comparison, its address printed.
    pub compare: Option<Link>,
    /// Back to the fitting; not printed.
    pub back: Link,
}

/// The plan as it goes home: few rows, and no reason that tells of body or pain.
#[derive(Clone, Debug)]
pub struct CardPlan {
    /// `Six weeks, for a large step.` and what else must be read with it.
    pub said: Vec<String>,
    /// Week, most in the new shoe, km in the new and in the old pair, the day to look again after it.
    pub weeks: Vec<[String; 5]>,
    /// When to stop, step back or hold.
    pub signs: Vec<String>,
    /// `after week 2: 10 December 2026`.
    pub reviews: Vec<String>,
}

/// A shoe on the card.
#[derive(Clone, Debug)]
pub struct CardShoe {
    /// Maker and name.
    pub name: String,
    /// `EU 42.5 tried` or the working sizes.
    pub size: String,
    /// `same drop, 2 mm lower, 18 g lighter`.
    pub deltas: String,
    /// The drawing, large, the worn pair over it.
    pub sole: SoleLine,
}

impl CardPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        html! {
            (DOCTYPE)
            html lang="en" {
                (head(frame, "Card"))
                body .card {
                    nav .screen-only aria-label="Back" { (self.back) " · Print this page with the browser; it fits one sheet." }
                    main { (self.body()) }
                }
            }
        }
    }

    fn body(&self) -> Markup {
        html! {
            header { p .shop { (self.shop) } p { (self.date) } }
            h1 { "Your shoes" }
            @if let Some(stopped) = &self.stopped { p { b { (stopped) } } }
            @match &self.chosen {
                Some(shoe) => (shoe.large()),
                None => p { "Nothing was chosen today." },
            }
            p { b { "Worn until now: " } (self.worn) }
            (list("Why these", &self.reasons))
            @if let Some(plan) = &self.plan { (plan.view()) }
            (list("In the first weeks", &self.advice))
            (self.tried())
            p { b { "Pain: " } (self.pain.as_deref().unwrap_or(NOT_ASKED)) }
            @if !self.unasked.is_empty() { p { b { "Not asked: " } (self.unasked.join(", ")) } }
            @if let Some(compare) = &self.compare { p { b { (compare.label) ": " } (compare.href) } }
            p .caution { (CAUTION) }
        }
    }

    fn tried(&self) -> Markup {
        html! {
            @if !self.others.is_empty() {
                h2 { "Also tried" }
                ul { @for shoe in &self.others { li { b { (shoe.name) } ", " (shoe.size) ": " (shoe.deltas) } } }
            }
        }
    }
}

impl CardPlan {
    fn view(&self) -> Markup {
        html! {
            h2 { "The change, week by week" }
            @for sentence in &self.said { p { (sentence) } }
            @if self.weeks.is_empty() {
                @if !self.reviews.is_empty() { p { b { "Look again together " } (self.reviews.join(", ")) "." } }
            } @else { (self.table()) }
            (list("When to stop, step back or hold", &self.signs))
        }
    }

    fn table(&self) -> Markup {
        html! {
            table .weeks {
                thead { tr {
                    th scope="col" { "Week" }
                    th scope="col" { "New pair, at most" }
                    th scope="col" { "km new" }
                    th scope="col" { "km old" }
                    th scope="col" { "Look again together" }
                } }
                tbody { @for [week, share, new, old, review] in &self.weeks {
                    tr { th scope="row" { (week) } td { (share) } td { (new) } td { (old) } td { (review) } }
                } }
            }
        }
    }
}

impl CardShoe {
    fn large(&self) -> Markup {
        html! {
            h2 { (self.name) span .soft { " " (self.size) } }
            (self.sole)
            p { (self.deltas) ". Drawn to scale; dashed: the pair worn until now." }
        }
    }
}

fn list(heading: &str, sentences: &[String]) -> Markup {
    html! {
        @if !sentences.is_empty() {
            h2 { (heading) }
            ul { @for sentence in sentences { li { (sentence) } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::pages::sample;

    #[test]
    fn the_card_says_not_asked_and_carries_the_caution() {
        let html = sample::card_page().view(&sample::frame(None)).into_string();
        assert!(html.contains("Not asked: ") && html.contains(crate::labels::CAUTION));
        assert!(!html.contains("points") && !html.contains("class=\"way\""));
    }
}
