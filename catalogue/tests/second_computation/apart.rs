//! The distance of two shoes a second time, from two sheets in plain tenths: thirty, forty, twenty and ten points, each by
//! the part of its reach that the difference is.

use catalogue::measures::{Landing, Measure};
use catalogue::policy::HousePolicy;
use catalogue::similar::Distance;
use catalogue::style::{Bending, BendingWord};
use catalogue::units::Grams;
use proptest::prelude::*;

use crate::runners::policy;
use crate::sheet::Sheet;
use crate::shoes::{shoe, shoe_near};
use crate::visit::Shoe;

/// A shoe and another, close to it half of the time.
fn two() -> impl Strategy<Value = (Shoe, Shoe)> {
    shoe().prop_flat_map(|one| {
        let near = shoe_near(&one);
        (Just(one), prop_oneof![shoe(), near])
    })
}

fn between(a: &Shoe, b: &Shoe, policy: &HousePolicy) -> Option<Distance> {
    Distance::between(&a.measures(), &b.measures(), policy)
}

/// The least and the most of each measure in points, or `None` with neither drop nor a stack to compare.
fn by_hand(a: &Sheet, b: &Sheet, policy: &HousePolicy) -> Option<[(f64, f64); 4]> {
    let both = |a: Option<i64>, b: Option<i64>| Some((a? - b?).abs() as f64);
    let mean = |sheet: &Sheet| sheet.landing_stack(Landing::Mean);
    let drop = both(a.drop, b.drop);
    let stack = both(mean(a), mean(b)).or_else(|| both(a.heel, b.heel));
    let mass = a.mass.zip(b.mass).map(|(a_mass, b_mass)| {
        let sizes = (a.size_or_sample(policy, b.audience), b.size_or_sample(policy, a.audience));
        let smaller = sizes.0.min(sizes.1);
        let brought = |mass: i64, size: i64| {
            let share = f64::from(policy.mass_per_size) / 1_000.0 / 12.0 * (size - smaller) as f64;
            (mass as f64 * (1.0 - share) + 0.5 + 1e-9).floor()
        };
        (brought(a_mass, sizes.0) - brought(b_mass, sizes.1)).abs()
    });
    let points = |difference: Option<f64>, weight: f64, reach: i32| match difference {
        Some(difference) => [weight * (difference / f64::from(reach)).min(1.0); 2].into(),
        None => (0.0, weight),
    };
    let lines = [
        points(drop, 30.0, policy.reach.drop),
        points(stack, 40.0, policy.reach.stack),
        points(mass, 20.0, policy.reach.mass),
        points(both(a.bending, b.bending), 10.0, policy.reach.bending),
    ];
    (drop.is_some() || stack.is_some()).then_some(lines)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 800, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn both_computations_find_the_same_distance((a, b) in two(), policy in policy()) {
        let (found, by_hand) = (between(&a, &b, &policy), by_hand(&a.sheet(), &b.sheet(), &policy));
        prop_assert_eq!(found.is_some(), by_hand.is_some());
        for (line, (low, high)) in found.iter().flat_map(|found| found.lines).zip(by_hand.into_iter().flatten()) {
            let near = |tenths: i32, points: f64| (f64::from(tenths) / 10.0 - points).abs() < 0.0501;
            prop_assert!(near(line.low, low) && near(line.high, high), "{:?}: {} to {}", line, low, high);
        }
    }

    #[test]
    fn a_distance_is_an_interval_within_a_hundred_points_whose_lines_add_up((a, b) in two(), policy in policy()) {
        let Some(distance) = between(&a, &b, &policy) else { return Ok(()) };
        prop_assert!(0 <= distance.low && distance.low <= distance.high && distance.high <= 1_000);
        prop_assert_eq!(distance.lines.iter().map(|line| line.low).sum::<i32>(), distance.low);
        prop_assert_eq!(distance.lines.iter().map(|line| line.high).sum::<i32>(), distance.high);
        prop_assert_eq!(distance.low == distance.high, distance.lines.iter().all(|line| line.difference.is_some()));
    }

    #[test]
    fn either_way_round_is_as_far_and_a_shoe_is_nowhere_nearer_than_to_itself((a, b) in two(), policy in policy()) {
        let ends = |from, to| between(from, to, &policy).map(|distance| (distance.low, distance.high));
        prop_assert_eq!(ends(&a, &b), ends(&b, &a));
        if let Some((low, high)) = ends(&a, &a) {
            prop_assert_eq!(low, 0);
            prop_assert!(ends(&a, &b).is_none_or(|other| other.1 >= high), "itself {}, {:?}", high, ends(&a, &b));
        }
    }

    /// Once a sheet says the mass or the bending that it left open, the distance lies within what it was before.
    #[test]
    fn what_a_sheet_left_open_turns_out_within_the_interval(
        (a, b) in two(), grams in 100..400_i32, step in 1..=5_u8,
    ) {
        let policy = HousePolicy::standard();
        let mut open = b.clone();
        (open.specification.mass, open.specification.bending) = (None, None);
        let mut said = b;
        said.specification.mass = Some(Grams::whole(grams));
        said.specification.bending = BendingWord::from_step(step).map(Bending::Word);
        let (open, said) = (between(&a, &open, &policy), between(&a, &said, &policy));
        prop_assert_eq!(open.is_some(), said.is_some());
        if let Some((open, said)) = open.zip(said) {
            prop_assert!(open.low <= said.low && said.high <= open.high, "{:?} {:?}", open, said);
            prop_assert_eq!(open.line(Measure::Mass).difference, None);
        }
    }
}
