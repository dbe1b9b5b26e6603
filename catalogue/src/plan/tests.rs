//! Which plan a change calls for, worked out on paper from the house's limits: 8 mm of stack, 4 mm of drop.

use super::*;
use crate::injury::{Answer, Injury, Region};
use crate::measures::Worn;
use crate::policy::HousePolicy;
use crate::runner::{Feel, Runner};
use crate::strike::{Strike, StrikePattern, StrikeSeen};
use crate::style::{Purposes, Specification};
use crate::units::Mm;

/// Tenths of mm; below 0 is not given.
fn shoe(heel: i32, forefoot: i32) -> Measures {
    let mm = |tenths: i32| (tenths >= 0).then(|| Mm::tenths(tenths));
    let specification =
        Specification { heel_stack: mm(heel), forefoot_stack: mm(forefoot), ..Specification::default() };
    Measures::of(&specification, None)
}

fn planned(runner: &Runner, worn: Option<Measures>, chosen: Measures) -> Plan {
    let worn = worn.map(|measures| Worn { measures, purposes: Purposes::NONE });
    let ranker = Ranker::prepare(runner, worn.as_ref(), &HousePolicy::standard()).expect("nothing stops it");
    ranker.plan(&chosen)
}

fn kind(worn: Measures, chosen: Measures) -> (Option<bool>, Kind) {
    let plan = planned(&Runner::default(), Some(worn), chosen);
    (plan.needed, plan.kind)
}

#[test]
fn a_step_to_a_minimal_shoe_takes_26_weeks() {
    assert_eq!(kind(shoe(320, 240), shoe(180, 140)), (Some(true), Kind::Minimal));
    let plan =
        planned(&Runner { weekly_km: Some(32), ..Runner::default() }, Some(shoe(320, 240)), shoe(180, 140));
    assert_eq!(plan.weeks.len(), 26);
    assert_eq!(plan.weeks[0].km, Some((3, 29)), "10 % of 32 km, rounded down");
    assert_eq!(plan.weeks[25].km, Some((32, 0)));
    assert_eq!(plan.reviews, [2, 6, 12, 18, 26]);
}

#[test]
fn from_one_minimal_shoe_to_the_next_no_26_weeks_are_asked() {
    // 18/14: the heel gives 750. 19/15: 625, less than 250 apart.
    assert_eq!(kind(shoe(190, 150), shoe(180, 140)), (Some(false), Kind::None));
}

#[test]
fn eight_millimetres_of_stack_or_four_of_drop_are_a_large_step() {
    assert_eq!(kind(shoe(400, 320), shoe(320, 240)), (Some(true), Kind::LargeStep));
    assert_eq!(kind(shoe(400, 320), shoe(321, 241)), (Some(false), Kind::None));
    assert_eq!(kind(shoe(360, 260), shoe(340, 280)), (Some(true), Kind::LargeStep), "10 to 6 mm of drop");
    assert_eq!(kind(shoe(360, 260), shoe(341, 280)), (Some(false), Kind::None));
}

#[test]
fn up_again_the_two_pairs_are_run_in_turn_without_a_schedule() {
    let plan = planned(&Runner::default(), Some(shoe(240, 200)), shoe(320, 260));
    assert_eq!((plan.needed, plan.kind, plan.weeks.len()), (Some(false), Kind::Rotate, 0));
    assert_eq!(plan.why, [Why::Higher(Decides::Heel, 80)]);
    assert!(plan.advice.schedule.iter().any(|claim| claim.id == "plan-back-to-more"));
    assert!(plan.advice.moves.iter().any(|claim| claim.id == "moves-to-knee"));
}

#[test]
fn more_shoe_wished_is_run_in_turn_however_small_the_change() {
    let mut runner = Runner::default();
    runner.stage.heading = Some(Heading::More);
    let plan = planned(&runner, Some(shoe(320, 240)), shoe(340, 260));
    assert_eq!((plan.kind, plan.why), (Kind::Rotate, vec![Why::HeadingMore]));
}

