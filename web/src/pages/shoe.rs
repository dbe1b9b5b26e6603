//! One shoe: its drawing, its numbers with where each came from, its sizes in stock, and rules that speak of it.

use maud::{Markup, html};

use crate::labels::NOT_GIVEN;
use crate::pages::shoe_similar::Alike;
use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, page};
use crate::parts::origin::Traced;
use crate::parts::sole_line::SoleLine;
use crate::words;

/// One shoe.
#[derive(Clone, Debug)]
pub struct ShoePage {
    /// The maker.
    pub maker: String,
    /// The name.
    pub name: String,
    /// `Men's, road, daily and long · style AB-210 · autumn`: what is missing is named.
    pub facts: String,
    /// Shop note, no longer supplied, follows another: one sentence each.
    pub remarks: Vec<String>,
    /// The drawing, large; the worn pair over it inside a fitting.
    pub sole: SoleLine,
    /// Stated drop and stacks disagree, and other findings that stand: one sentence each.
    pub findings: Vec<String>,
    /// What has just been done, in words, with its change; only right after it.
    pub done: Option<Done>,
    /// What a scan of its box read: one sentence each.
    pub scanned: Vec<String>,
    /// Where the values came from could not be read.
    pub unread: bool,
    /// Measure by measure, each with where it came from.
    pub specification: Vec<Measure>,
    /// The Minimalist Index with its interval, `52 of 100 (48 to 60: bending not given)`; for the fitter.
    pub minimalist_index: Option<String>,
    /// Size by size.
    pub stock: Vec<Size>,
    /// `7 pairs in stock`, or `none in stock`.
    pub stock_in_words: String,
    /// The supplier's notes.
    pub notes: Option<String>,
    /// Rules that speak of a measure of this shoe.
    pub rules: Vec<Link>,
    /// The shoe it follows, shoes that follow it, near twins.
    pub related: Vec<Link>,
    /// What replaces it, and shoes in stock like it.
    pub alike: Alike,
    /// Set beside another; `Compare with …`.
    pub compare: Option<Link>,
    /// Bring it out, inside a fitting.
    pub bring_out: Option<Act>,
    /// The owner's form: correct it, or add to it.
    pub edit: Option<Link>,
}

/// What has just been done to a shoe.
#[derive(Clone, Debug)]
pub struct Done {
    /// `Kept as change 7.`
    pub say: String,
    /// The change.
    pub change: Link,
}

/// One measure.
#[derive(Clone, Debug)]
pub struct Measure {
    /// `Heel stack`.
    pub label: String,
    /// The value, with where it came from.
    pub value: Traced,
}

/// One size of one colourway.
#[derive(Clone, Debug)]
pub struct Size {
    /// The colourway; empty when no sheet names one.
    pub colourway: String,
    /// Label with its system, and width.
    pub label: String,
    /// The foot the label is made for.
    pub foot: String,
    /// Pairs.
    pub pairs: Traced,
    /// The price.
    pub price: Traced,
    /// Where it stands; empty when no sheet says.
    pub place: String,
    /// The owner's form for it, for the owner.
    pub edit: Option<String>,
}

