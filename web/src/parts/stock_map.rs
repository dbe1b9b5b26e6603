//! The stock as a map: drop to the right, stack upwards, a disc of the pairs there are; what is looked for as a region,
//! the worn pair as a cross.

use maud::{Markup, Render, html};

use crate::parts::axis::Axis;
use crate::parts::dot_rows::{cross, px};
use crate::words;

/// The drawing. Every number is in tenths of a millimetre.
#[derive(Clone, Debug, Default)]
pub struct StockMap {
    /// Which stack stands upwards: `Heel stack, mm`.
    pub stack: String,
    /// The discs.
    pub places: Vec<Place>,
    /// What is looked for; `None` where nothing is.
    pub region: Option<Region>,
    /// Drop and stack of the worn pair, where both are known.
    pub worn: Option<(i32, i32)>,
}

/// All shoes of one drop and one stack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The drop that ranks.
    pub drop: i32,
    /// The stack.
    pub stack: i32,
    /// The ends of the drop where a sheet contradicts itself.
    pub span: Option<(i32, i32)>,
    /// Pairs in stock.
    pub pairs: u32,
}

/// What is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Region {
    /// Drop, from and to.
    pub drop: (i32, i32),
    /// Stack, from and to.
    pub stack: (i32, i32),
}

const WIDTH: f32 = 760.0;
const HEIGHT: f32 = 520.0;
const LEFT: f32 = 52.0;
const RIGHT: f32 = 732.0;
const TOP: f32 = 36.0;
const BOTTOM: f32 = 462.0;
/// The radius of the largest disc, in pixels.
const LARGEST: f32 = 20.0;

/// The radius of a disc in pixels: its area is in proportion to the pairs.
fn radius(pairs: u32, most: u32) -> f32 {
    LARGEST * (pairs as f32 / most.max(1) as f32).sqrt()
}

/// Round numbers of pairs whose discs are shown beside the drawing, up to the most.
fn samples(most: u32) -> Vec<u32> {
    let mut samples: Vec<u32> = [most / 20, most / 4, most].map(round).into();
    samples.retain(|pairs| *pairs > 0);
    samples.dedup();
    samples
}

/// The largest of 1, 2, 5, 10, 20, 50 and so on that is no more than a number; 0 for 0.
fn round(number: u32) -> u32 {
    let ten = 10_u32.pow(number.checked_ilog10().unwrap_or(0));
    [5, 2, 1].into_iter().map(|first| first * ten).find(|round| *round <= number).unwrap_or(0)
}

impl StockMap {
    /// The drawing in words; the table below it says the rest.
    pub fn in_words(&self) -> String {
        let pairs: u64 = self.places.iter().map(|place| u64::from(place.pairs)).sum();
        let figures = |(from, to): (i32, i32)| {
            say!("{from} to {to} mm", from = Axis::figure(from), to = Axis::figure(to))
        };
        let region = self.region.map_or_else(String::new, |region| {
            say!(
                "; looked for: drop {drop}, stack {stack}",
                drop = figures(region.drop),
                stack = figures(region.stack)
            )
        });
        let worn = self.worn.map_or_else(String::new, |(drop, stack)| {
            say!(
                "; worn pair: drop {drop} mm, stack {stack} mm",
                drop = Axis::figure(drop),
                stack = Axis::figure(stack)
            )
        });
        let places = self.places.len();
        say!(
            "{pairs} pairs at {places} places of drop and {stack}{region}{worn}.",
            pairs,
            places,
            stack = words::lowered(&self.stack),
            region,
            worn
        )
    }

    fn axes(&self) -> Option<(Axis, Axis)> {
        let spans = self.places.iter().filter_map(|place| place.span).flat_map(|(from, to)| [from, to]);
        let drops = self.places.iter().map(|place| place.drop).chain(spans);
        let drops = drops.chain(self.region.iter().flat_map(|region| [region.drop.0, region.drop.1]));
        let stacks = self.places.iter().map(|place| place.stack);
        let stacks = stacks.chain(self.region.iter().flat_map(|region| [region.stack.0, region.stack.1]));
        let worn = self.worn.iter();
        let across = Axis::holding(drops.chain(worn.clone().map(|(drop, _)| *drop)), LEFT, RIGHT)?;
        let up = Axis::holding(stacks.chain(worn.map(|(_, stack)| *stack)), BOTTOM, TOP)?;
        Some((across, up))
    }

    fn most(&self) -> u32 {
        self.places.iter().map(|place| place.pairs).max().unwrap_or(0)
    }
}

impl Render for StockMap {
    fn render(&self) -> Markup {
        let Some((across, up)) = self.axes() else { return html! {} };
        let mut places: Vec<&Place> = self.places.iter().collect();
        // The largest first, so that no disc lies hidden below another.
        places.sort_by_key(|place| std::cmp::Reverse(place.pairs));
        let most = self.most();
        html! {
            figure .map {
                div .scrolls tabindex="0" role="region" aria-label=(say!("Map of the stock")) {
                    svg role="img" aria-label=(self.in_words()) width=(WIDTH) height=(HEIGHT)
                        viewBox=(format!("0 0 {WIDTH} {HEIGHT}"))
                        data-across=(across.written()) data-up=(up.written()) data-most=(most) data-largest=(LARGEST) {
                        title { (self.in_words()) }
                        @if let Some(region) = &self.region { (region.drawn(&across, &up)) }
                        (grid(&across, &up))
                        text .axis-name x="4" y="14" { (self.stack) }
                        text .axis-name x=(RIGHT) y=(HEIGHT - 8.0) text-anchor="end" { (say!("Drop, mm")) }
                        @for place in places { (place.drawn(&across, &up, most)) }
                        @if let Some((drop, stack)) = self.worn {
                            @let drawn = cross(across.at(drop), up.at(stack), 10.0);
                            path .rim d=(drawn) {}
                            path .cross d=(drawn) {}
                        }
                    }
                }
                (self.legend(most))
            }
        }
    }
}

