//! What is said of one shoe wherever it stands: its name, its measures, its drawing.

use catalogue::measures::{Landing, Measures};
use catalogue::style::Style;
use catalogue::units::{Mm, Tenths};

use crate::labels::NOT_GIVEN;
use crate::parts::Link;
use crate::parts::sole_line::{Profile, Scale, SoleLine, Stack};
use crate::words;

/// Maker and name.
pub fn name(style: &Style) -> String {
    format!("{} {}", style.maker, style.name)
}

/// Its page.
pub fn href(style: &Style) -> String {
    format!("/shoes/{}", style.key)
}

/// Its name as a link to its page.
pub fn link(style: &Style) -> Link {
    Link::new(name(style), href(style))
}

/// Its heights, with what was worked out marked so.
pub fn profile(measures: &Measures) -> Profile {
    Profile {
        heel: stack(measures.heel_stack(), measures.heel_is_derived()),
        forefoot: stack(measures.forefoot_stack(), measures.forefoot_is_derived()),
        drop: measures.drop(),
    }
}

fn stack(height: Option<Mm>, worked_out: bool) -> Stack {
    match height {
        None => Stack::NotGiven,
        Some(mm) if worked_out => Stack::WorkedOut(mm),
        Some(mm) => Stack::Stated(mm),
    }
}

/// Its drawing, the worn pair over it.
pub fn sole(measures: &Measures, worn: Option<&Measures>, scale: Scale) -> SoleLine {
    SoleLine { shoe: profile(measures), worn: worn.map(profile), scale }
}

/// `38 / 30 mm, drop 8, 280 g`; what is missing is named as not given.
pub fn measures_in_words(measures: &Measures) -> String {
    let figure =
        |mm: Option<Mm>| mm.map_or_else(|| words::of(NOT_GIVEN).to_owned(), |mm| plain(mm.in_tenths()));
    let stacks = match (measures.heel_stack(), measures.forefoot_stack()) {
        (None, None) => say!("stacks {value}", value = words::of(NOT_GIVEN)),
        (heel, None) => {
            say!("{heel} mm heel, forefoot {value}", heel = figure(heel), value = words::of(NOT_GIVEN))
        }
        (None, forefoot) => {
            say!(
                "heel {value}, {forefoot} mm forefoot",
                value = words::of(NOT_GIVEN),
                forefoot = figure(forefoot)
            )
        }
        (heel, forefoot) => format!("{} / {} mm", figure(heel), figure(forefoot)),
    };
    let mass =
        measures.mass().map_or_else(|| say!("weight {value}", value = words::of(NOT_GIVEN)), words::number);
    say!("{stacks}, drop {drop}, {mass}", stacks, drop = figure(measures.drop()), mass)
}

/// Tenths as people write them: `8`, `8.5`, `−0.5`.
pub fn plain(tenths: i32) -> String {
    words::number(Tenths(tenths).to_string().replace('-', "−"))
}

/// Where a runner lands, as a part of the shoe.
pub fn landing_place(landing: Landing) -> &'static str {
    match landing {
        Landing::Heel => say!("under the heel"),
        Landing::Forefoot => say!("under the forefoot"),
        Landing::Mean => say!("mean of heel and forefoot"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::style::Specification;
    use catalogue::units::Grams;

    fn of(heel: Option<i32>, forefoot: Option<i32>, mass: Option<i32>) -> Measures {
        let specification = Specification {
            heel_stack: heel.map(Mm::whole),
            forefoot_stack: forefoot.map(Mm::whole),
            mass: mass.map(Grams::whole),
            ..Specification::default()
        };
        Measures::of(&specification, None)
    }

    #[test]
    fn measures_read_as_a_fitter_says_them() {
        assert_eq!(measures_in_words(&of(Some(38), Some(30), Some(280))), "38 / 30 mm, drop 8, 280 g");
    }

    #[test]
    fn a_missing_measure_is_named_and_never_zero() {
        let words = measures_in_words(&of(Some(38), None, None));
        assert_eq!(words, "38 mm heel, forefoot not given, drop not given, weight not given");
        assert!(!measures_in_words(&Measures::UNKNOWN).contains('0'));
    }
}
