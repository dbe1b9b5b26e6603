//! What the ranking promises, beyond the digits: rows, gates, pulls, conflicts, stops, groups, and that score and
//! explanation are one.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use catalogue::flags::Flag;
use catalogue::injury::{Answer, Injury, Region};
use catalogue::measures::{Landing, Measure, Measures, Worn};
use catalogue::policy::HousePolicy;
use catalogue::rank::{Closed, Group, NotFirst, Origin, Placed, Ranker, Row, What};
use catalogue::runner::{Feel, Heading, Now, Runner};
use catalogue::strike::{Strike, StrikePattern, StrikeSeen};
use catalogue::style::{Bending, BendingWord, Purpose, Purposes, Specification};
use catalogue::units::{Grams, Mm};
use proptest::prelude::*;

fn shoe(heel: i32, forefoot: i32, grams: i32) -> Measures {
    let specification = Specification {
        heel_stack: Some(Mm::whole(heel)),
        forefoot_stack: Some(Mm::whole(forefoot)),
        mass: Some(Grams::whole(grams)),
        ..Specification::default()
    };
    Measures::of(&specification, None)
}

fn daily_pair() -> Worn {
    Worn { measures: shoe(32, 24, 280), purposes: Purposes::of(&[Purpose::Daily]) }
}

fn heading(heading: Heading) -> Runner {
    let pattern = Some(StrikePattern::Rearfoot);
    let strike = Strike { pattern, seen: Some(StrikeSeen::Video), ..Strike::default() };
    let mut runner = Runner { strike, ..Runner::default() };
    runner.stage.heading = Some(heading);
    runner
}

fn prepared(runner: &Runner) -> Ranker {
    Ranker::prepare(runner, Some(&daily_pair()), &HousePolicy::standard()).unwrap()
}

fn with(mut runner: Runner, region: Region, recent: Answer) -> Runner {
    runner.injuries.push(Injury { recent, cleared: Answer::Yes, ..Injury::of(region) });
    runner
}

fn band(ranker: &Ranker, measure: Measure) -> (i32, i32) {
    let band = ranker.brief().band(measure);
    (band.from, band.to)
}

#[test]
fn less_acts_as_same_until_the_weeks_of_the_step_are_done() {
    let mut runner = heading(Heading::Less);
    runner.stage.weeks_done = Some(3);
    let closed = prepared(&runner);
    assert_eq!((closed.brief().row, &closed.brief().closed[..]), (Row::Same, &[Closed::Weeks][..]));
    assert_eq!(closed.brief().step.map(|s| (s.done, s.of)), Some((3, 6)));
    runner.stage.weeks_done = Some(6);
    assert_eq!(prepared(&runner).brief().row, Row::Less);
    runner.stage.weeks_done = None;
    assert_eq!(prepared(&runner).brief().row, Row::Less, "not asked closes no gate");
}

#[test]
fn a_newest_pair_that_is_not_the_main_one_closes_less_without_a_step() {
    let mut runner = heading(Heading::Less);
    runner.now.main = Answer::No;
    let closed = prepared(&runner);
    assert_eq!((closed.brief().row, closed.brief().step), (Row::Same, None));
    runner.stage.step_anyway = true;
    assert_eq!(prepared(&runner).brief().row, Row::Less);
}

#[test]
fn diabetes_closes_less_and_no_anyway_opens_it() {
    let mut runner = heading(Heading::Less);
    runner.flags.diabetes = Answer::Yes;
    runner.flags.diabetes_cleared = Answer::Yes;
    runner.stage.step_anyway = true;
    assert_eq!(prepared(&runner).brief().row, Row::Same);
    runner.purpose = Some(Purpose::Race);
    assert_eq!(prepared(&runner).brief().row, Row::Same, "race acts as same too");
}

#[test]
fn a_red_flag_stops_and_there_is_no_ranker() {
    let mut runner = heading(Heading::Same);
    runner.flags.set(Flag::CalfSwelling, Answer::Yes);
    let stopped = Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap_err();
    assert_eq!(stopped.flags, [Flag::CalfSwelling]);
}

