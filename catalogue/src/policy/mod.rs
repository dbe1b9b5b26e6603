//! The house policy: opinion, in one table with units, limits and defaults. The shop may change it; evidence it
//! may not.
//!
//! No published rule says how many millimetres a step may have (Malisoux 2016 handed out 10, 6 and 0 mm at once).

pub mod currencies;
pub mod items;
mod scale;
mod table;

use crate::measures::{Landing, Measure, Measures};
use crate::runner::Feel;
use crate::style::{Audience, Specification};
use crate::units::{Mm, div_half_up};

/// From and to, in tenths of the measure's unit (mm, g, bending steps).
pub type Range = (i32, i32);

/// What the shop believes about bands, reaches and steps. All lengths, masses and steps in tenths.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HousePolicy {
    /// Offsets to the worn shoe, heading *less*.
    pub less: Offsets,
    /// Offsets to the worn shoe, heading *same*.
    pub same: Offsets,
    /// Offsets to the worn shoe, heading *more*.
    pub more: Offsets,
    /// Offsets to the worn shoe for a first pair to race in.
    pub race: Offsets,
    /// Absolute bands without a worn shoe.
    pub new: Absolute,
    /// Absolute bands for racing without a worn shoe.
    pub new_race: Absolute,
    /// How far beyond a band nearness falls to 0.
    pub reach: Reaches,
    /// Weeks in one step before less shoe is ordered for.
    pub weeks_per_step: u16,
    /// The largest step of drop and of landing stack, tenths of mm.
    pub largest_step: (i32, i32),
    /// Heel and forefoot of the shoe that stands in for one known by feel: flatter, like most, taller.
    pub reference_shoes: [(Mm, Mm); 3],
    /// The drop taken where the worn one is unknown.
    pub reference_drop: Mm,
    /// From this heel stack a note on stability is printed.
    pub tall_stack: Mm,
    /// The one compression method whose values the shop holds comparable.
    pub comparable_method: Option<String>,
    /// Mass a size, in thousandths of the mass for one EU size.
    pub mass_per_size: i32,
    /// The usual sample size, EU twelfths: men and unisex, women.
    pub sample_sizes: (u16, u16),
    /// The toe room shown beside a size, mm; custom, weak evidence.
    pub toe_allowance: (u8, u8),
    /// So many pairs of a size inside a run are few: the owner's day names them.
    pub few_pairs: u8,
    /// The shop's one currency.
    pub currency: Currency,
}

/// Offsets to the worn shoe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offsets {
    /// Drop, tenths of mm.
    pub drop: Range,
    /// Landing stack, tenths of mm.
    pub stack: Range,
    /// Mass, tenths of g.
    pub mass: Range,
    /// Bending, tenths of a step.
    pub bending: Range,
}

/// Bands that need no worn shoe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Absolute {
    /// Drop, tenths of mm.
    pub drop: Range,
    /// Landing stack of a rearfoot strike, tenths of mm.
    pub heel: Range,
    /// Landing stack of a forefoot strike, tenths of mm.
    pub forefoot: Range,
    /// Landing stack of a midfoot or unseen strike, tenths of mm.
    pub mean: Range,
    /// Mass, tenths of g.
    pub mass: Range,
    /// Bending, tenths of a step.
    pub bending: Range,
}

/// Distances beyond a band, in tenths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reaches {
    /// Drop, tenths of mm.
    pub drop: i32,
    /// Landing stack, tenths of mm.
    pub stack: i32,
    /// Mass, tenths of g.
    pub mass: i32,
    /// Bending, tenths of a step.
    pub bending: i32,
}

/// A currency of ISO 4217.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Currency {
    /// The code, such as EUR.
    pub code: &'static str,
    /// Decimals of its minor unit.
    pub decimals: u8,
}

/// The euro, as long as a shop has said nothing else.
impl Default for Currency {
    fn default() -> Self {
        Self { code: "EUR", decimals: 2 }
    }
}

/// A number of the policy that cannot stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PolicyFault {
    /// Which number.
    pub what: &'static str,
    /// What is asked of it.
    pub must: &'static str,
}

impl HousePolicy {
    /// The defaults the program comes with.
    pub fn standard() -> Self {
        Self {
            less: Offsets { drop: (-40, -10), stack: (-80, -20), mass: (-600, 0), bending: (-20, 0) },
            same: Offsets { drop: (-20, 20), stack: (-40, 40), mass: (-400, 400), bending: (-10, 10) },
            more: Offsets { drop: (0, 60), stack: (40, 140), mass: (-200, 600), bending: (-10, 10) },
            race: Offsets { drop: (-40, 20), stack: (-40, 60), mass: (-1200, 0), bending: (-10, 20) },
            new: Absolute {
                drop: (60, 100),
                heel: (280, 360),
                forefoot: (200, 280),
                mean: (240, 320),
                mass: (1800, 3000),
                bending: (20, 40),
            },
            new_race: Absolute {
                drop: (40, 100),
                heel: (260, 400),
                forefoot: (200, 340),
                mean: (230, 370),
                mass: (1400, 2400),
                bending: (30, 50),
            },
            reach: Reaches { drop: 60, stack: 160, mass: 1000, bending: 20 },
            weeks_per_step: 6,
            largest_step: (40, 80),
            reference_shoes: [
                (Mm::whole(22), Mm::whole(18)),
                (Mm::whole(32), Mm::whole(24)),
                (Mm::whole(40), Mm::whole(32)),
            ],
            reference_drop: Mm::whole(8),
            tall_stack: Mm::whole(50),
            comparable_method: None,
            mass_per_size: 30,
            sample_sizes: (42 * 12, 38 * 12),
            toe_allowance: (10, 15),
            few_pairs: 1,
            currency: Currency::default(),
        }
    }

