//! The aim: how near a measure is to the band that is looked for.

use super::points::Points;
use crate::measures::Measure;
use crate::policy::Range;
use crate::units::div_round;

/// The band of one measure, in tenths of its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// Which measure.
    pub measure: Measure,
    /// The lower end.
    pub from: i32,
    /// The upper end.
    pub to: i32,
    /// How far below the lower end nearness falls to 0.
    pub reach_below: i32,
    /// How far above the upper end nearness falls to 0.
    pub reach_above: i32,
    /// What the band counts from.
    pub origin: Origin,
    /// A pull, a floor or the zero of drop has moved an end.
    pub clipped: bool,
}

/// What a band counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The worn shoe's value and the offsets of the row; masses are brought to its size.
    Worn,
    /// The shop's absolute row, since that is the row in force.
    Absolute,
    /// The shop's absolute row, since the worn pair does not give this measure.
    Guessed,
    /// A range that somebody asked for.
    AskedFor,
}

/// How near a value is to its band, 0..=1000, with the least and most it could be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Nearness {
    /// The value as compared, in tenths; `None` is unknown.
    pub value: Option<i32>,
    /// As counted; an unknown value counts 500.
    pub at: i32,
    /// The least.
    pub low: i32,
    /// The most.
    pub high: i32,
}

impl Band {
    /// A band with the same reach on both sides.
    pub(super) const fn of(measure: Measure, origin: Origin, (from, to): Range, reach: i32) -> Self {
        Self { measure, from, to, reach_below: reach, reach_above: reach, origin, clipped: false }
    }

    /// Whether the worn pair does not give this measure.
    pub fn is_guessed(&self) -> bool {
        self.origin == Origin::Guessed
    }

    /// Moves both ends by `hold`, and notes when one moved.
    pub(super) fn clip(&mut self, hold: impl Fn(i32) -> i32) {
        let held = (hold(self.from), hold(self.to));
        self.clipped |= held != (self.from, self.to);
        (self.from, self.to) = held;
    }

    /// The nearness of a value, in tenths of the measure's unit.
    pub fn nearness(&self, value: Option<i32>) -> Nearness {
        match value {
            None => Nearness { value, at: 500, low: 0, high: 1000 },
            Some(v) => {
                let at = self.of_known(v);
                Nearness { value, at, low: at, high: at }
            }
        }
    }

    fn of_known(&self, value: i32) -> i32 {
        if value < self.from {
            outside(self.from - value, self.reach_below)
        } else if value > self.to {
            outside(value - self.to, self.reach_above)
        } else {
            inside(value, self.from, self.to)
        }
    }
}

/// floor(1000 - 100 x |value - middle| / half width); a band with equal ends is 1000 there.
fn inside(value: i32, from: i32, to: i32) -> i32 {
    let width = to - from;
    if width == 0 {
        return 1000;
    }
    let twice_off_middle = (2 * value - from - to).abs();
    (1000 * width - 100 * twice_off_middle).div_euclid(width)
}

/// max(0, floor(900 - 900 x distance / reach)).
fn outside(distance: i32, reach: i32) -> i32 {
    (900 * (reach - distance)).div_euclid(reach.max(1)).max(0)
}

impl Nearness {
    /// Whether the value is known.
    pub fn is_known(&self) -> bool {
        self.value.is_some()
    }

    /// The line of a measure in tenths of a point: round(7 x weight x nearness / 1000), half away from zero.
    pub(super) fn line(&self, measure: Measure) -> Points {
        let tenths = |n: i32| div_round(7 * i64::from(measure.weight()) * i64::from(n), 1000) as i32;
        Points { at: tenths(self.at), low: tenths(self.low), high: tenths(self.high) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_four_weights_add_up_to_a_hundred() {
        assert_eq!(Measure::ALL.iter().map(|m| m.weight()).sum::<u16>(), 100);
    }

    /// The design's own example: worn drop 8, heading same, candidate 10.
    #[test]
    fn a_drop_at_the_end_of_its_band_is_eighteen_point_nine_of_twenty_one() {
        let band = Band::of(Measure::Drop, Origin::Worn, (60, 100), 60);
        let nearness = band.nearness(Some(100));
        assert_eq!(nearness.at, 900);
        assert_eq!(nearness.line(Measure::Drop).at, 189);
        assert_eq!(band.nearness(Some(80)).line(Measure::Drop).at, 210);
    }

    #[test]
    fn nearness_falls_to_nothing_at_the_reach() {
        let band = Band { reach_above: 30, ..Band::of(Measure::Drop, Origin::Worn, (60, 100), 60) };
        assert_eq!(band.nearness(Some(0)).at, 0);
        assert_eq!(band.nearness(Some(30)).at, 450);
        assert_eq!(band.nearness(Some(115)).at, 450);
        assert_eq!(band.nearness(Some(131)).at, 0);
    }

    #[test]
    fn a_band_with_equal_ends_is_a_thousand_there() {
        let band = Band::of(Measure::Drop, Origin::Worn, (80, 80), 60);
        assert_eq!((band.nearness(Some(80)).at, band.nearness(Some(81)).at), (1000, 885));
    }

    #[test]
    fn an_unknown_value_counts_half_and_could_be_anything() {
        let nearness = Band::of(Measure::Mass, Origin::Worn, (0, 1), 1).nearness(None);
        assert_eq!((nearness.low, nearness.at, nearness.high), (0, 500, 1000));
        assert_eq!(nearness.line(Measure::Mass), Points { at: 70, low: 0, high: 140 });
    }
}
