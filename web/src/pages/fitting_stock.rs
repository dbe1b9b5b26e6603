//! The ranked list of a fitting: brief, filters, notes, and the stock in order.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::brief::Brief;
use crate::parts::chips::Chips;
use crate::parts::group::Group;
use crate::parts::layout::{Frame, Width, page};
use crate::parts::narrowing::Narrowing;
use crate::parts::notes::Notes;
use crate::parts::ranked_row::RankedRow;

/// The ranked list.
#[derive(Clone, Debug)]
pub struct StockPage {
    /// What the order rests on.
    pub brief: Brief,
    /// The gate, a halved offset, a guessed band: `3 of 6 weeks done in this step`; one sentence each.
    pub announcements: Vec<Announcement>,
    /// Filters in force.
    pub chips: Chips,
    /// Further filters, folded behind `+ add a filter`; `chips.add` is `None` then.
    pub narrowing: Narrowing,
    /// `41 shoes in this order.`
    pub count: String,
    /// The same shoes as a map.
    pub map: String,
    /// What has been brought out.
    pub shortlist: Shortlist,
    /// Two pains pull apart, and the page asks which is current.
    pub conflict: Option<Conflict>,
    /// The shoe worn now, shown aside where it takes no place.
    pub aside: Option<RankedRow>,
    /// What the fitter keeps on top.
    pub kept: Option<Group>,
    /// What the fitter has set aside.
    pub set_aside: Option<Group>,
    /// First, also, further, too little; empty ones are there with why.
    pub groups: Vec<Group>,
    /// What the last answer changed.
    pub changed: Option<String>,
    /// With nothing left: the ways out, each with the shoes it leads to.
    pub without: Vec<Way>,
    /// With nothing left: the pair worn now may stay in use.
    pub keep_on: Option<String>,
    /// With nothing left: what could be ordered in.
    pub order_in: Option<Group>,
    /// The stock has changed since the order was made; posts Refresh.
    pub refresh: Option<Refresh>,
    /// Said once a page.
    pub notes: Notes,
}

/// An act with its words.
#[derive(Clone, Debug)]
pub struct Way {
    /// `Without road: 41 shoes`.
    pub label: String,
    /// What it does.
    pub act: Act,
}

/// A sentence about the order, with what can be done about it.
#[derive(Clone, Debug)]
pub struct Announcement {
    /// The sentence.
    pub say: String,
    /// `Order for less anyway`.
    pub act: Option<Way>,
}

/// What has been brought out.
#[derive(Clone, Debug, Default)]
pub struct Shortlist {
    /// The shoes, in the order they were brought out.
    pub shoes: Vec<Link>,
    /// The page that sets them side by side; `None` below two.
    pub compare: Option<String>,
}

/// Two pulls that cancel out, and the question that settles it.
#[derive(Clone, Debug)]
pub struct Conflict {
    /// What the two rules ask, in words.
    pub say: String,
    /// `Which pain is current?`
    pub question: String,
    /// One an answer.
    pub answers: Vec<Way>,
}

/// The order is frozen; this thaws it.
#[derive(Clone, Debug)]
pub struct Refresh {
    /// What has changed: `Stock figures have changed since this order was made.`
    pub say: String,
    /// Posts Refresh.
    pub act: Act,
}

impl StockPage {
    /// The page of a list that was drawn.
    pub fn framed(frame: &Frame, body: &Markup) -> Markup {
        page(frame, say!("Stock in order"), Width::Wide, body)
    }

    /// The list.
    pub fn body(&self) -> Markup {
        html! {
            h1 .sr { (say!("Stock in order")) }
            (self.brief)
            (self.said())
            div .filters { (self.chips) (self.narrowing) }
            div .found {
                p .soft role="status" { (self.count) }
                a .as-map href=(self.map) { (say!("See it as a map")) }
            }
            (self.shortlist())
            @if !self.groups.is_empty() || self.order_in.is_some() { (legend(self.has_worn())) }
            @if let Some(kept) = &self.kept { (kept) }
            @if let Some(first) = self.groups.first() { (first) }
            (self.emptied())
            (self.worn_aside())
            @for group in self.groups.iter().skip(1).chain(&self.set_aside) { (group) }
            (self.notes)
        }
    }

    fn said(&self) -> Markup {
        html! {
            @if let Some(changed) = &self.changed { div .announcement .changed role="status" { p { (changed) } } }
            @if let Some(refresh) = &self.refresh {
                div .announcement { p { (refresh.say) } (refresh.act.button(say!("Refresh"), say!("Refresh the order"), Tone::Quiet)) }
            }
            @for announcement in &self.announcements { (announcement.view()) }
            @if let Some(conflict) = &self.conflict { (conflict.view()) }
        }
    }

