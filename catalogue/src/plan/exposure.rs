//! How much of the weekly distance the new shoe may take, week by week.
//!
//! The curves are ceilings: running less in the new shoe is always within the plan.

use std::fmt;

/// A part of the weekly distance, in thousandths of a percent: half a step of the slowest schedule stays exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Exposure(u32);

/// A schedule of exposure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Schedule {
    /// 5 % and 5 % more each week to 35 % in week 6, then evenly to 100 % in week 26. The 26 weeks are of Fuller 2017
    /// (doi:10.1177/0363546516682497), 35 to 100 % of Fuller 2018; the start and the slope are *from memory*.
    Minimal,
    /// 20 % in the first week, 16 % more each week, all of it in the sixth. *House policy*.
    LargeStep,
}

impl Exposure {
    /// Nothing.
    pub const NONE: Self = Self(0);
    /// The whole weekly distance.
    pub const ALL: Self = Self(100_000);

    const fn percent(percent: u32) -> Self {
        Self(percent * 1_000)
    }

    /// In thousandths of a percent.
    pub const fn in_thousandths(self) -> u32 {
        self.0
    }

    /// As a number of percent: 38.25.
    pub fn as_percent(self) -> f64 {
        f64::from(self.0) / 1_000.0
    }

    /// The most whole kilometres of `weekly` that it admits, and what is left for other shoes: they add up.
    pub fn split(self, weekly: u16) -> (u16, u16) {
        let new = (u64::from(weekly) * u64::from(self.0) / u64::from(Self::ALL.0)) as u16;
        (new, weekly - new)
    }
}

/// Whole percent, rounded down: a ceiling is never printed higher than it is.
impl fmt::Display for Exposure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", self.0 / 1_000)
    }
}

impl Schedule {
    /// Weeks until the new shoe may take all; twice as many when it goes slowly.
    pub const fn weeks(self, slowly: bool) -> u16 {
        let weeks = match self {
            Self::Minimal => 26,
            Self::LargeStep => 6,
        };
        if slowly { 2 * weeks } else { weeks }
    }

    /// The ceiling in week `week`; slowly, that of half as many weeks, on a straight line between two of them.
    pub fn ceiling(self, week: u16, slowly: bool) -> Exposure {
        if !slowly {
            return self.at(week);
        }
        let (below, above) = (self.at(week / 2), self.at(week / 2 + week % 2));
        Exposure(u32::midpoint(below.0, above.0))
    }

    /// The ceiling at the end of so many weeks; week 0 is where the line starts.
    fn at(self, week: u16) -> Exposure {
        let week = u32::from(week);
        let exposure = match self {
            Self::Minimal if week <= 6 => Exposure::percent(5 + 5 * week),
            Self::Minimal => Exposure(Exposure::percent(35).0 + 3_250 * (week - 6)),
            Self::LargeStep => Exposure::percent(4 + 16 * week),
        };
        exposure.min(Exposure::ALL)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn percent(schedule: Schedule, weeks: &[u16], slowly: bool) -> Vec<f64> {
        weeks.iter().map(|week| schedule.ceiling(*week, slowly).as_percent()).collect()
    }

    /// Source: Fuller 2017, doi:10.1177/0363546516682497 (26 weeks), Fuller 2018 (35 % in week 6 to 100 % in week 26);
    /// 5 % at the start and 5 % a week are *from memory*.
    #[test]
    fn the_minimal_schedule_is_that_of_the_slowest_trial() {
        let weeks = [0, 1, 6, 16, 26, 40];
        assert_eq!(percent(Schedule::Minimal, &weeks, false), [5.0, 10.0, 35.0, 67.5, 100.0, 100.0]);
    }

    #[test]
    fn a_large_step_takes_six_weeks_of_sixteen_percent() {
        let weeks = [1, 2, 3, 4, 5, 6];
        assert_eq!(percent(Schedule::LargeStep, &weeks, false), [20.0, 36.0, 52.0, 68.0, 84.0, 100.0]);
    }

    #[test]
    fn going_slowly_takes_twice_the_weeks_on_the_same_line() {
        assert_eq!(percent(Schedule::LargeStep, &[1, 2, 3, 11, 12], true), [12.0, 20.0, 28.0, 92.0, 100.0]);
        assert_eq!(percent(Schedule::Minimal, &[1, 13, 51, 52], true), [7.5, 36.625, 98.375, 100.0]);
        for schedule in [Schedule::Minimal, Schedule::LargeStep] {
            assert_eq!(schedule.ceiling(schedule.weeks(true), true), Exposure::ALL);
            assert!(schedule.ceiling(schedule.weeks(true) - 1, true) < Exposure::ALL);
        }
    }

    #[test]
    fn kilometres_are_whole_add_up_and_never_pass_the_ceiling() {
        for weekly in [0, 1, 3, 32, 35, 199, u16::MAX] {
            for week in 1..=26 {
                let exposure = Schedule::Minimal.ceiling(week, false);
                let (new, old) = exposure.split(weekly);
                assert_eq!(u32::from(new) + u32::from(old), u32::from(weekly));
                assert!(u64::from(new) * 100_000 <= u64::from(weekly) * u64::from(exposure.in_thousandths()));
            }
        }
        assert_eq!(Exposure::ALL.split(32), (32, 0));
        assert_eq!(Exposure::percent(10).split(32), (3, 29));
    }

    #[test]
    fn a_ceiling_is_printed_rounded_down() {
        assert_eq!(Schedule::Minimal.ceiling(7, false).to_string(), "38 %");
    }
}
