//! One shoe of the ranked list, as a colleague would say it. No points, no places on a scale, no badges: those
//! stand behind "why this place".

use maud::{Markup, Render, html};

use crate::labels::NOT_GIVEN;
use crate::parts::act::{Act, Tone};
use crate::parts::row_mark::RowMark;
use crate::parts::sole_line::SoleLine;
use crate::words;

/// One shoe of the ranked list.
#[derive(Clone, Debug)]
pub struct RankedRow {
    /// The page of the shoe.
    pub href: String,
    /// The maker.
    pub maker: String,
    /// The name.
    pub name: String,
    /// `262 g`; `None` when not given.
    pub mass: Option<String>,
    /// The drawing, worn pair over it.
    pub sole: SoleLine,
    /// `2 mm less drop, 4 mm lower, 25 g lighter`; what is missing is named in it as *not given*.
    pub deltas: String,
    /// One reason for it, in words.
    pub reason_for: Option<String>,
    /// One reason against it, in words.
    pub reason_against: Option<String>,
    /// Injury cautions, all of them, in words.
    pub cautions: Vec<String>,
    /// Plate, rocker, shop note, `surface not given`: short words.
    pub remarks: Vec<String>,
    /// `€ 139`; `None` when not given.
    pub price: Option<String>,
    /// Pairs for each working size.
    pub sizes: Vec<SizePairs>,
    /// The place on the wall: `bay C4`.
    pub place: Option<String>,
    /// `EU 42.5 D, Linen: out with Blue Heron`, `held until 15:10`, `not on the shelf`.
    pub states: Vec<String>,
    /// The page "why this place".
    pub why_href: String,
    /// What can be done with it.
    pub step: RowStep,
    /// The fitter's hand on it.
    pub mark: RowMark,
    /// It is the style worn now.
    pub worn: bool,
}

/// Pairs of one working size.
#[derive(Clone, Debug)]
pub struct SizePairs {
    /// `42.5`.
    pub label: String,
    /// `2`, `10+`, or `yes` where the number is unknown.
    pub pairs: String,
    /// None is there.
    pub none: bool,
}

/// Whether the shoe has been brought out.
#[derive(Clone, Debug)]
pub enum RowStep {
    /// It can be: the button *Bring out*.
    BringOut(Act),
    /// It has been: the words, and the button that puts it back.
    BroughtOut(Act),
    /// It is not on the wall, or not in the order: the button *Add to this fitting*.
    Add(Act),
    /// It is not there: *Add to this fitting*, and *Wanted, not had*.
    OrderIn(Act, Wanted),
    /// Nothing to do: a list nobody acts on.
    Nothing,
}

/// A size that was asked for and is not there.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// It can be counted: the size, and the press.
    Ask(String, Act),
    /// It was counted in this fitting: the size.
    Counted(String),
    /// No size was said.
    NoSize,
}

impl Render for RankedRow {
    fn render(&self) -> Markup {
        html! {
            li .row {
                div .drawing { (self.sole) }
                div .words { (self.title()) (self.reasons()) }
                div .stock { (self.pairs()) }
                div .do { (self.button()) }
            }
        }
    }
}

impl RankedRow {
    fn title(&self) -> Markup {
        html! {
            h3 {
                a href=(self.href) { (self.maker) " " (self.name) } " "
                span .mass { (self.mass.as_deref().unwrap_or(say!("weight not given"))) }
            }
            @if self.worn { p .worn-now { (say!("The pair worn now.")) } }
            (self.mark.said(&self.named()))
            p .deltas { (self.deltas) }
        }
    }

    fn named(&self) -> String {
        format!("{} {}", self.maker, self.name)
    }

    fn reasons(&self) -> Markup {
        html! {
            ul .reasons {
                @if let Some(words) = &self.reason_for { (reason("plus", "+", say!("For: "), words)) }
                @if let Some(words) = &self.reason_against { (reason("minus", "−", say!("Against: "), words)) }
                @for words in &self.cautions { (reason("minus caution", "−", say!("Caution: "), words)) }
            }
            div .remarks {
                @for remark in &self.remarks { span { (remark) } }
                a .why href=(self.why_href) { (say!("Why this place")) span .sr { ": " (self.maker) " " (self.name) } }
                (self.mark.offered(&self.named()))
            }
        }
    }

    fn pairs(&self) -> Markup {
        html! {
            p .price { @match &self.price { Some(price) => (price), None => span .soft { (say!("price")) " " (words::of(NOT_GIVEN)) } } }
            @if !self.sizes.is_empty() {
                ul .pairs aria-label=(say!("Pairs in the working sizes")) {
                    @for size in &self.sizes {
                        li .none[size.none] { (size.label) " " b { (size.pairs) } }
                    }
                }
            }
            @if let Some(place) = &self.place { p .place { (place) } }
            @for state in &self.states { p .state { (state) } }
        }
    }

    fn button(&self) -> Markup {
        let named = self.named();
        match &self.step {
            RowStep::BringOut(act) => {
                act.button(say!("Bring out"), &say!("Bring out {named}", named), Tone::Main)
            }
            RowStep::Add(act) => act.button(
                say!("Add to this fitting"),
                &say!("Add to this fitting: {named}", named),
                Tone::Quiet,
            ),
            RowStep::BroughtOut(act) => html! {
                p .out { (say!("Brought out")) }
                (act.button(say!("Put back"), &say!("Put back {named}", named), Tone::Quiet))
            },
            RowStep::OrderIn(act, wanted) => html! {
                (act.button(say!("Add to this fitting"), &say!("Add to this fitting: {named}", named), Tone::Quiet))
                (wanted.render(&named))
            },
            RowStep::Nothing => html! {},
        }
    }
}

impl Wanted {
    fn render(&self, named: &str) -> Markup {
        match self {
            Self::Ask(size, act) => {
                let spoken = say!("Count {named} in {size} as wanted, not had", named, size);
                act.button(say!("Wanted, not had"), &spoken, Tone::Quiet)
            }
            Self::Counted(size) => html! { p .state { (say!("Counted as wanted:")) " " (size) } },
            Self::NoSize => html! {},
        }
    }
}

fn reason(class: &str, sign: &str, spoken: &str, words: &str) -> Markup {
    html! {
        li class=(class) {
            span .sign aria-hidden="true" { (sign) }
            span { span .sr { (spoken) } (words) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::sample::ranked_row;

    #[test]
    fn a_row_has_no_points_no_percentage_and_no_badge() {
        let html = ranked_row().render().into_string();
        assert!(!html.contains("points") && !html.contains('%') && !html.contains("badge"));
    }

    #[test]
    fn a_caution_is_words_with_a_minus_sign() {
        let row = RankedRow { cautions: vec!["Lower than the calf is used to.".into()], ..ranked_row() };
        let html = row.render().into_string();
        assert!(html.contains('−') && html.contains("Caution: </span>Lower than the calf is used to."));
    }

    #[test]
    fn what_a_sheet_does_not_give_is_said_not_left_blank() {
        let row = RankedRow { price: None, mass: None, ..ranked_row() };
        let html = row.render().into_string();
        assert!(html.contains("price not given") && html.contains("weight not given"));
    }
}
