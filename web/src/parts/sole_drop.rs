//! The drop as a dimension in the drawing of a sole: between the height of the heel, carried forward, and the forefoot's.

use catalogue::units::{Mm, Tenths};
use maud::{Markup, html};

use crate::parts::sole_path::{FOREFOOT_STATION, HEEL_STATION, Paper};
use crate::words;

/// Where the dimension stands, in mm from the heel: before the toes, beyond the forefoot's own figure.
const STANDS_AT: f32 = 222.0;
/// How far its lines run on beyond it, in mm.
const BEYOND: f32 = 4.0;
/// Half the length of the stroke that closes a dimension, in pixels.
const TICK: f32 = 5.0;

/// The dimension and its figure; only the figure where a height is not known.
pub fn drop_dimension(paper: Paper, ends: Option<(f32, f32)>, drop: Option<Mm>) -> Markup {
    let Some(drop) = drop else { return html! {} };
    let x = paper.x(STANDS_AT);
    let (heel, forefoot) = ends.unwrap_or((30.0, 30.0));
    // Beside the dimension where it is high enough to hold the words, else above both of its ends.
    let (low, high) = (heel.min(forefoot), heel.max(forefoot));
    let middle = paper.y(f32::midpoint(low, high)) + 6.0;
    let y = if (high - low) * paper.scale < 16.0 { paper.y(high) - 7.0 } else { middle };
    html! {
        @if ends.is_some() {
            path .extension d=(extension(paper, heel, forefoot)) {}
            path .dimension data-drop=(drop.in_tenths()) d=(closed(x, paper.y(heel), paper.y(forefoot))) {}
        }
        text .drop x=(format!("{:.1}", x + 8.0)) y=(format!("{y:.1}")) {
            tspan .word { (say!("drop")) " " } (written(drop))
        }
    }
}

/// An upright dimension, closed off at both ends.
pub fn closed(x: f32, from: f32, to: f32) -> String {
    let (left, right) = (x - TICK, x + TICK);
    format!(
        "M {x:.1} {from:.1} V {to:.1} M {left:.1} {from:.1} H {right:.1} M {left:.1} {to:.1} H {right:.1}"
    )
}

fn extension(paper: Paper, heel: f32, forefoot: f32) -> String {
    let end = paper.x(STANDS_AT + BEYOND);
    let (from, before) = (paper.x(HEEL_STATION), paper.x(FOREFOOT_STATION));
    format!("M {from:.1} {:.1} H {end:.1} M {before:.1} {:.1} H {end:.1}", paper.y(heel), paper.y(forefoot))
}

fn written(drop: Mm) -> String {
    words::number(Tenths(drop.in_tenths()).to_string().replace('-', "−"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const LARGE: Paper = Paper { scale: 2.0, ground: 108.0, left: 16.0 };

    #[test]
    fn the_dimension_is_as_high_as_the_drop() {
        let svg = drop_dimension(LARGE, Some((36.0, 28.0)), Some(Mm::whole(8))).into_string();
        assert!(svg.contains("36.0 V 52.0"), "{svg}");
        assert!(svg.contains("drop </tspan>8</text>"), "{svg}");
    }

    #[test]
    fn a_drop_without_stacks_is_said_and_not_drawn_and_no_drop_is_neither() {
        let said = drop_dimension(LARGE, None, Some(Mm::whole(8))).into_string();
        assert!(said.contains("</tspan>8<") && !said.contains("<path"));
        assert_eq!(drop_dimension(LARGE, Some((36.0, 28.0)), None).into_string(), "");
    }

    #[test]
    fn a_drop_below_zero_is_written_with_its_sign() {
        let svg = drop_dimension(LARGE, Some((20.0, 22.0)), Mm::from_tenths(-20)).into_string();
        assert!(svg.contains("</tspan>−2<"), "{svg}");
    }
}
