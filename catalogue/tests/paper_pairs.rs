//! Six pairs of shoe and runner, worked on paper before the ranker was written, digit for digit.
//!
//! Source: `tests/tables/paper_pairs.md` (derivations), `.csv` (lines) and `paper_bands.csv`, from the published rules
//! of the ranking and the house policy.

#![allow(clippy::unwrap_used, clippy::unnecessary_wraps, reason = "a test may fail loudly")]

use catalogue::injury::{Answer, Injury, Region};
use catalogue::measures::{Measure, Measures, Worn};
use catalogue::policy::HousePolicy;
use catalogue::rank::{Explanation, Points, Ranker, What};
use catalogue::runner::{BodyMass, Heading, Runner, Sex};
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::strike::{Strike, StrikePattern, StrikeSeen};
use catalogue::style::{Audience, Bending, BendingWord, Purpose, Purposes, Specification};
use catalogue::units::{Grams, Kilograms, Mm};

const LINES: &str = include_str!("../../tests/tables/paper_pairs.csv");
const BANDS: &str = include_str!("../../tests/tables/paper_bands.csv");

struct Pair {
    runner: Runner,
    worn: Option<Worn>,
    candidate: Measures,
    known_weight: u8,
    caution: bool,
}

/// Tenths of mm and g; bending in steps; EU size of the weighing.
struct Sheet {
    heel: Option<i32>,
    forefoot: Option<i32>,
    drop: Option<i32>,
    mass: i32,
    size: &'static str,
    bending: Option<u8>,
    plate: bool,
    rocker: Option<bool>,
    audience: Audience,
}

impl Sheet {
    fn measures(&self) -> Measures {
        let specification = Specification {
            heel_stack: self.heel.map(Mm::tenths),
            forefoot_stack: self.forefoot.map(Mm::tenths),
            drop_stated: self.drop.map(Mm::tenths),
            mass: Some(Grams::tenths(self.mass)),
            mass_size: SizeLabel::parse(Some(SizeSystem::Eu), self.size),
            bending: self.bending.and_then(BendingWord::from_step).map(Bending::Word),
            plate: Some(self.plate),
            rocker: self.rocker,
            ..Specification::default()
        };
        Measures::of(&specification, Some(self.audience))
    }
}

const WORN: Sheet = Sheet {
    heel: Some(320),
    forefoot: Some(240),
    drop: Some(80),
    mass: 2800,
    size: "42",
    bending: Some(3),
    plate: false,
    rocker: Some(false),
    audience: Audience::Men,
};

fn worn(sheet: &Sheet) -> Option<Worn> {
    Some(Worn { measures: sheet.measures(), purposes: Purposes::of(&[Purpose::Daily]) })
}

fn runner(pattern: StrikePattern, seen: StrikeSeen) -> Runner {
    let strike = Strike { pattern: Some(pattern), seen: Some(seen), ..Strike::default() };
    let mut runner =
        Runner { strike, audience: Some(Audience::Men), purpose: Some(Purpose::Daily), ..Runner::default() };
    runner.now.main = Answer::Yes;
    runner
}

fn on_video(pattern: StrikePattern) -> Runner {
    runner(pattern, StrikeSeen::Video)
}

fn recent(region: Region) -> Injury {
    Injury { recent: Answer::Yes, painful: Answer::No, ..Injury::of(region) }
}

fn kg(kg: i32) -> Option<BodyMass> {
    Some(BodyMass::Exactly(Kilograms::whole(kg)))
}

fn same_again() -> Pair {
    let mut runner = Runner {
        body_mass: kg(70),
        sex: Some(Sex::Male),
        weekly_km: Some(32),
        regular: Answer::No,
        ..on_video(StrikePattern::Rearfoot)
    };
    runner.stage.heading = Some(Heading::Same);
    let candidate =
        Sheet { heel: Some(350), forefoot: Some(250), drop: Some(100), mass: 2650, bending: Some(4), ..WORN };
    Pair { runner, worn: worn(&WORN), candidate: candidate.measures(), known_weight: 100, caution: false }
}

fn less_after_a_calf_strain() -> Pair {
    let mut runner = Runner { injuries: vec![recent(Region::Calf)], ..on_video(StrikePattern::Rearfoot) };
    runner.stage.heading = Some(Heading::Less);
    runner.stage.weeks_done = Some(9);
    let candidate =
        Sheet { heel: Some(330), forefoot: Some(275), drop: Some(55), mass: 2450, bending: Some(1), ..WORN };
    Pair { runner, worn: worn(&WORN), candidate: candidate.measures(), known_weight: 100, caution: true }
}

fn calf_and_kneecap() -> Pair {
    let runner = Runner {
        injuries: vec![recent(Region::Calf), recent(Region::Kneecap)],
        regular: Answer::Yes,
        ..on_video(StrikePattern::Midfoot)
    };
    let candidate =
        Sheet { heel: Some(295), forefoot: Some(240), drop: Some(55), mass: 3015, rocker: None, ..WORN };
    Pair { runner, worn: worn(&WORN), candidate: candidate.measures(), known_weight: 100, caution: false }
}

fn nothing_worn() -> Pair {
    let runner = Runner {
        body_mass: Some(BodyMass::bands()[1]),
        sex: Some(Sex::Female),
        weekly_km: Some(20),
        regular: Answer::Yes,
        audience: Some(Audience::Women),
        ..runner(StrikePattern::Rearfoot, StrikeSeen::Told)
    };
    let candidate = Sheet {
        heel: Some(300),
        forefoot: None,
        drop: Some(85),
        mass: 2050,
        size: "38",
        bending: None,
        audience: Audience::Women,
        ..WORN
    };
    Pair { runner, worn: None, candidate: candidate.measures(), known_weight: 90, caution: false }
}