#[test]
fn racing_counts_from_the_worn_pair_unless_that_is_a_race_shoe() {
    let runner = Runner { purpose: Some(Purpose::Race), ..heading(Heading::Less) };
    assert_eq!(prepared(&runner).brief().row, Row::Race);
    let racer = Worn { purposes: Purposes::of(&[Purpose::Race]), ..daily_pair() };
    let same = Ranker::prepare(&runner, Some(&racer), &HousePolicy::standard()).unwrap();
    assert_eq!(same.brief().row, Row::Same);
    let new = Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap();
    assert_eq!(new.brief().row, Row::NewRace);
}

#[test]
fn racing_held_back_by_a_gate_aims_at_no_shoe_for_racing_where_the_worn_pair_says_nothing() {
    let mut runner = Runner { purpose: Some(Purpose::Race), ..heading(Heading::Less) };
    runner.now.shoe = Now::Feels(Feel::Flatter);
    runner.stage.weeks_done = Some(0);
    let mass = |runner: &Runner| {
        let ranker = Ranker::prepare(runner, None, &HousePolicy::standard()).unwrap();
        (ranker.brief().row, band(&ranker, Measure::Mass))
    };
    assert_eq!(mass(&runner), (Row::Same, (1800, 3000)));
    runner.stage.weeks_done = Some(6);
    assert_eq!(mass(&runner), (Row::Race, (1400, 2400)));
}

#[test]
fn a_pair_known_by_feel_is_stood_in_for_and_its_missing_measures_are_guessed() {
    let mut runner = heading(Heading::Same);
    runner.now.shoe = Now::Feels(Feel::Taller);
    let ranker = Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap();
    assert_eq!(band(&ranker, Measure::LandingStack), (360, 440));
    let guessed = |measure| ranker.brief().band(measure).is_guessed();
    assert_eq!((guessed(Measure::Drop), guessed(Measure::Mass)), (false, true));
}

#[test]
fn a_recent_calf_strain_and_less_is_less_stack_not_less_drop() {
    let ranker = prepared(&with(heading(Heading::Less), Region::Calf, Answer::Yes));
    assert_eq!(band(&ranker, Measure::Drop), (80, 80));
    assert_eq!(band(&ranker, Measure::LandingStack), (280, 310), "offsets halved by the recent injury");
    let drop = ranker.brief().band(Measure::Drop);
    assert_eq!((drop.reach_below, drop.reach_above), (30, 60), "the reach is short against the pull");
}

#[test]
fn what_somebody_asked_for_replaces_the_band_unclipped() {
    let mut runner = with(heading(Heading::Less), Region::Calf, Answer::Yes);
    runner.asked_for.drop = Some((Mm::whole(2), Mm::whole(4)));
    let ranker = prepared(&runner);
    assert_eq!(band(&ranker, Measure::Drop), (20, 40));
    assert_eq!(ranker.brief().band(Measure::Drop).origin, Origin::AskedFor);
}

#[test]
fn big_toe_arthritis_moves_and_widens_the_bending_band() {
    let runner = with(heading(Heading::Same), Region::BigToeJoint, Answer::No);
    let worn = Worn { measures: bending(BendingWord::Medium), ..daily_pair() };
    let ranker = Ranker::prepare(&runner, Some(&worn), &HousePolicy::standard()).unwrap();
    assert_eq!(band(&ranker, Measure::Bending), (30, 50));
}

fn bending(word: BendingWord) -> Measures {
    Measures::of(&Specification { bending: Some(Bending::Word(word)), ..Specification::default() }, None)
}

#[test]
fn two_pains_that_pull_apart_both_lose_until_one_is_said_to_be_current() {
    let mut runner = with(heading(Heading::Same), Region::Achilles, Answer::Yes);
    runner = with(runner, Region::Kneecap, Answer::Yes);
    let both_lost = prepared(&runner);
    let lost = |ranker: &Ranker| -> Vec<_> {
        ranker.rules_in_force().iter().filter(|r| r.lost_to.is_some()).map(|r| r.rule.id).collect()
    };
    assert_eq!(lost(&both_lost), ["calf-drop", "achilles-rocker", "kneecap-drop", "kneecap-rocker"]);
    assert!(both_lost.brief().clashes.iter().all(|clash| clash.kept.is_none()));
    runner.injuries[1].current = Answer::Yes;
    assert_eq!(lost(&prepared(&runner)), ["calf-drop", "achilles-rocker"]);
    runner.injuries[1].current = Answer::NotAsked;
    runner.injuries[0].painful = Answer::Yes;
    assert_eq!(lost(&prepared(&runner)), ["kneecap-drop", "kneecap-rocker"]);
}

