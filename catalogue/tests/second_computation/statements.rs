//! What must hold whatever the numbers are: nearer is never lower, unknown is never above what lies in the band, and
//! another shoe on the wall swaps no two others.

use catalogue::measures::{Measure, Measures};
use catalogue::policy::HousePolicy;
use catalogue::rank::Ranker;
use catalogue::runner::Runner;
use catalogue::style::{Bending, Specification};
use catalogue::units::{Grams, Mm};
use proptest::prelude::*;

use crate::runners::runners;
use crate::shoes::{shoe, worn};
use crate::visit::{Shoe, Visit};

/// The ranker of a visit; `None` for a stopped one.
fn ranker(visit: &Visit) -> Option<Ranker> {
    Ranker::prepare(&visit.runner, visit.told().as_ref(), &visit.policy).ok()
}

fn visits() -> impl Strategy<Value = Visit> {
    // Without a history and answers no rule speaks of drop or mass, so that one measure moves the aim alone.
    let quiet = |runner: Runner| Runner {
        injuries: Vec::new(),
        body_mass: None,
        weekly_km: None,
        regular: catalogue::injury::Answer::No,
        ..runner
    };
    (runners(), worn(), prop::collection::vec(shoe(), 12))
        .prop_map(move |(runner, worn, wall)| Visit::of(quiet(runner), worn, HousePolicy::standard(), wall))
}

/// The shoe with one measure of the aim set, tenths; drop and landing stack are moved by heel and forefoot together.
fn with(shoe: &Shoe, measure: Measure, tenths: Option<i32>) -> Measures {
    let mut of = shoe.specification.clone();
    match measure {
        Measure::Mass => {
            of.mass = tenths.map(Grams::tenths);
            of.mass_size = None;
        }
        Measure::Bending => {
            let word = tenths.and_then(|t| catalogue::style::BendingWord::from_step((t / 10) as u8));
            of.bending = word.map(Bending::Word);
        }
        Measure::Drop | Measure::LandingStack => {
            let heel = of.heel_stack.map_or(300, Mm::in_tenths);
            of = Specification { drop_stated: None, ..of };
            of.heel_stack = Some(Mm::tenths(heel));
            of.forefoot_stack = tenths.map(|drop| Mm::tenths(heel - drop));
        }
    }
    Measures::of(&of, shoe.audience)
}

/// How far outside its band a value lies.
fn outside(ranker: &Ranker, measure: Measure, value: i32) -> i32 {
    let band = ranker.brief().band(measure);
    (band.from - value).max(value - band.to).max(0)
}

proptest! {
    #[test]
    fn a_mass_nearer_to_the_band_is_never_lower(visit in visits(), a in 1_200..3_800_i32, b in 1_200..3_800_i32) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        for shoe in &visit.wall {
            let [near, far] = [a, b].map(|mass| with(shoe, Measure::Mass, Some(mass)));
            let value = |of: &Measures| {
                let explained = ranker.explain(of);
                explained.measures().find(|(line, _)| line.band.measure == Measure::Mass).unwrap().0.nearness
            };
            let (near_value, far_value) = (value(&near).value.unwrap(), value(&far).value.unwrap());
            // Only on one side of the band: on two sides the reaches may differ.
            let side = |v: i32| (v - ranker.brief().band(Measure::Mass).from).signum();
            let nearer = outside(&ranker, Measure::Mass, near_value) < outside(&ranker, Measure::Mass, far_value);
            if nearer && (side(near_value) == side(far_value) || outside(&ranker, Measure::Mass, near_value) == 0) {
                prop_assert!(ranker.score(&near).suitability >= ranker.score(&far).suitability, "{near_value} {far_value}");
            }
        }
    }

    #[test]
    fn an_unknown_measure_is_never_above_the_same_one_inside_its_band(visit in visits(), part in 0..=10_i32) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        for shoe in &visit.wall {
            let band = ranker.brief().band(Measure::Drop);
            let inside = band.from + (band.to - band.from) * part / 10;
            let (known, unknown) = (with(shoe, Measure::Drop, Some(inside)), with(shoe, Measure::Drop, None));
            let line = |of: &Measures| {
                let explained = ranker.explain(of);
                explained.measures().find(|(line, _)| line.band.measure == Measure::Drop).unwrap().1.at
            };
            prop_assert!(line(&unknown) <= line(&known), "drop {inside}");
        }
    }

    #[test]
    fn another_shoe_on_the_wall_swaps_no_two_others(visit in visits(), new in shoe()) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        let order = |wall: &[Shoe]| {
            let mut places: Vec<usize> = (0..wall.len()).collect();
            places.sort_by_key(|i| (ranker.score(&wall[*i].measures()).order_key(wall[*i].pairs), *i));
            places
        };
        let before = order(&visit.wall);
        let more: Vec<Shoe> = visit.wall.iter().cloned().chain([new]).collect();
        let after: Vec<usize> = order(&more).into_iter().filter(|i| *i < visit.wall.len()).collect();
        prop_assert_eq!(before, after);
    }
}
