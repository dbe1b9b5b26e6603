//! Plans for the sample's runners: worked out once more in plain fractions from the plan's contract, for every runner
//! and every style of the sample, and a few by hand.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::{BTreeSet, HashSet};
use std::fs;

use catalogue::rank::Ranker;
use catalogue::runner::{Heading, Runner};
use catalogue::strike::StrikePattern;
use catalogue::style::{Audience, Style};
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;
use serde_json::{Value, json};
use tests::program::argument;
use tests::sample::{RUNNERS, runner};
use web::request::runner::RunnerForm;
use web::wire::plan::PlanReply;

fn shop() -> Shop {
    let reader = SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    web::sample::sample_shop(reader, 1_700_000_000).unwrap()
}

fn read(name: &str, snapshot: &Snapshot) -> Runner {
    let form = RunnerForm::from_toml(&fs::read_to_string(runner(name)).unwrap()).unwrap();
    form.to_runner(&|key| snapshot.style(key).is_some()).unwrap()
}

/// Heel, forefoot and drop in mm as the sheet has them, one worked out of the other two.
#[derive(Clone, Copy)]
struct Heights {
    heel: Option<f64>,
    forefoot: Option<f64>,
    drop: Option<f64>,
}

fn heights(style: &Style) -> Heights {
    let mm = |mm: Option<catalogue::units::Mm>| mm.map(|mm| f64::from(mm.in_tenths()) / 10.0);
    let of = &style.specification;
    let (heel, forefoot, stated) = (mm(of.heel_stack), mm(of.forefoot_stack), mm(of.drop_stated));
    let by_stacks = heel.zip(forefoot).map(|(h, f)| h - f);
    let apart = by_stacks.zip(stated).is_some_and(|(a, b)| (a - b).abs() > 0.51);
    Heights {
        drop: if apart { by_stacks } else { stated.or(by_stacks) },
        heel: heel.or(forefoot.zip(stated).map(|(f, d)| f + d)),
        forefoot: forefoot.or(heel.zip(stated).map(|(h, d)| h - d)),
    }
}

impl Heights {
    fn landing(self, strike: Option<StrikePattern>) -> Option<f64> {
        match strike {
            Some(StrikePattern::Rearfoot) => self.heel,
            Some(StrikePattern::Forefoot) => self.forefoot,
            _ => Some(((self.heel? + self.forefoot?) * 5.0 + 1e-9).round() / 10.0),
        }
    }

    /// From the least to the most that the minimal degree can be, thousandths.
    fn degree(self) -> (f64, f64) {
        let falling = |value: f64, full: f64, none: f64| {
            ((none - value) / (none - full) * 1000.0 + 1e-6).floor().clamp(0.0, 1000.0)
        };
        let heel = self.heel.map(|heel| falling(heel, 16.0, 24.0));
        let drop = self.drop.map(|drop| falling(drop, 4.0, 8.0));
        match (heel, drop) {
            (Some(heel), Some(drop)) => (heel.min(drop), heel.min(drop)),
            (Some(one), None) | (None, Some(one)) => (0.0, one),
            (None, None) => (0.0, 1000.0),
        }
    }
}

/// Whether a plan is needed and which, by the words of the contract.
fn by_hand(
    worn: Heights,
    chosen: Heights,
    strike: Option<StrikePattern>,
    more: bool,
) -> (Value, &'static str) {
    let (worn_degree, degree) = (worn.degree(), chosen.degree());
    let minimal = degree.0 >= 500.0 && degree.0 - worn_degree.1 >= 250.0;
    let never_minimal = degree.1 < 500.0 || degree.1 - worn_degree.0 < 250.0;
    let falls = [
        worn.heel.zip(chosen.heel).map(|(w, c)| w - c >= 8.0 - 1e-9),
        worn.landing(strike).zip(chosen.landing(strike)).map(|(w, c)| w - c >= 8.0 - 1e-9),
        worn.drop.zip(chosen.drop).map(|(w, c)| w - c >= 4.0 - 1e-9),
    ];
    let rises = [
        worn.heel.zip(chosen.heel).map(|(w, c)| c - w >= 8.0 - 1e-9),
        worn.landing(strike).zip(chosen.landing(strike)).map(|(w, c)| c - w >= 8.0 - 1e-9),
        worn.drop.zip(chosen.drop).map(|(w, c)| c - w >= 4.0 - 1e-9),
    ];
    if minimal {
        (json!(true), "minimal")
    } else if falls.contains(&Some(true)) {
        (if never_minimal { json!(true) } else { Value::Null }, "large-step")
    } else if !never_minimal || falls.contains(&None) {
        (Value::Null, "none")
    } else if more || rises.contains(&Some(true)) {
        (json!(false), "rotate")
    } else {
        (json!(false), "none")
    }
}

