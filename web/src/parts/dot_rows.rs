//! One measure of several shoes: a row each on one axis, a dot where the value is, what is looked for drawn as a frame.
//!
//! An interval is drawn as one, and what nobody gave is a dotted row with *not given*; neither becomes a dot.

use maud::{Markup, Render, html};

use crate::parts::axis::Axis;

/// The rows of one measure. Every number is in tenths of its unit.
#[derive(Clone, Debug)]
pub struct DotRows {
    /// The measure with its unit: `Drop, mm`.
    pub title: String,
    /// What is looked for; `None` where nothing is.
    pub band: Option<Band>,
    /// One row a shoe, in the order of the columns of the table.
    pub rows: Vec<DotRow>,
}

/// What is looked for.
#[derive(Clone, Debug)]
pub struct Band {
    /// The lower end.
    pub from: i32,
    /// The upper end.
    pub to: i32,
    /// `6 to 10 mm (guessed: your pair is unknown)`.
    pub say: String,
}

/// One shoe.
#[derive(Clone, Debug)]
pub struct DotRow {
    /// Its name, cut where it is too long for the drawing.
    pub name: String,
    /// It is the pair worn now: a cross.
    pub worn: bool,
    /// What is known.
    pub reading: Reading,
    /// The value as the table prints it.
    pub figure: String,
}

/// What is known of one value, in tenths of its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    /// Nobody said.
    NotGiven,
    /// One value.
    At(i32),
    /// It lies between two; `at` is the one that ranks, where one does.
    Between {
        /// The least.
        from: i32,
        /// The most.
        to: i32,
        /// The one that ranks.
        at: Option<i32>,
    },
}

/// Width of a drawing, and the two ends of its axis, in pixels.
const WIDTH: f32 = 340.0;
const LEFT: f32 = 12.0;
const RIGHT: f32 = 328.0;
/// Height of a row; where its words and its line stand in it.
const ROW: f32 = 46.0;
const WORDS_AT: f32 = 17.0;
const LINE_AT: f32 = 32.0;
/// Room above the rows, and below them for the figures of the axis.
const ABOVE: f32 = 4.0;
const BELOW: f32 = 26.0;
/// Names are cut at as many letters: what stands beside the longest figure.
const LETTERS: usize = 29;

impl Reading {
    /// Every number it holds.
    pub fn numbers(self) -> impl Iterator<Item = i32> {
        let numbers = match self {
            Self::NotGiven => [None, None],
            Self::At(at) => [Some(at), None],
            Self::Between { from, to, .. } => [Some(from), Some(to)],
        };
        numbers.into_iter().flatten()
    }
}

impl DotRows {
    /// The whole drawing in words.
    pub fn in_words(&self) -> String {
        let rows: Vec<String> = self.rows.iter().map(|row| format!("{} {}", row.name, row.figure)).collect();
        let band =
            self.band.as_ref().map_or_else(String::new, |band| say!("; looking for {band}", band = band.say));
        format!("{}: {}{band}.", self.title, rows.join(", "))
    }

    fn axis(&self) -> Option<Axis> {
        let band = self.band.iter().flat_map(|band| [band.from, band.to]);
        let numbers = self.rows.iter().flat_map(|row| row.reading.numbers());
        Axis::holding(numbers.chain(band), LEFT, RIGHT)
    }

    fn bottom(&self) -> f32 {
        ABOVE + ROW * self.rows.len() as f32
    }
}

impl Render for DotRows {
    fn render(&self) -> Markup {
        // Of a measure that nobody gave there is nothing to draw; the table says so.
        let Some(axis) = self.axis() else { return html! {} };
        let height = self.bottom() + BELOW;
        html! {
            figure .dots {
                figcaption {
                    b { (self.title) }
                    @if let Some(band) = &self.band { span .soft { (say!("Looking for")) " " (band.say) } }
                }
                svg role="img" aria-label=(self.in_words()) data-axis=(axis.written())
                    width=(WIDTH) height=(height) viewBox=(format!("0 0 {WIDTH} {height}")) {
                    title { (self.in_words()) }
                    @if let Some(band) = &self.band { (self.frame(&axis, band)) }
                    (self.scale(&axis))
                    @for (place, row) in self.rows.iter().enumerate() {
                        (row.drawn(&axis, ABOVE + ROW * place as f32))
                    }
                }
            }
        }
    }
}

impl DotRows {
    /// What is looked for, behind all rows.
    fn frame(&self, axis: &Axis, band: &Band) -> Markup {
        let (from, to) = (axis.at(band.from), axis.at(band.to));
        // A band of one value is still seen.
        let (from, width) = if to - from < 4.0 { (from - 2.0, 4.0) } else { (from, to - from) };
        html! {
            rect .looked-for x=(px(from)) y=(ABOVE) width=(px(width)) height=(self.bottom() - ABOVE)
                data-from=(band.from) data-to=(band.to) {}
        }
    }

