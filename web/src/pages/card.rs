//! The card to take home: one page, black on white, nothing for staff only.

use maud::{DOCTYPE, Markup, html};

use crate::labels::CAUTION;
use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, fitting_of, head, rests_after};
use crate::parts::qr::Qr;
use crate::parts::sole_line::SoleLine;
use crate::words;

/// The sheet a card is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    A4,
    /// 105 by 148 mm.
    A6,
}

/// The card. No body mass; what hurt only where it was asked for.
#[derive(Clone, Debug)]
pub struct CardPage {
    /// What it is printed on.
    pub paper: Paper,
    /// The shop as it signs.
    pub shop: String,
    /// `25 November 2026`.
    pub date: String,
    /// That a red flag has stopped the ordering.
    pub stopped: Option<String>,
    /// A shoe goes home; otherwise the shoes are to be thought about.
    pub sold: bool,
    /// The chosen shoe, or the customer's first; `None` when nothing was brought out.
    pub chosen: Option<CardShoe>,
    /// The others that were brought out, in the customer's order.
    pub others: Vec<CardShoe>,
    /// The pair worn now, in words.
    pub worn: String,
    /// Why these, in plain words; no points.
    pub reasons: Vec<String>,
    /// What to mind in the change, each with the short source in brackets where there is one.
    pub advice: Vec<String>,
    /// The plan for the change to the first shoe; `None` when there is none or nobody may plan.
    pub plan: Option<CardPlan>,
    /// What hurt, where the fitter has ticked that it is printed.
    pub hurt: Vec<String>,
    /// Answers nobody asked for, by name.
    pub unasked: Vec<String>,
    /// What the sentences rest on: `Salzler 2012`.
    pub sources: Vec<String>,
    /// What this sheet has no room for.
    pub left_out: Option<String>,
    /// The shareable comparison, its address printed and drawn.
    pub compare: Option<(Link, Option<Qr>)>,
    /// What can be done here; not printed.
    pub bar: CardBar,
}

/// What stands above the card on the screen.
#[derive(Clone, Debug)]
pub struct CardBar {
    /// Back to the fitting.
    pub back: Link,
    /// The same card on the other sheet.
    pub other_paper: Link,
    /// The same as plain text.
    pub text: Link,
    /// The card was opened by a name that only this machine knows, so its code leads nowhere else.
    pub this_machine_only: bool,
    /// Prints what hurt, or leaves it out: the words and what is posted.
    pub hurt: (&'static str, Act),
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
    /// `EU 42.5 left, EU 43 right, your rank 1`, or the working sizes in stock.
    pub size: String,
    /// `€ 139 · bay C4`; empty when neither is known.
    pub at: String,
    /// `same drop, 2 mm lower, 18 g lighter`.
    pub deltas: String,
    /// The drawing, large, the worn pair over it.
    pub sole: SoleLine,
}

impl Paper {
    /// The word in an address and in the style sheet.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::A6 => "a6",
        }
    }
}

impl CardPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        html! {
            (DOCTYPE)
            html lang=(words::language().tag()) {
                (head(frame, say!("Card")))
                body class={ "card " (self.paper.word()) } data-fitting=[fitting_of(frame)]
                    data-rests-after=[rests_after(frame)] {
                    (self.bar.view())
                    main { (self.body()) }
                    (way_out(frame))
                }
            }
        }
    }

    fn body(&self) -> Markup {
        html! {
            header { p .shop { (self.shop) } p { (self.date) } }
            @if !self.code_beside_the_weeks() { (self.code()) }
            h1 { (self.title()) }
            @if let Some(stopped) = &self.stopped { p { b { (stopped) } } }
            @match &self.chosen {
                Some(shoe) => (shoe.large(self.paper)),
                None => p { (say!("Nothing was chosen today.")) },
            }
            p { b { (self.worn_heading()) " " } (self.worn) }
            (self.also())
            (list(say!("Why these"), &self.reasons))
            @if let Some(plan) = &self.plan { (self.change(plan)) }
            (list(say!("In the first weeks"), &self.advice))
            (list(say!("What hurt"), &self.hurt))
            (self.small_print())
            p .caution { (words::of(CAUTION)) }
        }
    }

    fn code(&self) -> Markup {
        html! { @if let Some((_, Some(qr))) = &self.compare { (qr) } }
    }

    /// On A6 the code stands where a table of weeks leaves room, so that everything else has the whole width.
    fn code_beside_the_weeks(&self) -> bool {
        self.paper == Paper::A6 && self.plan.as_ref().is_some_and(|plan| !plan.weeks.is_empty())
    }

    /// A6 has no room for the sentence below the drawing that tells what is dashed.
    fn worn_heading(&self) -> &'static str {
        let drawn = self.chosen.as_ref().is_some_and(|shoe| shoe.sole.worn.is_some());
        if self.paper == Paper::A6 && drawn {
            say!("Worn until now (dashed):")
        } else {
            say!("Worn until now:")
        }
    }

    fn change(&self, plan: &CardPlan) -> Markup {
        html! {
            section {
                h2 { @match self.paper {
                    Paper::A4 => (say!("The change, week by week")),
                    Paper::A6 => (say!("The change")),
                } }
                (plan.said())
            }
            div .weeks-and-signs {
                @if self.code_beside_the_weeks() { (self.code()) }
                (plan.weeks_and_signs())
            }
        }
    }

    fn small_print(&self) -> Markup {
        html! {
            div .small-print {
                @if !self.unasked.is_empty() { p .left-open { b { (say!("Not asked:")) " " } (self.unasked.join(", ")) } }
                @if !self.sources.is_empty() { p .fine { b { (say!("Sources:")) " " } (self.sources.join("; ")) } }
                @if let Some((link, _)) = &self.compare { p .fine .address { b { (link.label) ": " } (link.href) } }
                @if let Some(left_out) = &self.left_out { p .fine { (left_out) } }
            }
        }
    }

    /// What the card is about.
    pub fn title(&self) -> &'static str {
        if self.sold { say!("Your shoes") } else { say!("Shoes to think about") }
    }

    /// What stands above the other shoes.
    pub fn others_title(&self) -> &'static str {
        if self.sold { say!("Also tried") } else { say!("And, in your order") }
    }

    fn also(&self) -> Markup {
        html! {
            @if !self.others.is_empty() {
                section {
                    h2 { (self.others_title()) }
                    ul { @for shoe in &self.others { li { b { (shoe.name) } ", " (shoe.line()) } } }
                }
            }
        }
    }
}

