//! The sole line: a shoe's side profile drawn to scale from its own numbers, the worn pair dashed over it.
//!
//! What nobody gave is an open, dotted edge with the words *not given*; it is never drawn as a height.

use catalogue::units::{Mm, Tenths};
use maud::{Markup, Render, html};

use crate::labels::NOT_GIVEN;
use crate::parts::sole_drop::{closed, drop_dimension};
use crate::parts::sole_path::{self as path, FOREFOOT_STATION, HEEL_STATION, LENGTH, Paper, pixels};
use crate::words;

/// One drawing: a shoe, and the worn pair over it where there is one.
#[derive(Clone, Debug)]
pub struct SoleLine {
    /// The shoe.
    pub shoe: Profile,
    /// The pair worn now; `None` when there is none to compare with.
    pub worn: Option<Profile>,
    /// How large it is drawn. Drawings on one page share one scale.
    pub scale: Scale,
}

/// The heights of one shoe.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Profile {
    /// Under the heel.
    pub heel: Stack,
    /// Under the forefoot.
    pub forefoot: Stack,
    /// The drop that ranks, in mm; it may be known where a stack is not.
    pub drop: Option<Mm>,
}

/// A stack height and how it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stack {
    /// As the sheet states it.
    Stated(Mm),
    /// Worked out of the other stack and the drop; printed in brackets.
    WorkedOut(Mm),
    /// Nobody said.
    #[default]
    NotGiven,
}

/// Pixels a millimetre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// One: in lists.
    List,
    /// Two: on the pages of a shoe, of a comparison, and on the card.
    Large,
}

/// A sole above this height is worth a higher drawing, in mm.
const USUAL_HEIGHT: f32 = 42.0;
/// A sole below this height has no room for its figure, in pixels.
const ROOM_FOR_FIGURE: f32 = 19.0;

impl Stack {
    /// The height, if there is one.
    pub const fn known(self) -> Option<Mm> {
        match self {
            Self::Stated(mm) | Self::WorkedOut(mm) => Some(mm),
            Self::NotGiven => None,
        }
    }

    /// The figure as it stands in the drawing: `36`, `(28)` or *not given*.
    pub fn figure(self) -> String {
        match self {
            Self::Stated(mm) => words::number(Tenths(mm.in_tenths())),
            Self::WorkedOut(mm) => format!("({})", words::number(Tenths(mm.in_tenths()))),
            Self::NotGiven => words::of(NOT_GIVEN).to_owned(),
        }
    }

    fn said(self) -> String {
        match self {
            Self::Stated(mm) => words::number(mm),
            Self::WorkedOut(mm) => say!("{mm} (worked out)", mm = words::number(mm)),
            Self::NotGiven => words::of(NOT_GIVEN).to_owned(),
        }
    }
}

impl Profile {
    /// The drawing in words: `heel 36 mm, forefoot 28 mm, drop 8 mm`.
    pub fn in_words(&self) -> String {
        let drop = self.drop.map_or_else(|| words::of(NOT_GIVEN).to_owned(), words::number);
        say!(
            "heel {heel}, forefoot {forefoot}, drop {drop}",
            heel = self.heel.said(),
            forefoot = self.forefoot.said(),
            drop
        )
    }

    fn tallest(&self) -> f32 {
        let of = |stack: Stack| stack.known().map_or(0.0, height);
        of(self.heel).max(of(self.forefoot))
    }
}

impl SoleLine {
    /// The whole drawing in words, worn pair included.
    pub fn in_words(&self) -> String {
        let shoe = self.shoe.in_words();
        match &self.worn {
            None => shoe,
            Some(worn) => {
                say!(
                    "{shoe}; worn pair {heel} and {forefoot}",
                    shoe,
                    heel = worn.heel.said(),
                    forefoot = worn.forefoot.said()
                )
            }
        }
    }

    fn paper(&self) -> Paper {
        let scale = self.scale.pixels();
        let worn = self.worn.as_ref().map_or(0.0, Profile::tallest);
        let tallest = self.shoe.tallest().max(worn).max(USUAL_HEIGHT);
        Paper { scale, ground: (tallest + 6.0) * scale + 8.0, left: 8.0 * scale }
    }
}