    fn scale(&self, axis: &Axis) -> Markup {
        let bottom = self.bottom();
        html! {
            @for (x, tenths) in axis.ticks() {
                path .grid d=(format!("M {x:.1} {ABOVE} V {:.1}", bottom + 5.0)) {}
                text .tick x=(px(x)) y=(bottom + 20.0) text-anchor=(axis.anchor(x)) { (Axis::figure(tenths)) }
            }
            path .ground d=(format!("M {LEFT} {bottom} H {RIGHT}")) {}
        }
    }
}

impl DotRow {
    fn drawn(&self, axis: &Axis, top: f32) -> Markup {
        let line = top + LINE_AT;
        let known = self.reading != Reading::NotGiven;
        html! {
            text .name x=(LEFT + 5.0) y=(top + WORDS_AT) { (self.short()) }
            text .value .unknown[!known] x=(RIGHT - 5.0) y=(top + WORDS_AT) text-anchor="end" { (self.figure) }
            @if known { path .row-line d=(format!("M {LEFT} {line} H {RIGHT}")) {} }
            @else { path .open d=(format!("M {LEFT} {line} H {RIGHT}")) {} }
            @match self.reading {
                Reading::NotGiven => {},
                Reading::At(at) => (self.mark(axis.at(at), line)),
                Reading::Between { from, to, at } => {
                    path .interval d=(interval(axis.at(from), axis.at(to), line)) {}
                    @if let Some(at) = at { (self.mark(axis.at(at), line)) }
                },
            }
        }
    }

    /// A dot for a shoe, a cross for the worn pair.
    fn mark(&self, x: f32, y: f32) -> Markup {
        html! {
            @if self.worn { path .cross d=(cross(x, y, 7.0)) data-x=(px(x)) {} }
            @else { circle .dot cx=(px(x)) cy=(px(y)) r="6.5" {} }
        }
    }

    fn short(&self) -> String {
        if self.name.chars().count() <= LETTERS {
            return self.name.clone();
        }
        let kept: String = self.name.chars().take(LETTERS - 1).collect();
        format!("{}…", kept.trim_end())
    }
}

/// Two strokes that meet in the middle.
pub fn cross(x: f32, y: f32, arm: f32) -> String {
    let (left, right, top, bottom) = (x - arm, x + arm, y - arm, y + arm);
    format!("M {left:.1} {top:.1} L {right:.1} {bottom:.1} M {left:.1} {bottom:.1} L {right:.1} {top:.1}")
}

/// A line between two values, closed off at both.
fn interval(from: f32, to: f32, y: f32) -> String {
    let (top, bottom) = (y - 7.0, y + 7.0);
    format!(
        "M {from:.1} {top:.1} V {bottom:.1} M {to:.1} {top:.1} V {bottom:.1} M {from:.1} {y:.1} H {to:.1}"
    )
}

/// A place in pixels as it is written: a tenth of a pixel is finer than any screen.
pub fn px(at: f32) -> String {
    format!("{at:.1}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(name: &str, reading: Reading, figure: &str) -> DotRow {
        DotRow { name: name.into(), worn: name == "Worn", reading, figure: figure.into() }
    }

    fn drops() -> DotRows {
        DotRows {
            title: "Drop, mm".into(),
            band: Some(Band { from: 60, to: 100, say: "6 to 10 mm".into() }),
            rows: vec![
                row("Worn", Reading::At(100), "10"),
                row("Marl", Reading::Between { from: 60, to: 80, at: Some(80) }, "6 to 8"),
                row("Fen", Reading::NotGiven, "not given"),
            ],
        }
    }

    #[test]
    fn every_row_is_drawn_as_what_is_known_of_it() {
        let svg = drops().render().into_string();
        assert_eq!([svg.matches("class=\"cross\"").count(), svg.matches("class=\"dot\"").count()], [1, 1]);
        assert_eq!(
            [svg.matches("class=\"interval\"").count(), svg.matches("class=\"open\"").count()],
            [1, 1]
        );
        assert!(svg.contains(">not given</text>"));
        assert!(!svg.contains("style="));
    }

    #[test]
    fn the_text_twin_says_every_number_of_the_drawing() {
        assert_eq!(
            drops().in_words(),
            "Drop, mm: Worn 10, Marl 6 to 8, Fen not given; looking for 6 to 10 mm."
        );
    }

    #[test]
    fn a_measure_that_nobody_gave_has_no_axis_and_no_zero() {
        let none = DotRows { band: None, rows: vec![row("Fen", Reading::NotGiven, "not given")], ..drops() };
        assert_eq!(none.render().into_string(), "");
    }

    #[test]
    fn a_name_longer_than_its_row_is_cut_and_says_so() {
        let long = row("Quillerby Long Distance Comfort Plus", Reading::NotGiven, "not given");
        assert!(long.short().ends_with('…') && long.short().chars().count() <= LETTERS);
        assert_eq!(row("Marl", Reading::NotGiven, "").short(), "Marl");
    }
}
