//! An axis: from tenths of a unit to pixels, with ticks at round numbers. Its ends are printed, also where they are not 0.

use crate::words;
use catalogue::units::Tenths;

/// A straight axis; `from` and `to` are round, in tenths of the unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// The value at the first end.
    pub from: i32,
    /// The value at the other end.
    pub to: i32,
    step: i32,
    start: f32,
    end: f32,
}

/// Steps between ticks, in tenths: whole, round numbers of the unit.
const STEPS: [i32; 10] = [10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000];
/// More ticks than these crowd a narrow drawing.
const MOST_TICKS: i32 = 6;

impl Axis {
    /// The shortest axis between two places in pixels that holds every number; `None` without any.
    pub fn holding(numbers: impl Iterator<Item = i32>, start: f32, end: f32) -> Option<Self> {
        let (least, most) = numbers.fold(None, |ends: Option<(i32, i32)>, number| {
            Some(ends.map_or((number, number), |(least, most)| (least.min(number), most.max(number))))
        })?;
        let ends = |step: i32| {
            let from = least.div_euclid(step) * step;
            let to = -(-most).div_euclid(step) * step;
            (from, if to == from { from + step } else { to })
        };
        let fits = |step: &i32| {
            let (from, to) = ends(*step);
            (to - from) / step <= MOST_TICKS
        };
        let step = STEPS.into_iter().find(fits).unwrap_or((most - least).max(1));
        let (from, to) = ends(step);
        Some(Self { from, to, step, start, end })
    }

    /// Where a value stands, in pixels.
    pub fn at(&self, tenths: i32) -> f32 {
        let part = (tenths - self.from) as f32 / (self.to - self.from) as f32;
        self.start + part * (self.end - self.start)
    }

    /// The places of the ticks, each with its value in tenths.
    pub fn ticks(&self) -> impl Iterator<Item = (f32, i32)> {
        let count = (self.to - self.from) / self.step;
        (0..=count).map(|tick| self.from + tick * self.step).map(|tenths| (self.at(tenths), tenths))
    }

    /// How the figure below a tick is set, so that none stands out of the drawing.
    pub fn anchor(&self, x: f32) -> &'static str {
        match x {
            x if x <= self.start + 1.0 => "start",
            x if x >= self.end - 1.0 => "end",
            _ => "middle",
        }
    }

    /// The axis as a page carries it for those who read drawings back: both ends in tenths, then in pixels.
    pub fn written(&self) -> String {
        format!("{} {} {} {}", self.from, self.to, self.start, self.end)
    }

    /// A value of the axis as it is printed.
    pub fn figure(tenths: i32) -> String {
        words::number(Tenths(tenths).to_string().replace('-', "−"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis(numbers: &[i32]) -> Axis {
        Axis::holding(numbers.iter().copied(), 0.0, 100.0).unwrap()
    }

    #[test]
    fn an_axis_holds_every_number_between_round_ends() {
        for numbers in
            [&[62, 95][..], &[-15, 120], &[0], &[2_150, 3_333], &[80, 80], &[i32::from(i16::MAX), 0]]
        {
            let axis = axis(numbers);
            for number in numbers {
                assert!((0.0..=100.0).contains(&axis.at(*number)), "{numbers:?}");
            }
            let ticks: Vec<i32> = axis.ticks().map(|(_, tenths)| tenths).collect();
            assert_eq!((ticks.first(), ticks.last()), (Some(&axis.from), Some(&axis.to)));
            assert!((2..=7).contains(&ticks.len()), "{numbers:?}: {ticks:?}");
            assert!(ticks.iter().all(|tick| tick % 10 == 0), "whole numbers only: {ticks:?}");
        }
    }

    #[test]
    fn without_a_number_there_is_no_axis() {
        assert_eq!(Axis::holding(std::iter::empty(), 0.0, 100.0), None);
    }

    #[test]
    fn a_place_is_in_proportion_to_its_value() {
        let axis = axis(&[0, 100]);
        assert!((axis.at(25) - 25.0).abs() < 0.01 && (axis.at(100) - 100.0).abs() < 0.01);
    }
}
