//! How answers grow with the shop, as a drawing: both axes in powers of ten.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::time::Duration;

/// What one answers at one size, at half of the questions.
pub(crate) struct Point {
    pub(crate) who: String,
    pub(crate) styles: usize,
    pub(crate) took: Duration,
}

const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 460.0;
/// Room for what is written beside the curves.
const LEFT: f64 = 70.0;
const RIGHT: f64 = 240.0;
const EDGE: f64 = 40.0;

/// The drawing; `None` with fewer than two sizes.
pub(crate) fn drawn(points: &[Point]) -> Option<String> {
    let sizes: Vec<f64> = points.iter().map(|point| (point.styles as f64).log10()).collect();
    let (least, most) = ends(&sizes)?;
    let times: Vec<f64> = points.iter().map(|point| micros(point).log10()).collect();
    let (quickest, slowest) = ends(&times).map(|(low, high)| (low.floor(), high.ceil()))?;
    let x = |size: f64| LEFT + (size - least) / (most - least) * (WIDTH - LEFT - RIGHT);
    let y = |time: f64| HEIGHT - EDGE - (time - quickest) / (slowest - quickest) * (HEIGHT - 2.0 * EDGE);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" font-family=\"sans-serif\" \
         font-size=\"13\" role=\"img\" aria-label=\"Time of an answer by the number of styles\">\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#fbf9f4\"/>\n"
    );
    for power in quickest as i32..=slowest as i32 {
        let at = y(f64::from(power));
        let _ = writeln!(
            svg,
            "<path d=\"M{LEFT} {at:.1}H{:.1}\" stroke=\"#d9d3c5\"/><text x=\"{:.1}\" y=\"{:.1}\" \
             text-anchor=\"end\">{}</text>",
            WIDTH - RIGHT,
            LEFT - 8.0,
            at + 4.0,
            unit(power)
        );
    }
    for styles in sizes_of(points) {
        let (at, below) = (x((styles as f64).log10()), HEIGHT - EDGE + 20.0);
        let _ = writeln!(
            svg,
            "<text x=\"{at:.1}\" y=\"{below:.1}\" text-anchor=\"middle\">{styles} styles</text>"
        );
    }
    curves(points, &x, &y, &mut svg);
    svg.push_str("</svg>\n");
    Some(svg)
}

fn sizes_of(points: &[Point]) -> BTreeSet<usize> {
    points.iter().map(|point| point.styles).collect()
}

fn curves(points: &[Point], x: &impl Fn(f64) -> f64, y: &impl Fn(f64) -> f64, svg: &mut String) {
    let mut labels = Vec::new();
    for name in points.iter().map(|point| point.who.as_str()).collect::<BTreeSet<&str>>() {
        let own: Vec<&Point> = points.iter().filter(|point| point.who == name).collect();
        let at = |point: &&Point| (x((point.styles as f64).log10()), y(micros(point).log10()));
        let path: Vec<String> = own.iter().map(at).map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
        let (ink, wide) = if name.starts_with("Lastbench") { ("#9c3d22", 2.5) } else { ("#5a6468", 1.5) };
        let path = path.join("L");
        let _ = writeln!(svg, "<path d=\"M{path}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{wide}\"/>");
        labels.extend(own.last().map(at).map(|(x, y)| (x + 8.0, y + 4.0, ink, name)));
    }
    labels.sort_by(|one, other| one.1.total_cmp(&other.1));
    let mut lowest = f64::MIN;
    for (x, y, ink, name) in labels {
        // Lines that end close together have their words one below the other.
        lowest = y.max(lowest + 14.0);
        let _ = writeln!(svg, "<text x=\"{x:.1}\" y=\"{lowest:.1}\" fill=\"{ink}\">{name}</text>");
    }
}

fn ends(numbers: &[f64]) -> Option<(f64, f64)> {
    let least = numbers.iter().copied().reduce(f64::min)?;
    let most = numbers.iter().copied().reduce(f64::max)?;
    (most > least).then_some((least, most))
}

fn micros(point: &Point) -> f64 {
    point.took.as_secs_f64() * 1e6
}

/// A power of ten of microseconds.
fn unit(power: i32) -> String {
    match power {
        ..0 => format!("{} ns", 10_i32.pow((power + 3).max(0) as u32)),
        0..3 => format!("{} µs", 10_i32.pow(power as u32)),
        3..6 => format!("{} ms", 10_i32.pow(power as u32 - 3)),
        _ => format!("{} s", 10_i32.pow(power as u32 - 6)),
    }
}
