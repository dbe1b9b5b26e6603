//! How minimal a shoe is: the Minimalist Index, shown and never scored, and the degree that some rules use.
//!
//! Index: Esculier and others 2015, J Foot Ankle Res 8:42, doi:10.1186/s13047-015-0094-5. It describes a shoe; it
//! has not been shown to say anything about injury.

use crate::measures::Measures;
use crate::style::Specification;
use crate::units::{Grams, Mm};

/// Lower edges of the bands of mass, in tenths of g (authors' sheet): 125 g belongs to the band above it.
const MASS_EDGES: [i32; 5] = [1250, 1750, 2250, 2750, 3250];
/// Lower edges of the bands of heel stack, in tenths of mm (authors' sheet).
const STACK_EDGES: [i32; 5] = [80, 140, 200, 260, 320];
/// Lower edges of the bands of drop, in tenths of mm (a summary of the paper).
const DROP_EDGES: [i32; 5] = [10, 40, 70, 100, 130];

/// The index in percent, 100 the most minimal; an interval when a subscale is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MinimalistIndex {
    /// The least it can be.
    pub low: u8,
    /// The most it can be.
    pub high: u8,
    /// Subscales that are known, of five.
    pub known: u8,
}

/// Flexibility felt by hand, in halves of a point: longitudinal and torsional, 0..=5 each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flexibility {
    /// Bending the front up.
    pub longitudinal: u8,
    /// Twisting the front.
    pub torsional: u8,
}

/// Points of a subscale in halves, so that flexibility adds up exactly.
type HalfPoints = u8;

impl MinimalistIndex {
    /// The index of a specification and, where somebody felt it, its flexibility.
    pub fn of(specification: &Specification, felt: Option<Flexibility>) -> Self {
        let subscales = [
            specification.mass.map(|m| points(m.in_tenths(), &MASS_EDGES)),
            specification.heel_stack.map(|s| points(s.in_tenths(), &STACK_EDGES)),
            drop_of(specification).map(|d| points(d, &DROP_EDGES)),
            specification.devices.map(|n| 2 * 5_u8.saturating_sub(n)),
            felt.map(|f| f.longitudinal.min(5) + f.torsional.min(5)),
        ];
        let known = subscales.iter().flatten().count() as u8;
        let sum: HalfPoints = subscales.iter().flatten().sum();
        Self { low: 2 * sum, high: 2 * (sum + 10 * (5 - known)), known }
    }
}

fn drop_of(specification: &Specification) -> Option<i32> {
    let drop = Measures::of(specification, None).drop().map(Mm::in_tenths);
    // A negative drop is outside the scale.
    drop.filter(|d| *d >= 0)
}

/// Five points below the first edge, one less at each edge reached.
fn points(value: i32, edges: &[i32; 5]) -> HalfPoints {
    2 * (5 - edges.iter().filter(|edge| value >= **edge).count() as u8)
}

/// How minimal a shoe is for the rules, 0..=1000, from the least to the most it can be.
///
/// 1000 for a heel of 16 mm or less falling to 0 at 24 mm, and 1000 for a drop of 4 mm or less falling to 0 at
/// 8 mm; the lesser of the two. *Our choice* (evidence 11.4, rule 5).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MinimalDegree {
    /// The least it can be.
    pub low: i32,
    /// The most it can be.
    pub high: i32,
}

impl MinimalDegree {
    /// The degree of a shoe; an unknown heel or drop leaves an interval from 0.
    pub fn of(measures: &Measures) -> Self {
        let heel = measures.heel_stack().map(|s| falling(s.in_tenths(), 160, 240));
        let drop = measures.drop().map(|d| falling(d.in_tenths(), 40, 80));
        match (heel, drop) {
            (Some(heel), Some(drop)) => Self { low: heel.min(drop), high: heel.min(drop) },
            (known, None) | (None, known) => Self { low: 0, high: known.unwrap_or(1000) },
        }
    }

    /// Known to be minimal-type: a degree of 500 or more.
    pub const fn is_minimal_type(self) -> bool {
        self.low >= 500
    }