#[test]
fn an_injury_rule_silences_another_kind_and_a_loser_silences_nothing() {
    let regular = Runner { regular: Answer::Yes, ..heading(Heading::Same) };
    let knee = prepared(&with(regular.clone(), Region::Kneecap, Answer::Yes));
    let lost = |ranker: &Ranker, id: &str| {
        ranker.rules_in_force().iter().any(|r| r.rule.id == id && r.lost_to.is_some())
    };
    assert!(lost(&knee, "low-drop-regular"));
    let both = with(with(regular, Region::Calf, Answer::Yes), Region::Kneecap, Answer::Yes);
    assert!(!lost(&prepared(&both), "low-drop-regular"));
}

#[test]
fn a_drop_below_zero_counts_as_zero_unless_the_worn_drop_is_below_zero() {
    let mut runner = heading(Heading::Same);
    runner.asked_for.drop = Some((Mm::whole(0), Mm::whole(0)));
    let negative = shoe(20, 22, 200);
    let drop = |ranker: &Ranker| ranker.explain(&negative).measures().next().unwrap().0.nearness.at;
    assert_eq!(drop(&prepared(&runner)), 1000);
    let worn = Worn { measures: negative, ..daily_pair() };
    let used_to_it = Ranker::prepare(&runner, Some(&worn), &HousePolicy::standard()).unwrap();
    assert_eq!(drop(&used_to_it), 600);
}

fn placed(ranker: &Ranker, shoes: &[Measures]) -> Vec<Placed> {
    let place =
        |m: &Measures| Placed { measures: *m, score: ranker.score(m), worn: *m == daily_pair().measures };
    let mut placed: Vec<_> = shoes.iter().map(place).collect();
    placed.sort_by_key(|p| p.score.order_key(1));
    placed
}

#[test]
fn three_that_differ_are_brought_out_first_and_near_twins_are_not() {
    let ranker = prepared(&heading(Heading::Same));
    let shoes = [shoe(32, 24, 279), shoe(33, 24, 281), shoe(30, 24, 260), shoe(34, 24, 300)];
    let placed = placed(&ranker, &shoes);
    let grouping = ranker.group(&placed);
    assert_eq!(grouping.groups.iter().filter(|g| **g == Group::First).count(), 3);
    assert_eq!(grouping.groups.iter().filter(|g| **g == Group::Also).count(), 1, "the near twin");
}

#[test]
fn the_worn_style_is_shown_aside_when_less_is_looked_for_and_leads_when_the_same_is() {
    let shoes = [daily_pair().measures, shoe(28, 22, 250)];
    let group = |heading_is| {
        let ranker = prepared(&heading(heading_is));
        let placed = placed(&ranker, &shoes);
        let at = placed.iter().position(|p| p.worn).unwrap();
        ranker.group(&placed).groups[at]
    };
    assert_eq!(group(Heading::Less), Group::Aside);
    assert_eq!(group(Heading::Same), Group::First);
}

#[test]
fn a_taller_shoe_does_not_lead_when_less_is_looked_for() {
    let ranker = prepared(&heading(Heading::Less));
    assert_eq!(ranker.why_not_first(&shoe(33, 26, 260)), Some(NotFirst::AgainstHeading));
    assert_eq!(ranker.why_not_first(&shoe(28, 22, 260)), None);
}

#[test]
fn a_shoe_of_which_the_sheet_says_too_little_is_listed_but_not_ranked() {
    let ranker = prepared(&heading(Heading::Same));
    let placed = placed(&ranker, &[Measures::UNKNOWN, shoe(32, 24, 280)]);
    let groups = ranker.group(&placed).groups;
    assert!(groups.contains(&Group::TooLittle) && groups.contains(&Group::First));
}