impl Render for SoleLine {
    fn render(&self) -> Markup {
        let (paper, words) = (self.paper(), self.in_words());
        let width = (LENGTH + 16.0) * paper.scale;
        let height = paper.ground + 4.0;
        html! {
            svg .sole .large[self.scale == Scale::Large] role="img" aria-label=(words)
                data-scale=(pixels(paper.scale)) width=(pixels(width)) height=(pixels(height))
                viewBox={ "0 0 " (pixels(width)) " " (pixels(height)) } {
                title { (words) }
                path .ground d={ "M 0 " (pixels(paper.ground)) " H " (pixels(width)) } {}
                (self.shoe.drawn(paper))
                @if let Some(worn) = &self.worn { (worn.dashed(paper)) }
                (self.figure(paper, HEEL_STATION, |profile| profile.heel))
                (self.figure(paper, FOREFOOT_STATION, |profile| profile.forefoot))
                @if self.scale == Scale::Large { (self.shoe.drop_dimension(paper)) }
            }
        }
    }
}

impl SoleLine {
    /// A station line with its figure: inside the sole where it has room, above it where the sole is thin.
    fn figure(&self, paper: Paper, station: f32, at: fn(&Profile) -> Stack) -> Markup {
        let (x, stack) = (paper.x(station), at(&self.shoe));
        let Some(mm) = stack.known() else { return not_given(paper, x) };
        let top = height(mm);
        let y = if top * paper.scale >= ROOM_FOR_FIGURE * paper.scale.sqrt() {
            paper.ground - 5.0 * paper.scale
        } else {
            paper.y(self.line_below_figure(paper, top, at)) - 5.0
        };
        html! {
            @match self.scale {
                Scale::List => path .station d={ "M " (pixels(x)) " " (pixels(paper.ground)) " V " (pixels(paper.y(top))) } {},
                Scale::Large => path .dimension data-height=(mm.in_tenths()) d=(closed(x, paper.ground, paper.y(top))) {},
            }
            text .figure x=(pixels(x + 4.0 * paper.scale)) y=(pixels(y)) { (stack.figure()) }
        }
    }

    /// The line a figure above a thin sole stands on: the sole's own, or the worn one where that runs so close
    /// above it that it would cross the figure.
    fn line_below_figure(&self, paper: Paper, top: f32, at: fn(&Profile) -> Stack) -> f32 {
        let worn = self.worn.as_ref().and_then(|worn| at(worn).known()).map_or(0.0, height);
        let between = (worn - top) * paper.scale;
        if between > 0.0 && between < 2.0 * ROOM_FOR_FIGURE { worn } else { top }
    }
}

impl Profile {
    fn drop_dimension(&self, paper: Paper) -> Markup {
        let ends = self.heel.known().zip(self.forefoot.known());
        drop_dimension(paper, ends.map(|(heel, forefoot)| (height(heel), height(forefoot))), self.drop)
    }

    fn drawn(&self, paper: Paper) -> Markup {
        match (self.heel.known(), self.forefoot.known()) {
            (Some(heel), Some(forefoot)) => {
                html! { path .shoe d=(path::outline(paper, heel, forefoot)) {} }
            }
            (Some(heel), None) => html! {
                path .shoe d=(path::heel_part(paper, heel)) {}
                path .open d=(path::open_forefoot(paper, Some(heel))) {}
            },
            (None, Some(forefoot)) => html! {
                path .shoe d=(path::forefoot_part(paper, forefoot)) {}
                path .open d=(path::open_heel(paper, Some(forefoot))) {}
            },
            (None, None) => html! {
                path .open d=(path::open_heel(paper, None)) {}
                path .open d=(path::open_forefoot(paper, None)) {}
            },
        }
    }

    /// The worn pair: a dashed line, left open where a stack is not known.
    fn dashed(&self, paper: Paper) -> Markup {
        let line = match (self.heel.known(), self.forefoot.known()) {
            (Some(heel), Some(forefoot)) => path::upper_line(paper, heel, forefoot),
            (Some(heel), None) => path::heel_part(paper, heel),
            (None, Some(forefoot)) => path::forefoot_part(paper, forefoot),
            (None, None) => return html! {},
        };
        html! { path .worn d=(line) {} }
    }
}