    /// The policy when every band runs upwards and every reach and step is above 0; else what cannot stand.
    pub fn checked(self) -> Result<Self, Vec<PolicyFault>> {
        let ranges = [&self.less, &self.same, &self.more, &self.race]
            .into_iter()
            .flat_map(|o| [("drop", o.drop), ("stack", o.stack), ("mass", o.mass), ("bending", o.bending)])
            .chain([&self.new, &self.new_race].into_iter().flat_map(|a| {
                let stacks = [("heel", a.heel), ("forefoot", a.forefoot), ("mean", a.mean)];
                [("drop", a.drop), ("mass", a.mass), ("bending", a.bending)].into_iter().chain(stacks)
            }));
        let mut faults: Vec<_> = ranges
            .filter(|(_, (from, to))| from > to)
            .map(|(what, _)| PolicyFault { what, must: "the first end must not be above the second" })
            .collect();
        let reaches = [self.reach.drop, self.reach.stack, self.reach.mass, self.reach.bending];
        if reaches.iter().any(|reach| *reach <= 0) {
            faults.push(PolicyFault { what: "reach", must: "must be above 0" });
        }
        if self.largest_step.0 <= 0 || self.largest_step.1 <= 0 {
            faults.push(PolicyFault { what: "largest step", must: "must be above 0" });
        }
        if faults.is_empty() { Ok(self) } else { Err(faults) }
    }

    /// The shoe that stands in for a pair known only by feel.
    pub fn reference_shoe(&self, feel: Feel) -> Measures {
        let (heel, forefoot) = self.reference_shoes[feel as usize];
        let specification = Specification {
            heel_stack: Some(heel),
            forefoot_stack: Some(forefoot),
            ..Specification::default()
        };
        Measures::of(&specification, None)
    }

    /// The usual sample size of an audience, EU twelfths; men's where nobody said.
    pub fn sample_size(&self, audience: Option<Audience>) -> u16 {
        match audience {
            Some(Audience::Women) => self.sample_sizes.1,
            _ => self.sample_sizes.0,
        }
    }

    /// A mass in tenths of g weighed at one size, EU twelfths, brought to another: 3 % a EU size (house view), rounded
    /// half up to a tenth.
    pub fn mass_at(&self, tenths: i32, weighed_at: u16, size: u16) -> i32 {
        let twelfths = i64::from(size) - i64::from(weighed_at);
        let factor = 12_000 + i64::from(self.mass_per_size) * twelfths;
        div_half_up(i64::from(tenths) * factor, 12_000) as i32
    }
}

impl Offsets {
    /// The offsets of one measure.
    pub fn of(&self, measure: Measure) -> Range {
        match measure {
            Measure::Drop => self.drop,
            Measure::LandingStack => self.stack,
            Measure::Mass => self.mass,
            Measure::Bending => self.bending,
        }
    }
}

impl Absolute {
    /// The band of one measure, for a landing.
    pub fn of(&self, measure: Measure, landing: Landing) -> Range {
        match (measure, landing) {
            (Measure::Drop, _) => self.drop,
            (Measure::LandingStack, Landing::Heel) => self.heel,
            (Measure::LandingStack, Landing::Forefoot) => self.forefoot,
            (Measure::LandingStack, Landing::Mean) => self.mean,
            (Measure::Mass, _) => self.mass,
            (Measure::Bending, _) => self.bending,
        }
    }
}

impl Reaches {
    /// The reach of one measure.
    pub fn of(&self, measure: Measure) -> i32 {
        match measure {
            Measure::Drop => self.drop,
            Measure::LandingStack => self.stack,
            Measure::Mass => self.mass,
            Measure::Bending => self.bending,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standard_policy_stands() {
        assert!(HousePolicy::standard().checked().is_ok());
    }

    #[test]
    fn a_band_that_runs_downwards_and_a_reach_of_nothing_are_named() {
        let mut policy = HousePolicy::standard();
        policy.more.drop = (60, 0);
        policy.reach.mass = 0;
        let faults = policy.checked().unwrap_err();
        assert_eq!(faults.iter().map(|f| f.what).collect::<Vec<_>>(), ["drop", "reach"]);
    }
}