impl StockMap {
    fn legend(&self, most: u32) -> Markup {
        html! {
            figcaption .legend {
                @for pairs in samples(most) {
                    span { (sign(&html! { circle .disc cx="26" cy="26" r=(px(radius(pairs, most))) {} })) (pairs) @if pairs == 1 { " " (say!("pair")) } @else { " " (say!("pairs")) } }
                }
                @if self.places.iter().any(|place| place.span.is_some()) {
                    span { (sign(&html! { path .interval d="M 6 19 V 33 M 46 19 V 33 M 6 26 H 46" {} })) (say!("the sheet says two drops")) }
                }
                @if self.region.is_some() {
                    span { (sign(&html! { rect .looked-for x="6" y="12" width="40" height="28" {} })) (say!("what is looked for")) }
                }
                @if self.worn.is_some() { span { (sign(&html! { path .cross d=(cross(26.0, 26.0, 10.0)) {} })) (say!("worn now")) } }
            }
        }
    }
}

fn sign(drawn: &Markup) -> Markup {
    html! { svg .sign aria-hidden="true" width="52" height="52" viewBox="0 0 52 52" { (drawn) } }
}

fn grid(across: &Axis, up: &Axis) -> Markup {
    html! {
        @for (x, tenths) in across.ticks() {
            path .grid d=(format!("M {x:.1} {TOP} V {:.1}", BOTTOM + 6.0)) {}
            text .tick x=(px(x)) y=(BOTTOM + 24.0) text-anchor="middle" { (Axis::figure(tenths)) }
        }
        @for (y, tenths) in up.ticks() {
            path .grid d=(format!("M {:.1} {y:.1} H {RIGHT}", LEFT - 6.0)) {}
            text .tick x=(LEFT - 12.0) y=(px(y + 5.0)) text-anchor="end" { (Axis::figure(tenths)) }
        }
    }
}

impl Region {
    fn drawn(&self, across: &Axis, up: &Axis) -> Markup {
        let (left, right) = (across.at(self.drop.0), across.at(self.drop.1));
        let (bottom, top) = (up.at(self.stack.0), up.at(self.stack.1));
        // A region of one value is still seen.
        let (width, height) = ((right - left).max(4.0), (bottom - top).max(4.0));
        html! { rect .looked-for x=(px(left)) y=(px(top)) width=(px(width)) height=(px(height)) {} }
    }
}

impl Place {
    fn drawn(&self, across: &Axis, up: &Axis, most: u32) -> Markup {
        let y = up.at(self.stack);
        html! {
            @if let Some((from, to)) = self.span {
                @let (from, to) = (across.at(from), across.at(to));
                path .interval d=(format!("M {from:.1} {0:.1} V {1:.1} M {to:.1} {0:.1} V {1:.1} M {from:.1} {y:.1} H {to:.1}", y - 7.0, y + 7.0)) {}
            }
            circle .disc cx=(px(across.at(self.drop))) cy=(px(y)) r=(format!("{:.2}", radius(self.pairs, most))) {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(drop: i32, stack: i32, pairs: u32) -> Place {
        Place { drop, stack, span: None, pairs }
    }

    fn map(places: Vec<Place>) -> StockMap {
        StockMap { stack: "Heel stack, mm".into(), places, region: None, worn: None }
    }

    #[test]
    fn the_area_of_a_disc_is_in_proportion_to_the_pairs() {
        let (one, four) = (radius(10, 40), radius(40, 40));
        assert!((four - 2.0 * one).abs() < 0.001 && (four - LARGEST).abs() < 0.001);
    }

    #[test]
    fn the_largest_disc_is_drawn_first() {
        let svg = map(vec![place(80, 360, 1), place(80, 360, 9)]).render().into_string();
        let radii: Vec<f32> = svg
            .split(" r=\"")
            .skip(1)
            .take(2)
            .map(|rest| rest.split('"').next().unwrap().parse().unwrap())
            .collect();
        assert!(radii[0] > radii[1], "{radii:?}");
    }

    #[test]
    fn without_a_fitting_neither_region_nor_cross_is_drawn() {
        let svg = map(vec![place(80, 360, 3)]).render().into_string();
        assert!(!svg.contains("looked-for") && !svg.contains("class=\"cross\""));
        let region = Some(Region { drop: (60, 100), stack: (300, 340) });
        let open = StockMap { region, worn: Some((100, 380)), ..map(vec![place(80, 360, 3)]) };
        let svg = open.render().into_string();
        assert!(svg.contains("class=\"looked-for\"") && svg.contains("class=\"cross\""));
        assert!(open.in_words().contains("looked for: drop 6 to 10 mm, stack 30 to 34 mm"));
    }

    #[test]
    fn the_discs_of_the_legend_are_round_numbers_that_may_be_there() {
        assert_eq!((samples(265), samples(41), samples(1)), (vec![10, 50, 200], vec![2, 10, 20], vec![1]));
        assert!(samples(0).is_empty());
    }

    #[test]
    fn an_empty_stock_draws_nothing() {
        assert_eq!(map(Vec::new()).render().into_string(), "");
    }
}
