//! What must hold whatever the numbers are: nearer is never lower, an unknown measure never wins, an interval holds what
//! it stands for, one more shoe swaps no others, and the lines are the whole story.

use catalogue::measures::{Measure, Measures};
use catalogue::rank::{Explanation, Nearness, Ranker, Score, What};
use catalogue::style::Specification;
use catalogue::units::Grams;
use proptest::prelude::*;

use crate::compare::tenths;
use crate::runners::visit;
use crate::visit::{Shoe, Visit};

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Section 5.1: towards the middle of the band from the same side, in any one measure.
    #[test]
    fn nearer_to_the_band_in_one_measure_is_never_lower(visit in visit(1), a in -90..900_i32, b in -90..900_i32) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        for measure in Measure::ALL {
            let band = ranker.brief().band(measure);
            let off = |value: i32| 2 * value - band.from - band.to;
            if (off(a) < 0) != (off(b) < 0) {
                continue;
            }
            let (nearer, further) = if off(a).abs() <= off(b).abs() { (a, b) } else { (b, a) };
            let at = |value: i32| band.nearness(Some(value)).at;
            prop_assert!(at(nearer) >= at(further), "{:?}: {} and {}", band, nearer, further);
        }
    }

    /// No rule looks at mass, so the whole suitability follows the nearness of the mass.
    #[test]
    fn a_mass_nearer_to_the_band_never_suits_less(visit in visit(1), a in 800..4_500_i32, b in 800..4_500_i32) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        let weighing = |tenths: i32| Specification {
            mass: Some(Grams::tenths(tenths)),
            ..visit.wall[0].specification.clone()
        };
        let [a, b] = [a, b].map(|mass| Measures::of(&weighing(mass), visit.wall[0].audience));
        let [value_a, value_b] = [a, b].map(|shoe| mass_nearness(&ranker.explain(&shoe)).map_or(0, |n| n.at));
        let [score_a, score_b] = [a, b].map(|shoe| ranker.score(&shoe).suitability);
        prop_assert_eq!(value_a.cmp(&value_b).is_le() || score_a >= score_b, true);
        prop_assert_eq!(value_b.cmp(&value_a).is_le() || score_b >= score_a, true);
    }

    /// Section 5.1: an unknown measure counts 500, inside the band at least 900.
    #[test]
    fn an_unknown_measure_never_counts_above_one_inside_the_band(visit in visit(1), part in 0..=100_i32) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        for measure in Measure::ALL {
            let band = ranker.brief().band(measure);
            let inside = band.from + (band.to - band.from) * part / 100;
            prop_assert!(band.nearness(None).at <= band.nearness(Some(inside)).at);
        }
    }

    /// Filling in one field that the sheet left open lands within the interval, and never widens it.
    #[test]
    fn what_a_sheet_left_open_turns_out_within_the_interval(visit in visit(12)) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        for shoe in &visit.wall {
            for open in with_a_field_less(shoe) {
                let (known, unknown) = (ranker.score(&shoe.measures()), ranker.score(&open.measures()));
                prop_assert!(unknown.low <= known.low && known.high <= unknown.high, "{:?}: {:?} {:?}", open, known, unknown);
            }
        }
    }

    /// Section 5: whether each lies where it lies depends on nothing but itself.
    #[test]
    fn one_more_shoe_swaps_no_two_others(visit in visit(12)) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        let without: Vec<usize> = order(&ranker, &visit.wall[1..]).into_iter().map(|i| i + 1).collect();
        let with: Vec<usize> = order(&ranker, &visit.wall).into_iter().filter(|i| *i != 0).collect();
        prop_assert_eq!(with, without);
    }

    /// Section 5: `score` and `explain` come from the same rules, and the lines add up to the suitability.
    #[test]
    fn score_and_explanation_agree_and_the_lines_add_up(visit in visit(12)) {
        let Some(ranker) = ranker(&visit) else { return Ok(()) };
        for shoe in &visit.wall {
            let (score, explanation) = (ranker.score(&shoe.measures()), ranker.explain(&shoe.measures()));
            let total = explanation.lines.iter().map(|line| tenths(line.points)).sum::<crate::share::Tenths>();
            prop_assert_eq!(total, tenths(explanation.total()));
            let held = total.clamped(0, 1000);
            let Score { suitability, low, high, .. } = score;
            prop_assert_eq!((held.at, held.low, held.high), (suitability.into(), low.into(), high.into()));
            prop_assert!(low <= suitability && suitability <= high);
            prop_assert!(!(explanation.caution && score.may_lead));
        }
    }
}

fn ranker(visit: &Visit) -> Option<Ranker> {
    Ranker::prepare(&visit.runner, visit.told().as_ref(), &visit.policy).ok()
}

fn mass_nearness(explanation: &Explanation) -> Option<Nearness> {
    explanation.lines.iter().find_map(|line| match &line.what {
        What::Measure(line) if line.band.measure == Measure::Mass => Some(line.nearness),
        _ => None,
    })
}

/// The shoe with one field left open, each in its turn. Compression is left alone: not measured is no line at all;
/// so is one of three stacks and drops that are all given, since the sheet's disagreement is then hidden.
fn with_a_field_less(shoe: &Shoe) -> Vec<Shoe> {
    let all = &shoe.specification;
    let three = all.heel_stack.is_some() && all.forefoot_stack.is_some() && all.drop_stated.is_some();
    let mut open = vec![
        Specification { mass: None, ..all.clone() },
        Specification { bending: None, ..all.clone() },
        Specification { plate: None, ..all.clone() },
        Specification { rocker: None, ..all.clone() },
    ];
    if !three {
        open.push(Specification { heel_stack: None, ..all.clone() });
        open.push(Specification { forefoot_stack: None, ..all.clone() });
        open.push(Specification { drop_stated: None, ..all.clone() });
    }
    open.into_iter().map(|specification| Shoe { specification, ..shoe.clone() }).collect()
}

fn order(ranker: &Ranker, wall: &[Shoe]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..wall.len()).collect();
    order.sort_by_key(|i| ranker.score(&wall[*i].measures()).order_key(wall[*i].pairs));
    order
}
