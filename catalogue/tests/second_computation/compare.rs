//! Both computations side by side: stops, row, bands, every line, suitability, order and groups, exactly.

use std::collections::BTreeMap;

use catalogue::key::StyleKey;
use catalogue::measures::Measure;
use catalogue::rank::{Group, Placed, Points, Ranker, What};
use proptest::prelude::*;
use proptest::test_runner::TestCaseResult;

use crate::order::{groups, in_order, may_lead};
use crate::reach::standing;
use crate::row::{is_held_back, row};
use crate::runners::visit;
use crate::share::Tenths;
use crate::stops::stops;
use crate::suitability::{Judged, Prepared};
use crate::visit::{Shoe, Visit};

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    /// 500 runners in front of 25 shoes each.
    #[test]
    fn the_program_and_the_second_computation_agree_on_everything(visit in visit(25)) {
        let expected_stops = stops(&visit.runner);
        match Ranker::prepare(&visit.runner, visit.told().as_ref(), &visit.policy) {
            Err(stopped) => prop_assert_eq!(stopped.flags, expected_stops),
            Ok(ranker) => {
                prop_assert!(expected_stops.is_empty(), "should stop: {:?}", expected_stops);
                agree(&visit, &ranker)?;
            }
        }
    }
}

fn agree(visit: &Visit, ranker: &Ranker) -> TestCaseResult {
    let prepared = Prepared::of(visit.case());
    prop_assert_eq!(ranker.brief().row, row(&prepared.case));
    agree_on_bands(ranker, &prepared)?;
    agree_on_gates(ranker, &prepared)?;
    for shoe in &visit.wall {
        agree_on_lines(ranker, shoe, &prepared.judge(&shoe.sheet()))?;
        agree_on_score(ranker, shoe, &prepared)?;
    }
    agree_on_order(visit, ranker, &prepared)
}

fn agree_on_bands(ranker: &Ranker, prepared: &Prepared<'_>) -> TestCaseResult {
    for (measure, expected) in Measure::ALL.into_iter().zip(&prepared.bands) {
        let band = ranker.brief().band(measure);
        prop_assert_eq!((band.from, band.to), (expected.from as i32, expected.to as i32), "{:?}", measure);
        let reaches = (band.reach_below, band.reach_above);
        let expected_reaches = (expected.reach_below as i32, expected.reach_above as i32);
        prop_assert_eq!(reaches, expected_reaches, "reaches of {:?}", measure);
        prop_assert_eq!(band.is_guessed(), expected.guessed, "guessed {:?}", measure);
    }
    Ok(())
}

/// Section 5.1: *less* (and *race* on the way to less) acts as *same* while a gate is closed; announced with the weeks.
fn agree_on_gates(ranker: &Ranker, prepared: &Prepared<'_>) -> TestCaseResult {
    let brief = ranker.brief();
    prop_assert_eq!(!brief.closed.is_empty(), is_held_back(&prepared.case), "{:?}", brief.closed);
    let stage = &prepared.case.runner.stage;
    let done = stage.weeks_done.filter(|done| *done < prepared.case.policy.weeks_per_step);
    let expected = done.filter(|_| is_held_back(&prepared.case) && !stage.step_anyway);
    prop_assert_eq!(brief.step.map(|step| step.done), expected);
    Ok(())
}

/// The lines of both, by name; a line that adds nothing and leaves nothing open may be left out.
fn agree_on_lines(ranker: &Ranker, shoe: &Shoe, expected: &Judged) -> TestCaseResult {
    let explanation = ranker.explain(&shoe.measures());
    let mut got: BTreeMap<String, Tenths> = BTreeMap::new();
    for line in &explanation.lines {
        let sum = got.entry(name_of(&line.what)).or_default();
        *sum = *sum + tenths(line.points);
    }
    got.retain(|_, line| *line != Tenths::default());
    prop_assert_eq!(got, named(expected), "lines of {:?}", shoe);
    prop_assert_eq!(tenths(explanation.total()), expected.total);
    prop_assert_eq!(explanation.caution, expected.caution, "caution of {:?}", shoe);
    Ok(())
}

fn name_of(what: &What) -> String {
    match what {
        What::Base => "base".into(),
        What::Measure(line) => line.band.measure.word().into(),
        What::Rule(line) => line.rule.id.into(),
        What::Cap(tissue) => format!("cap {}", tissue.map_or("all", |tissue| tissue.word())),
    }
}

fn named(judged: &Judged) -> BTreeMap<String, Tenths> {
    let measures = Measure::ALL.into_iter().map(|m| (m.word().to_owned(), judged.measures[m as usize]));
    let rules = judged.rules.iter().map(|(id, line)| ((*id).to_owned(), *line));
    let caps = judged.caps.iter().map(|(tissue, line)| (format!("cap {}", tissue.unwrap_or("all")), *line));
    let base = [("base".to_owned(), Tenths::exactly(150))];
    let lines = base.into_iter().chain(measures).chain(rules).chain(caps);
    lines.filter(|(_, line)| *line != Tenths::default()).collect()
}

pub(crate) fn tenths(points: Points) -> Tenths {
    Tenths { at: points.at.into(), low: points.low.into(), high: points.high.into() }
}

fn agree_on_score(ranker: &Ranker, shoe: &Shoe, prepared: &Prepared<'_>) -> TestCaseResult {
    let expected = prepared.judge(&shoe.sheet());
    let score = ranker.score(&shoe.measures());
    let suitability = Tenths { at: score.suitability.into(), low: score.low.into(), high: score.high.into() };
    prop_assert_eq!(suitability, expected.suitability, "suitability of {:?}", shoe);
    prop_assert_eq!(i64::from(score.known_weight), expected.known_weight);
    prop_assert_eq!(score.is_ranked(), expected.known_weight >= 50);
    prop_assert_eq!(score.may_lead, may_lead(prepared, &expected), "may lead: {:?}", shoe);
    let reason = ranker.why_not_first(&shoe.measures());
    prop_assert_eq!(reason.is_none(), score.may_lead, "{:?}", reason);
    Ok(())
}

fn agree_on_order(visit: &Visit, ranker: &Ranker, prepared: &Prepared<'_>) -> TestCaseResult {
    let keys: Vec<StyleKey> = (0..visit.wall.len()).map(key).collect();
    let mut got: Vec<(usize, Placed)> =
        (0..visit.wall.len()).map(|i| (i, placed(visit, ranker, i))).collect();
    got.sort_by_key(|(i, p)| (p.score.order_key(visit.wall[*i].pairs), keys[*i].clone()));
    let expected = in_order(standing(visit, prepared));
    let order: Vec<&str> = got.iter().map(|(i, _)| keys[*i].as_str()).collect();
    prop_assert_eq!(&order, &expected.iter().map(|s| s.key.as_str()).collect::<Vec<_>>());
    let ordered: Vec<Placed> = got.into_iter().map(|(_, placed)| placed).collect();
    let grouping: Vec<Group> = ranker.group(&ordered).groups;
    let story: Vec<_> = expected.iter().map(|s| (s.judged.suitability.at, s.judged.values)).collect();
    prop_assert_eq!(grouping, groups(prepared, &expected), "{:#?}", story);
    Ok(())
}

fn placed(visit: &Visit, ranker: &Ranker, at: usize) -> Placed {
    let measures = visit.wall[at].measures();
    Placed { measures, score: ranker.score(&measures), worn: visit.worn_on_wall() == Some(at) }
}

/// A key that says nothing of the place on the wall.
pub(crate) fn key(at: usize) -> StyleKey {
    StyleKey::parse(&format!("maker.{}", at * 7 % 31)).unwrap()
}