    fn shortlist(&self) -> Markup {
        html! {
            @if !self.shortlist.shoes.is_empty() {
                p .shortlist {
                    b { (say!("Brought out:")) " " }
                    span {
                        @for (place, shoe) in self.shortlist.shoes.iter().enumerate() { @if place > 0 { ", " } (shoe) }
                    }
                    @if let Some(href) = &self.shortlist.compare { a .button .quiet href=(href) { (say!("Compare")) } }
                }
            }
        }
    }

    fn worn_aside(&self) -> Markup {
        html! {
            @if let Some(row) = &self.aside {
                aside .group aria-labelledby="worn" {
                    h2 #worn { (say!("Worn now")) }
                    p .lead { (say!("Aside: the heading leads away from it, so it takes no place in the order.")) }
                    ol .rows { (row) }
                }
            }
        }
    }

    fn emptied(&self) -> Markup {
        html! {
            @if self.groups.is_empty() {
                section .group aria-labelledby="without" {
                    h2 #without { (say!("Nothing is left")) }
                    @if self.without.is_empty() { p .lead { (say!("No shoe of the catalogue is in stock.")) } }
                    @else {
                        p .lead { (say!("Every shoe is hidden. The ways out, with what each leads to:")) }
                        ul .plain { @for way in &self.without { li { (way.act.button(&way.label, &way.label, Tone::Quiet)) } } }
                    }
                    @if let Some(group) = &self.order_in {
                        p { a href="#order-in" { (group.heading) } (say!(": not in stock, listed below.")) }
                    }
                    @if let Some(say) = &self.keep_on { p { (say) } }
                }
                @if let Some(group) = &self.order_in { (group) }
            }
        }
    }

    fn has_worn(&self) -> bool {
        let rows = self.groups.iter().flat_map(|group| &group.rows);
        rows.chain(&self.aside).any(|row| row.sole.worn.is_some())
    }
}

impl Announcement {
    fn view(&self) -> Markup {
        html! {
            div .announcement {
                p { (self.say) }
                @if let Some(way) = &self.act { (way.act.button(&way.label, &way.label, Tone::Quiet)) }
            }
        }
    }
}

impl Conflict {
    fn view(&self) -> Markup {
        html! {
            section .announcement .conflict aria-labelledby="conflict" {
                div {
                    h2 #conflict { (self.question) }
                    p { (self.say) }
                }
                div .buttons {
                    @for way in &self.answers { (way.act.button(&way.label, &way.label, Tone::Quiet)) }
                }
            }
        }
    }
}

/// How the drawings are read, said once.
pub(crate) fn legend(worn: bool) -> Markup {
    html! {
        p .legend {
            span { svg aria-hidden="true" width="28" height="12" viewBox="0 0 28 12" { path .shoe d="M1 1H27V11H1Z" {} } (say!("the shoe, to scale")) }
            @if worn {
                span { svg aria-hidden="true" width="28" height="12" viewBox="0 0 28 12" { path .worn d="M0 6H28" {} } (say!("the pair worn now")) }
            }
            span { svg aria-hidden="true" width="28" height="12" viewBox="0 0 28 12" { path .open d="M0 6H28" {} } (say!("not given")) }
            span { (say!("(28) worked out of the other stack and the drop")) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::sample;

    fn html(page: &StockPage) -> String {
        StockPage::framed(&sample::fitting_frame("Stock in order"), &page.body()).into_string()
    }

    #[test]
    fn the_list_says_no_points_and_no_percentage() {
        let html = html(&sample::stock_page());
        assert!(!html.contains("points") && !html.contains('%'));
    }

    #[test]
    fn the_list_holds_nothing_about_the_runner_in_a_link() {
        let html = html(&sample::stock_page());
        for href in html.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
            assert!(!href.contains('?'), "{href}");
        }
    }

    #[test]
    fn an_empty_list_names_what_would_bring_shoes_back() {
        let way =
            Way { label: "Without road: 41 shoes".into(), act: Act::post("/f/chips", "drop", "surface") };
        let html = html(&StockPage { without: vec![way], groups: vec![], ..sample::stock_page() });
        assert!(html.contains("Nothing is left") && html.contains("Without road: 41 shoes"));
    }

    #[test]
    fn a_conflict_asks_which_pain_is_current() {
        let html = html(&sample::stock_page());
        assert!(html.contains("Which pain is current?"));
    }
}