/// The worn style's heights; a runner known by feel wears the reference shoe of the policy's table.
fn worn(runner: &Runner, snapshot: &Snapshot) -> Heights {
    use catalogue::runner::{Feel, Now};
    let of = |heel: f64, forefoot: f64| Heights {
        heel: Some(heel),
        forefoot: Some(forefoot),
        drop: Some(heel - forefoot),
    };
    match &runner.now.shoe {
        Now::Style(key) => heights(snapshot.style(key).unwrap().style),
        Now::Feels(Feel::Flatter) => of(22.0, 18.0),
        Now::Feels(Feel::LikeMost) => of(32.0, 24.0),
        Now::Feels(Feel::Taller) => of(40.0, 32.0),
        Now::Measured(worn) => {
            let mm = |mm: Option<catalogue::units::Mm>| mm.map(|mm| f64::from(mm.in_tenths()) / 10.0);
            let measures = worn.measures;
            Heights {
                heel: mm(measures.heel_stack()),
                forefoot: mm(measures.forefoot_stack()),
                drop: mm(measures.drop()),
            }
        }
        Now::NotAsked => Heights { heel: None, forefoot: None, drop: None },
    }
}

#[test]
fn every_sample_runner_gets_for_every_style_the_plan_that_plain_arithmetic_gives() {
    let shop = shop();
    let snapshot = shop.snapshot();
    let mut kinds = HashSet::new();
    for name in RUNNERS.iter().filter(|name| **name != "stop") {
        let runner = read(name, &snapshot);
        let worn = worn(&runner, &snapshot);
        for style in snapshot.styles() {
            let planned = snapshot.planned(&runner, &style.key).map_err(|_| style.key.to_string()).unwrap();
            let reply = json!(PlanReply::of(&planned, &snapshot));
            let more = runner.stage.heading == Some(Heading::More);
            let (needed, kind) = by_hand(worn, heights(style), runner.strike.used(), more);
            assert_eq!(
                (&reply["needed"], reply["kind"].as_str().unwrap()),
                (&needed, kind),
                "{name} {}",
                style.key
            );
            weeks_are_those_of_the_schedule(&reply, kind, &runner);
            kinds.insert((needed.to_string(), kind));
        }
    }
    assert!(kinds.len() >= 5, "the sample shows every kind: {kinds:?}");
}

/// Shares in percent: the slowest schedule of a trial (Fuller 2017 and 2018; start and slope *from memory*), or the
/// house's six weeks; half as fast with any slow sign.
fn weeks_are_those_of_the_schedule(reply: &Value, kind: &str, runner: &Runner) {
    let at = |week: f64| match kind {
        "minimal" if week <= 6.0 => 5.0 + 5.0 * week,
        "minimal" => 35.0 + 65.0 * (week - 6.0) / 20.0,
        _ => 4.0 + 16.0 * week,
    };
    let slow = !reply["slow"].as_array().unwrap().is_empty();
    let weeks = reply["weeks"].as_array().unwrap();
    let due = if reply["needed"] != json!(true) {
        0
    } else if kind == "minimal" {
        26
    } else {
        6
    };
    assert_eq!(weeks.len(), if slow { 2 * due } else { due });
    for (n, week) in (1..).zip(weeks) {
        // Between two whole weeks the line is straight, also where the schedule bends.
        let share = if slow {
            f64::midpoint(at(f64::from(n / 2)), at(f64::from(n - n / 2)))
        } else {
            at(f64::from(n))
        };
        assert!(
            (week["share_percent"].as_f64().unwrap() - share).abs() < 1e-9,
            "week {n}: {week} not {share}"
        );
        if let Some(km) = runner.weekly_km {
            let new = (f64::from(km) * share / 100.0 + 1e-9).floor() as u16;
            assert_eq!((&week["km_new"], &week["km_old"]), (&json!(new), &json!(km - new)));
        } else {
            assert!(week["km_new"].is_null() && week["km_old"].is_null());
        }
    }
}

/// What may lie between by the contract: in stock in a working size, of one surface, audience and purpose with the wish,
/// and no injury caution. What the ranking says of caution is taken from it; the rest is looked up here.
fn may_lie_between(
    style: &Style,
    wish: &Style,
    ranker: &Ranker,
    ranked: &HashSet<String>,
    snapshot: &Snapshot,
) -> bool {
    let agree = |a: Option<Audience>, b: Option<Audience>| match (a, b) {
        (Some(a), Some(b)) => {
            a == b || [a, b].contains(&Audience::Unisex) && ![a, b].contains(&Audience::Youth)
        }
        _ => true,
    };
    let surface = style.surfaces.iter().any(|s| wish.surfaces.contains(s));
    let purpose = style.purposes.iter().any(|p| wish.purposes.contains(p));
    ranked.contains(style.key.as_str())
        && (surface || style.surfaces.is_empty() || wish.surfaces.is_empty())
        && (purpose || style.purposes.is_empty() || wish.purposes.is_empty())
        && agree(style.audience, wish.audience)
        && !ranker.explain(&snapshot.style(&style.key).unwrap().measures).caution
}