fn a_race_in_a_minimal_shoe() -> Pair {
    let mut runner = Runner {
        body_mass: kg(88),
        sex: Some(Sex::Male),
        weekly_km: Some(40),
        regular: Answer::No,
        strength_work: Answer::Yes,
        strike_changing: Answer::No,
        purpose: Some(Purpose::Race),
        ..on_video(StrikePattern::Rearfoot)
    };
    runner.stage.heading = Some(Heading::Same);
    let candidate =
        Sheet { heel: Some(163), forefoot: Some(122), drop: Some(41), mass: 1820, bending: Some(2), ..WORN };
    let worn = worn(&Sheet { size: "43", ..WORN });
    Pair { runner, worn, candidate: candidate.measures(), known_weight: 100, caution: true }
}

fn a_healed_foot_bone() -> Pair {
    let healed = Injury { recent: Answer::No, cleared: Answer::Yes, ..recent(Region::FootBone) };
    let mut runner = Runner {
        body_mass: kg(60),
        sex: Some(Sex::Male),
        weekly_km: Some(30),
        regular: Answer::Yes,
        strength_work: Answer::Yes,
        strike_changing: Answer::No,
        injuries: vec![healed],
        ..on_video(StrikePattern::Rearfoot)
    };
    runner.stage.heading = Some(Heading::Less);
    runner.stage.weeks_done = Some(8);
    let candidate = Sheet {
        heel: Some(190),
        forefoot: None,
        drop: None,
        mass: 2150,
        bending: Some(4),
        plate: true,
        ..WORN
    };
    let worn = worn(&Sheet { heel: Some(300), drop: Some(60), mass: 2500, ..WORN });
    Pair { runner, worn, candidate: candidate.measures(), known_weight: 70, caution: true }
}

fn pairs() -> [Pair; 6] {
    [
        same_again(),
        less_after_a_calf_strain(),
        calf_and_kneecap(),
        nothing_worn(),
        a_race_in_a_minimal_shoe(),
        a_healed_foot_bone(),
    ]
}

fn ranker(pair: &Pair) -> Ranker {
    Ranker::prepare(&pair.runner, pair.worn.as_ref(), &HousePolicy::standard()).unwrap()
}

/// Rows of a table without its comment and heading, as fields.
fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    table.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
}

/// The lines of an explanation as the table writes them; a line of nothing is left out on both sides.
fn lines(explanation: &Explanation) -> Vec<(String, Points)> {
    let name = |what: &What| match what {
        What::Base => "base base".to_owned(),
        What::Measure(line) => format!("measure {}", line.band.measure.word()),
        What::Rule(line) => format!("rule {}", line.rule.id),
        What::Cap(tissue) => format!("cap {}", tissue.map_or("all", |t| t.word())),
    };
    let all = explanation.lines.iter().map(|line| (name(&line.what), line.points));
    all.filter(|(_, points)| !points.is_zero()).collect()
}

fn points(row: &[&str]) -> Points {
    let tenths = |i: usize| row[i].parse().unwrap();
    Points { at: tenths(3), low: tenths(4), high: tenths(5) }
}

#[test]
fn every_line_of_the_six_pairs_is_as_worked_on_paper() {
    for (pair, number) in pairs().iter().zip(1..) {
        let of_pair = rows(LINES).filter(|row| row[0] == number.to_string() && row[1] != "total");
        let paper: Vec<_> = of_pair.map(|row| (format!("{} {}", row[1], row[2]), points(&row))).collect();
        let paper: Vec<_> = paper.into_iter().filter(|(_, points)| !points.is_zero()).collect();
        assert_eq!(lines(&ranker(pair).explain(&pair.candidate)), paper, "pair {number}");
    }
}

#[test]
fn the_six_totals_with_their_intervals_weights_and_cautions_are_as_worked_on_paper() {
    for (pair, number) in pairs().iter().zip(1..) {
        let total = rows(LINES).find(|row| row[0] == number.to_string() && row[1] == "total").unwrap();
        let ranker = ranker(pair);
        let score = ranker.score(&pair.candidate);
        let of_score =
            Points { at: score.suitability.into(), low: score.low.into(), high: score.high.into() };
        assert_eq!(of_score, points(&total), "pair {number}");
        assert_eq!(score.known_weight, pair.known_weight, "pair {number}");
        assert_eq!(ranker.explain(&pair.candidate).caution, pair.caution, "pair {number}");
        let row = format!("row {};", ranker.brief().row.word());
        assert!(total[6].starts_with(&row), "pair {number}: {row}");
    }
}

#[test]
fn every_band_and_nearness_is_as_worked_on_paper() {
    for (pair, number) in pairs().iter().zip(1..) {
        let explanation = ranker(pair).explain(&pair.candidate);
        for row in rows(BANDS).filter(|row| row[0] == number.to_string()) {
            let (line, _) = explanation.measures().find(|(m, _)| m.band.measure.word() == row[1]).unwrap();
            let scale = if line.band.measure == Measure::Bending { 10 } else { 1 };
            let number_of = |i: usize| row[i].parse::<i32>().unwrap();
            assert_eq!(
                (line.band.from, line.band.to),
                (number_of(3) * scale, number_of(4) * scale),
                "{row:?}"
            );
            assert_eq!(line.nearness.at, number_of(7), "{row:?}");
            assert_eq!((line.nearness.low, line.nearness.high), (number_of(8), number_of(9)), "{row:?}");
            assert_eq!(
                (line.band.clipped, line.band.is_guessed()),
                (row[5] == "clipped", row[5] == "guessed"),
                "{row:?}"
            );
        }
    }
}