#[test]
fn an_empty_list_has_no_groups() {
    assert_eq!(prepared(&heading(Heading::Same)).group(&[]).groups, []);
}

fn any_specification() -> impl Strategy<Value = Specification> {
    let mm = |range| proptest::option::of(range).prop_map(|v: Option<i32>| v.map(Mm::tenths));
    let switch = || proptest::option::of(any::<bool>());
    (mm(100..600), mm(80..500), mm(-40..160), proptest::option::of(1000..4000), 0_u8..6, switch(), switch())
        .prop_map(|(heel_stack, forefoot_stack, drop_stated, mass, step, plate, rocker)| Specification {
            heel_stack,
            forefoot_stack,
            drop_stated,
            mass: mass.map(Grams::tenths),
            bending: BendingWord::from_step(step).map(Bending::Word),
            plate,
            rocker,
            ..Specification::default()
        })
}

fn any_runner() -> impl Strategy<Value = Runner> {
    let answer = || prop_oneof![Just(Answer::Yes), Just(Answer::No), Just(Answer::NotAsked)];
    let heading = proptest::sample::select(Heading::ALL);
    let purpose = proptest::sample::select(Purpose::ALL);
    let region = proptest::sample::select(Region::ALL);
    let injury = (region, answer(), answer()).prop_map(|(region, recent, current)| Injury {
        recent,
        current,
        cleared: Answer::Yes,
        ..Injury::of(region)
    });
    (heading, purpose, proptest::collection::vec(injury, 0..3), answer(), 0_u16..60).prop_map(
        |(heading, purpose, injuries, regular, km)| {
            let mut runner = Runner {
                purpose: Some(purpose),
                injuries,
                regular,
                weekly_km: Some(km),
                body_mass: catalogue::runner::BodyMass::bands().into_iter().nth(usize::from(km % 5)),
                ..Runner::default()
            };
            runner.stage.heading = Some(heading);
            runner
        },
    )
}

proptest! {
    #[test]
    fn the_lines_of_any_shoe_add_up_to_its_score(
        runner in any_runner(), worn in any_specification(), specification in any_specification(), has_worn: bool,
    ) {
        let worn = Worn { measures: Measures::of(&worn, None), purposes: Purposes::NONE };
        let now = has_worn.then_some(&worn);
        let ranker = Ranker::prepare(&runner, now, &HousePolicy::standard()).unwrap();
        let shoe = Measures::of(&specification, None);
        let (score, total) = (ranker.score(&shoe), ranker.explain(&shoe).total());
        prop_assert_eq!(i32::from(score.suitability), total.at);
        prop_assert_eq!((i32::from(score.low), i32::from(score.high)), (total.low, total.high));
        prop_assert!(0 <= score.low && score.low <= score.suitability);
        prop_assert!(score.suitability <= score.high && score.high <= 1000);
    }

    #[test]
    fn filling_in_an_unknown_measure_stays_inside_the_interval(
        runner in any_runner(), specification in any_specification(), filling in any_specification(),
    ) {
        let ranker = Ranker::prepare(&runner, Some(&daily_pair()), &HousePolicy::standard()).unwrap();
        let before = ranker.score(&Measures::of(&specification, None));
        // A mass alone, or a bending alone: filling a stack can also change what is derived from it.
        let mut filled = specification.clone();
        filled.mass = filled.mass.or(filling.mass);
        filled.bending = filled.bending.or(filling.bending);
        let after = ranker.score(&Measures::of(&filled, None));
        prop_assert!(before.low <= after.suitability && after.suitability <= before.high);
    }
}

#[test]
fn every_line_of_a_rule_names_its_rule() {
    let runner = with(heading(Heading::Less), Region::Achilles, Answer::Yes);
    let explanation = prepared(&runner).explain(&shoe(28, 24, 240));
    let ids: Vec<_> = explanation.rules().map(|(line, _)| line.rule.id).collect();
    assert_eq!(ids, ["calf-drop", "achilles-rocker"]);
    assert!(matches!(explanation.lines[0].what, What::Base));
}

#[test]
fn an_unseen_strike_lands_on_the_mean() {
    assert_eq!(prepared(&Runner::default()).landing(), Landing::Mean);
}