#[test]
fn stepping_shoes_are_as_few_as_a_search_step_by_step_finds() {
    let shop = shop();
    let snapshot = shop.snapshot();
    let (mut ways, mut blocked) = (0, 0);
    for name in ["calf-strain", "race", "conflict"] {
        let runner = read(name, &snapshot);
        let list = snapshot.ranked(&runner, &BTreeSet::default()).map_err(|_| "stopped").unwrap();
        let hits = list.results.hits.iter().filter_map(|hit| snapshot.card(hit.row));
        let ranked: HashSet<String> = hits.map(|card| card.style.key.to_string()).collect();
        let strike = runner.strike.used();
        let point = |h: Heights| h.drop.zip(h.landing(strike));
        let Some(start) = point(worn(&runner, &snapshot)) else { panic!("{name} has no worn pair") };
        for wish in snapshot.styles().iter().filter(|style| point(heights(style)).is_some()) {
            let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() < 4.01 && (a.1 - b.1).abs() < 8.01;
            let between: Vec<(f64, f64)> = snapshot
                .styles()
                .iter()
                .filter(|style| may_lie_between(style, wish, &list.ranker, &ranked, &snapshot))
                .filter_map(|style| point(heights(style)))
                .collect();
            let end = point(heights(wish)).unwrap();
            let mut reached = vec![start];
            let mut steps = 1;
            let found = loop {
                if reached.iter().any(|at| near(*at, end)) {
                    break Some(steps);
                }
                let next: Vec<_> = between
                    .iter()
                    .filter(|p| !reached.contains(p) && reached.iter().any(|at| near(*at, **p)))
                    .copied()
                    .collect();
                if next.is_empty() {
                    break None;
                }
                reached.extend(next);
                steps += 1;
            };
            let planned = snapshot.planned(&runner, &wish.key).map_err(|_| "no plan").unwrap();
            let reply = json!(PlanReply::of(&planned, &snapshot));
            let taken = reply["steps"].as_array().unwrap();
            if let Some(steps) = found {
                assert_eq!(taken.len(), steps, "{name} to {}: {taken:?}", wish.key);
                assert_eq!(taken.last().unwrap()["style"], wish.key.to_string());
                ways += usize::from(steps > 1);
            } else {
                assert!(taken.is_empty() && reply["blocked"].is_object(), "{name} to {}", wish.key);
                blocked += 1;
            }
        }
    }
    assert!(ways > 0 && blocked > 0, "both happen in the sample: {ways} ways, {blocked} blocked");
}

#[test]
fn the_command_prints_the_plan_in_words_and_as_json() {
    let lastbench = tests::lastbench!();
    let race = runner("race");
    let asked = ["plan", "--sample", "--runner", argument(&race), "--to", "oskerley.003105m"];
    let words = lastbench.done(&asked);
    assert!(words.contains("52 weeks, to a minimal-type shoe.") && words.contains("more than 35 km a week"));
    let (code, reply) = lastbench.json(&[&asked[..], &["--json"]].concat());
    assert_eq!(
        (code, &reply["kind"], &reply["weeks"][51]["km_old"]),
        (Some(0), &json!("minimal"), &json!(0))
    );
    assert!(reply["stop_signs"][0].as_str().unwrap().starts_with("Stop running and see a clinician"));
}

#[test]
fn a_stop_has_no_plan_and_is_an_answer() {
    let lastbench = tests::lastbench!();
    let stop = runner("stop");
    let asked = ["plan", "--sample", "--runner", argument(&stop), "--to", "fennick.fm-410"];
    assert!(lastbench.done(&asked).starts_with("No plan: see a clinician first."));
    let (code, reply) = lastbench.json(&[&asked[..], &["--json"]].concat());
    assert_eq!((code, &reply["stopped"][0]["flag"]), (Some(0), &json!("bone_pain_spot")));
    assert!(reply["needed"].is_null() && reply["weeks"] == json!([]) && reply["steps"] == json!([]));
}

#[test]
fn a_style_that_is_not_there_is_named_with_how_to_find_its_key() {
    let lastbench = tests::lastbench!();
    let race = runner("race");
    let ran = lastbench.run(&["plan", "--sample", "--runner", argument(&race), "--to", "nothing.there"]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.stderr.contains("“nothing.there”") && ran.stderr.contains("lastbench search"));
}