impl ShoePage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let name = format!("{} {}", self.maker, self.name);
        let body = html! {
            div .heading {
                h1 { (name) }
                p .lead { (self.facts) }
                @for remark in &self.remarks { p .remark { (remark) } }
            }
            @if let Some(done) = &self.done { div .announcement role="status" { p { (done.say) " " (done.change) } } }
            @if !self.scanned.is_empty() {
                div .announcement role="status" { div { @for say in &self.scanned { p { (say) } } } }
            }
            (self.drawing())
            (self.buttons(&name))
            (self.alike.of_one_gone())
            div .columns {
                (self.measures())
                (self.sizes())
            }
            (self.alike.of_one_there())
            (self.more())
        };
        page(frame, &name, Width::Wide, &body)
    }

    fn drawing(&self) -> Markup {
        html! {
            figure .profile {
                (self.sole)
                figcaption { (self.sole.in_words()) "." }
            }
            @for finding in &self.findings { p .remark { (finding) } }
        }
    }

    fn buttons(&self, name: &str) -> Markup {
        html! {
            @if self.bring_out.is_some() || self.compare.is_some() || self.edit.is_some() {
                div .buttons {
                    @if let Some(act) = &self.bring_out {
                        (act.button(say!("Bring out"), &say!("Bring out {name}", name), Tone::Main))
                    }
                    @for link in self.compare.iter().chain(&self.edit).chain(&self.alike.way()) {
                        a .button .quiet href=(link.href) { (link.label) }
                    }
                }
            }
        }
    }

    fn measures(&self) -> Markup {
        html! {
            section aria-labelledby="measures" {
                h2 #measures { (say!("Measures")) }
                @if self.unread {
                    p .remark { (say!("Where the values came from, and what stood there before, cannot be read at the moment; look at the log.")) }
                } @else {
                    p .hint { (say!("Press a value to see where it came from.")) }
                }
                (self.specification_table())
                @if let Some(index) = &self.minimalist_index {
                    p .soft { (say!("Minimalist Index:")) " " (index) (say!(". Shown, never scored.")) }
                }
            }
        }
    }

    fn sizes(&self) -> Markup {
        html! {
            section aria-labelledby="sizes" {
                h2 #sizes { (say!("On the wall")) }
                p .lead { (self.stock_in_words) }
                @if !self.stock.is_empty() { (self.stock_table()) }
            }
        }
    }

    fn specification_table(&self) -> Markup {
        let caption = say!("Specification, and where each value came from");
        html! {
            div .table tabindex="0" role="region" aria-label=(caption) {
                table {
                    caption { (caption) }
                    thead { tr { th scope="col" { (say!("Measure")) } th scope="col" { (say!("Value")) } } }
                    tbody {
                        @for measure in &self.specification {
                            tr { th scope="row" { (measure.label) } td { (measure.value) } }
                        }
                    }
                }
            }
        }
    }

    fn stock_table(&self) -> Markup {
        let caption = say!(
            "Sizes, with the foot each label is made for: by the formula, unless the maker's chart is named"
        );
        html! {
            div .table tabindex="0" role="region" aria-label=(caption) {
                table {
                    caption { (caption) }
                    thead { tr {
                        th scope="col" { (say!("Size and width")) } th scope="col" { (say!("Pairs")) } th scope="col" { (say!("Price")) }
                        th scope="col" { (say!("Colourway")) } th scope="col" { (say!("Place")) }
                        @if self.stock.iter().any(|size| size.edit.is_some()) { th scope="col" { span .sr { (say!("Correct it")) } } }
                    } }
                    tbody { @for size in &self.stock { (size.row()) } }
                }
            }
        }
    }

    fn more(&self) -> Markup {
        html! {
            @if let Some(notes) = &self.notes { h2 { (say!("The supplier's words")) } p { (notes) } }
            @if !self.rules.is_empty() {
                h2 { (say!("Rules that speak of it")) }
                ul .plain { @for rule in &self.rules { li { (rule) } } }
            }
            @if !self.related.is_empty() {
                h2 { (say!("Beside it")) }
                ul .plain { @for shoe in &self.related { li { (shoe) } } }
            }
        }
    }
}

impl Size {
    fn row(&self) -> Markup {
        html! {
            tr {
                th scope="row" { (self.label) small { (self.foot) } }
                td { (self.pairs) }
                td { (self.price) }
                (words(&self.colourway))
                (words(&self.place))
                @if let Some(edit) = &self.edit {
                    td { a href=(edit) aria-label=(say!("Correct {label}", label = self.label)) { (say!("Correct")) } }
                }
            }
        }
    }
}

fn words(text: &str) -> Markup {
    html! { @if text.is_empty() { td .unknown { (words::of(NOT_GIVEN)) } } @else { td { (text) } } }
}