    /// Known to be a step so far towards minimal shoes that the plan for it is the minimal one.
    pub const fn is_minimal_step_from(self, worn: Self) -> bool {
        self.is_minimal_type() && self.low - worn.high >= 250
    }
}

/// 1000 up to `full`, falling to 0 at `none`, floored.
fn falling(value: i32, full: i32, none: i32) -> i32 {
    ((none - value) * 1000).div_euclid(none - full).clamp(0, 1000)
}

/// The subscales that a weighing and a calliper give, for printing beside the index.
pub fn subscale_of_mass(mass: Grams) -> u8 {
    points(mass.in_tenths(), &MASS_EDGES) / 2
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shoe(mass: i32, heel: i32, drop: i32, devices: u8) -> Specification {
        Specification {
            mass: Some(Grams::tenths(mass)),
            heel_stack: Some(Mm::tenths(heel)),
            drop_stated: Some(Mm::tenths(drop)),
            devices: Some(devices),
            ..Specification::default()
        }
    }

    fn index(specification: &Specification, halves: u8) -> u8 {
        let felt = Flexibility { longitudinal: halves, torsional: halves };
        let index = MinimalistIndex::of(specification, Some(felt));
        assert_eq!(index.low, index.high);
        index.low
    }

    /// Source: rows worked from the cut points of doi:10.1186/s13047-015-0094-5 (evidence 1.5).
    #[test]
    fn four_worked_shoes_have_the_index_of_the_cut_points() {
        assert_eq!(index(&shoe(1500, 70, 0, 0), 5), 96);
        assert_eq!(index(&shoe(2300, 240, 40, 1), 3), 56);
        assert_eq!(index(&shoe(2900, 360, 80, 1), 2), 36);
        assert_eq!(index(&shoe(3400, 320, 130, 5), 1), 4);
    }

    /// Source: the same; a lower edge belongs to its band.
    #[test]
    fn edges_belong_to_the_band_above_them() {
        let of = |value, edges| points(value, edges) / 2;
        assert_eq!([of(1249, &MASS_EDGES), of(1250, &MASS_EDGES), of(3250, &MASS_EDGES)], [5, 4, 0]);
        assert_eq!([of(79, &STACK_EDGES), of(80, &STACK_EDGES), of(320, &STACK_EDGES)], [5, 4, 0]);
        assert_eq!([of(9, &DROP_EDGES), of(10, &DROP_EDGES), of(130, &DROP_EDGES)], [5, 4, 0]);
    }

    #[test]
    fn a_missing_subscale_widens_the_index_by_twenty() {
        let known = MinimalistIndex::of(&shoe(2300, 240, 40, 1), None);
        assert_eq!((known.low, known.high, known.known), (44, 64, 4));
        assert_eq!(MinimalistIndex::of(&Specification::default(), None).high, 100);
    }

    #[test]
    fn a_negative_drop_is_outside_the_scale_not_the_most_minimal() {
        assert_eq!(MinimalistIndex::of(&shoe(2300, 240, -10, 1), None).known, 3);
    }

    #[test]
    fn the_minimal_degree_is_the_lesser_of_heel_and_drop() {
        let degree = |heel, drop| {
            let specification = Specification {
                heel_stack: Some(Mm::tenths(heel)),
                drop_stated: Some(Mm::tenths(drop)),
                ..Specification::default()
            };
            MinimalDegree::of(&Measures::of(&specification, None)).low
        };
        assert_eq!([degree(160, 40), degree(200, 40), degree(160, 60), degree(240, 0)], [1000, 500, 500, 0]);
        assert_eq!(degree(187, 40), 662, "floored");
    }

    #[test]
    fn an_unknown_drop_leaves_an_interval_from_nothing_to_the_heels_degree() {
        let thin = Specification { heel_stack: Some(Mm::whole(18)), ..Specification::default() };
        assert_eq!(MinimalDegree::of(&Measures::of(&thin, None)), MinimalDegree { low: 0, high: 750 });
    }
}