/// Who is signed in, with the way out, as at the foot of other pages; not printed.
fn way_out(frame: &Frame) -> Markup {
    html! { @if frame.present.name.is_some() { footer .screen-only { (frame.present) } } }
}

impl CardBar {
    fn view(&self) -> Markup {
        let (label, act) = &self.hurt;
        html! {
            nav .screen-only aria-label=(say!("Card")) {
                p { (self.back) " · " (self.other_paper) " · " (self.text) }
                (act.button(label, label, Tone::Quiet))
                // The script shows the button; without it the browser's menu prints.
                button .button type="button" data-print hidden { (say!("Print")) }
                p { (say!("Print from the browser's menu; it fits one sheet.")) }
                @if self.this_machine_only {
                    p .remark { (say!("The code on this card leads to this machine only: open the fitting by the address of the shop's network, then print.")) }
                }
            }
        }
    }
}

impl CardPlan {
    fn said(&self) -> Markup {
        html! {
            @for sentence in &self.said { p { (sentence) } }
            @if self.weeks.is_empty() && !self.reviews.is_empty() {
                p { b { (say!("Look again together")) " " } (self.reviews.join(", ")) "." }
            }
        }
    }

    fn weeks_and_signs(&self) -> Markup {
        html! {
            @if !self.weeks.is_empty() { (self.table()) }
            (list(say!("When to stop, step back or hold"), &self.signs))
        }
    }

    fn table(&self) -> Markup {
        html! {
            table .weeks {
                thead { tr {
                    th scope="col" { (say!("Week")) }
                    th scope="col" { (say!("New pair, at most")) }
                    th scope="col" { (say!("km new")) }
                    th scope="col" { (say!("km old")) }
                    th scope="col" { (say!("Look again together")) }
                } }
                tbody { @for [week, share, new, old, review] in &self.weeks {
                    tr { th scope="row" { (week) } td { (share) } td { (new) } td { (old) } td { (review) } }
                } }
            }
        }
    }
}

impl CardShoe {
    /// Size, price, place and differences in one line.
    pub fn line(&self) -> String {
        let words = [&self.size, &self.at, &self.deltas];
        let said: Vec<&str> = words.into_iter().map(String::as_str).filter(|said| !said.is_empty()).collect();
        said.join(" · ")
    }

    fn large(&self, paper: Paper) -> Markup {
        html! {
            h2 { (self.name) span .soft { " " (self.size) } }
            @if !self.at.is_empty() { p .at { (self.at) } }
            (self.sole)
            p { (self.deltas) @if paper == Paper::A4 { (self.drawn()) } }
        }
    }

    fn drawn(&self) -> &'static str {
        if self.sole.worn.is_some() {
            say!(". Drawn to scale; dashed: the pair worn until now.")
        } else {
            say!(". Drawn to scale.")
        }
    }
}

fn list(heading: &str, sentences: &[String]) -> Markup {
    html! {
        @if !sentences.is_empty() {
            section {
                h2 { (heading) }
                ul { @for sentence in sentences { li { (sentence) } } }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::pages::sample;
    use crate::parts::layout::{Frame, Present};

    #[test]
    fn the_card_says_not_asked_and_carries_the_caution() {
        let html = sample::card_page().view(&sample::frame(None)).into_string();
        assert!(html.contains("Not asked: ") && html.contains(crate::labels::CAUTION));
        assert!(!html.contains("points") && !html.contains("class=\"way\""));
        assert!(html.contains("class=\"card a4\"") && html.contains("<svg class=\"qr\""));
    }

    #[test]
    fn the_card_of_a_shop_with_accounts_has_the_way_out_on_the_screen_alone() {
        let present = Present { name: Some("Mara".to_owned()), staff: true };
        let html = sample::card_page().view(&Frame { present, ..sample::frame(None) }).into_string();
        let (paper, foot) = html.split_once("<footer class=\"screen-only\">").unwrap();
        assert!(foot.contains("Signed in as Mara") && foot.contains("action=\"/sign-out\""), "{foot}");
        assert!(!paper.contains("Mara") && !paper.contains("/sign-out"), "{paper}");
        let nobody = Frame { present: Present::default(), ..sample::frame(None) };
        assert!(!sample::card_page().view(&nobody).into_string().contains("<footer"));
    }
}