#[test]
fn an_unknown_measure_that_decides_leaves_the_plan_open_and_is_named() {
    let plan = planned(&Runner::default(), Some(shoe(320, 240)), shoe(300, -1));
    assert_eq!((plan.needed, plan.kind, plan.weeks.len()), (None, Kind::None, 0));
    assert_eq!(plan.unknown, [Decides::Landing, Decides::Drop]);
}

#[test]
fn an_unknown_measure_that_cannot_change_the_answer_is_not_asked_for() {
    let rearfoot =
        Strike { pattern: Some(StrikePattern::Rearfoot), seen: Some(StrikeSeen::Video), ..Strike::default() };
    let plan =
        planned(&Runner { strike: rearfoot, ..Runner::default() }, Some(shoe(400, 320)), shoe(300, -1));
    assert_eq!((plan.needed, plan.kind, plan.unknown), (Some(true), Kind::LargeStep, vec![]));
}

#[test]
fn what_could_be_a_minimal_shoe_is_open_although_the_step_is_large_for_certain() {
    let plan = planned(&Runner::default(), Some(shoe(320, 240)), shoe(180, -1));
    assert_eq!((plan.needed, plan.kind), (None, Kind::LargeStep));
    assert_eq!(plan.unknown, [Decides::Landing, Decides::Drop]);
    assert!(plan.weeks.is_empty(), "six weeks would be too few, were it minimal");
}

#[test]
fn without_a_worn_pair_everything_is_open_and_by_feel_it_is_a_guess() {
    let plan = planned(&Runner::default(), None, shoe(320, 240));
    assert_eq!((plan.needed, plan.worn_is_unknown), (None, true));
    assert_eq!(plan.unknown, Decides::ALL);
    let mut runner = Runner::default();
    runner.now.shoe = Now::Feels(Feel::Taller);
    let plan = planned(&runner, None, shoe(320, 240));
    assert_eq!((plan.kind, plan.worn_is_guessed), (Kind::LargeStep, true), "40/32 mm stands in");
}

#[test]
fn any_slow_sign_doubles_the_weeks_and_is_named() {
    let runner = Runner { strength_work: Answer::No, weekly_km: Some(40), ..Runner::default() };
    let plan = planned(&runner, Some(shoe(400, 320)), shoe(300, 220));
    assert_eq!(plan.slow, [SlowSign::Distance, SlowSign::NoStrengthWork]);
    let shares: Vec<f64> = plan.weeks.iter().map(|week| week.share.as_percent()).collect();
    assert_eq!(shares, [12.0, 20.0, 28.0, 36.0, 44.0, 52.0, 60.0, 68.0, 76.0, 84.0, 92.0, 100.0]);
}

#[test]
fn no_weekly_distance_leaves_the_kilometres_open_not_zero() {
    let plan = planned(&Runner::default(), Some(shoe(400, 320)), shoe(300, 220));
    assert!(plan.weeks.iter().all(|week| week.km.is_none()));
}

#[test]
fn a_finished_old_pair_is_missed_where_the_plan_needs_it() {
    let mut runner = Runner::default();
    runner.now.old_pair = Some(OldPair::Finished);
    assert!(planned(&runner, Some(shoe(400, 320)), shoe(300, 220)).lacks_old_pair);
    assert!(!planned(&runner, Some(shoe(400, 320)), shoe(400, 320)).lacks_old_pair);
}

#[test]
fn every_plan_that_is_needed_says_when_to_stop() {
    let runner = Runner {
        injuries: vec![Injury { painful: Answer::No, ..Injury::of(Region::Calf) }],
        ..Runner::default()
    };
    let plan = planned(&runner, Some(shoe(400, 320)), shoe(300, 220));
    assert_eq!(plan.advice.signs[0].id, "sign-bone-pain");
    assert_eq!(plan.slow, [SlowSign::RecentInjury], "of unasked age is recent");
}