impl Scale {
    /// Pixels a millimetre.
    pub const fn pixels(self) -> f32 {
        match self {
            Self::List => 1.0,
            Self::Large => 2.0,
        }
    }
}

fn height(stack: Mm) -> f32 {
    stack.in_tenths() as f32 / 10.0
}

/// The words where a height would stand, clear of the toe spring and of the heel's bevel.
fn not_given(paper: Paper, station: f32) -> Markup {
    let toes = station > paper.x(LENGTH / 2.0);
    let x = station - if toes { 48.0 } else { 8.0 } * paper.scale;
    html! { text .figure .unknown x=(pixels(x)) y=(pixels(paper.ground - 7.0 * paper.scale)) { (words::of(NOT_GIVEN)) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stated(mm: i32) -> Stack {
        Stack::Stated(Mm::whole(mm))
    }

    fn list(heel: Stack, forefoot: Stack, worn: Option<Profile>) -> SoleLine {
        SoleLine { shoe: Profile { heel, forefoot, drop: Some(Mm::whole(8)) }, worn, scale: Scale::List }
    }

    const WORN: Profile = Profile {
        heel: Stack::Stated(Mm::whole(38)),
        forefoot: Stack::Stated(Mm::whole(30)),
        drop: Some(Mm::whole(8)),
    };

    #[test]
    fn the_text_twin_says_every_number_of_the_drawing() {
        assert_eq!(
            list(stated(36), stated(28), Some(WORN)).in_words(),
            "heel 36 mm, forefoot 28 mm, drop 8 mm; worn pair 38 mm and 30 mm"
        );
        let unknown = Profile::default();
        assert_eq!(unknown.in_words(), "heel not given, forefoot not given, drop not given");
    }

    #[test]
    fn an_unknown_stack_draws_no_closed_path_and_says_so() {
        for (heel, forefoot) in
            [(Stack::NotGiven, stated(28)), (stated(36), Stack::NotGiven), (Stack::NotGiven, Stack::NotGiven)]
        {
            let svg = list(heel, forefoot, None).render().into_string();
            assert!(!svg.contains('Z') && svg.contains("class=\"open\"") && svg.contains(">not given<"));
        }
        assert!(list(stated(36), stated(28), None).render().into_string().contains('Z'));
    }

    #[test]
    fn the_three_kinds_of_not_given_look_different() {
        let kinds = [
            list(Stack::NotGiven, stated(28), None),
            list(stated(36), Stack::NotGiven, None),
            list(Stack::NotGiven, Stack::NotGiven, None),
        ];
        let drawn = kinds.map(|sole| sole.render().into_string());
        assert!(drawn[0] != drawn[1] && drawn[1] != drawn[2] && drawn[0] != drawn[2]);
    }

    #[test]
    fn a_stack_that_was_worked_out_stands_in_brackets() {
        let svg = list(stated(36), Stack::WorkedOut(Mm::whole(28)), None).render().into_string();
        assert!(svg.contains(">(28)<") && svg.contains("forefoot 28 mm (worked out)"));
    }

    #[test]
    fn the_worn_pair_is_dashed_over_the_shoe_and_left_out_where_nothing_is_known() {
        let with = |worn| list(stated(36), stated(28), worn).render().into_string();
        assert!(with(Some(WORN)).contains("class=\"worn\""));
        assert!(!with(Some(Profile::default())).contains("class=\"worn\""));
        assert!(with(Some(Profile::default())).contains("worn pair not given and not given"));
    }

    #[test]
    fn no_drawing_carries_an_inline_style() {
        let svg = list(stated(4), stated(4), Some(WORN)).render().into_string();
        assert!(!svg.contains("style="));
    }

    #[test]
    fn a_figure_without_room_in_a_thin_sole_stands_above_it() {
        let y = |svg: String| {
            let from = svg.find("<text").unwrap();
            let y = svg[from..].split("y=\"").nth(1).unwrap();
            y.split('"').next().unwrap().parse::<f32>().unwrap()
        };
        let thin = y(list(stated(4), stated(4), None).render().into_string());
        let thick = y(list(stated(36), stated(28), None).render().into_string());
        assert!(thin < 56.0 - 4.0 && thick > 56.0 - 6.0);
    }
}
