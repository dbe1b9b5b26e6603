//! The ranking's contract, section 5.2: the table of rules, when each is in force and what share it gives.

use catalogue::injury::Region;
use catalogue::runner::Sex;

use crate::row::{heavier_than, lighter_than, recent};
use crate::share::Share;
use crate::sheet::Sheet;
use crate::visit::Case;

/// Grades of the rules that give points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Grade {
    Moderate,
    Limited,
}

/// What a rule pulls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pulls {
    DropUp,
    DropDown,
    RockerUp,
    RockerDown,
    BendingUp,
}

/// What a rule says of a shoe.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Verdict {
    /// The shoe gives what the rule asks for.
    Gives(Share),
    /// It lacks a measure: the least and the most that the share could be; it counts 0.
    Missed(Share, Share),
}

/// One row of the table.
pub(crate) struct Rule {
    pub(crate) id: &'static str,
    pub(crate) grade: Grade,
    pub(crate) tissue: &'static str,
    pub(crate) pulls: Option<Pulls>,
    /// The injuries that it speaks of.
    pub(crate) regions: &'static [Region],
    pub(crate) in_force: fn(&Case<'_>) -> bool,
    pub(crate) verdict: fn(&Case<'_>, &Sheet) -> Verdict,
}

use Grade::{Limited, Moderate};
use Verdict::{Gives, Missed};

const FOOT: [Region; 2] = [Region::FootBone, Region::Navicular];
const CALF: [Region; 2] = [Region::Achilles, Region::Calf];

/// The table.
#[rustfmt::skip]
pub(crate) static TABLE: [Rule; 12] = [
    Rule { id: "low-drop-regular", grade: Limited, tissue: "whole", pulls: Some(Pulls::DropUp), regions: &[],
        in_force: |case| case.runner.regular.is_yes() && case.ref_drop() > 60, verdict: low_drop },
    Rule { id: "soft-for-light", grade: Moderate, tissue: "whole", pulls: None, regions: &[],
        in_force: is_light, verdict: softness },
    Rule { id: "minimal-and-mass", grade: Limited, tissue: "whole", pulls: None, regions: &[],
        in_force: |case| heavier_than(case.runner, 714), verdict: minimal_and_mass },
    Rule { id: "minimal-and-distance", grade: Limited, tissue: "whole", pulls: None, regions: &[],
        in_force: |case| case.runner.weekly_km.is_some_and(|km| km > 35), verdict: |_, sheet| minimal(sheet, 1, 1) },
    Rule { id: "calf-drop", grade: Limited, tissue: "calf", pulls: Some(Pulls::DropUp), regions: &CALF,
        in_force: |case| is_recent(case, &CALF), verdict: calf_drop },
    Rule { id: "achilles-rocker", grade: Limited, tissue: "calf", pulls: Some(Pulls::RockerUp), regions: &[Region::Achilles],
        in_force: |case| is_recent(case, &[Region::Achilles]), verdict: |_, sheet| when(sheet.rocker, Share::FOR) },
    Rule { id: "kneecap-drop", grade: Limited, tissue: "kneecap", pulls: Some(Pulls::DropDown), regions: &[Region::Kneecap],
        in_force: |case| is_recent(case, &[Region::Kneecap]), verdict: kneecap_drop },
    Rule { id: "kneecap-rocker", grade: Limited, tissue: "kneecap", pulls: Some(Pulls::RockerDown), regions: &[Region::Kneecap],
        in_force: |case| is_recent(case, &[Region::Kneecap]), verdict: |_, sheet| when(sheet.rocker, Share::AGAINST) },
    Rule { id: "big-toe-bending", grade: Moderate, tissue: "big toe", pulls: Some(Pulls::BendingUp), regions: &[Region::BigToeJoint],
        in_force: |case| ever(case, &[Region::BigToeJoint]), verdict: big_toe },
    Rule { id: "bone-stress-minimal", grade: Moderate, tissue: "foot bone", pulls: None, regions: &FOOT,
        in_force: |case| ever(case, &FOOT), verdict: |_, sheet| minimal(sheet, 1, 1) },
    Rule { id: "bone-stress-plate", grade: Limited, tissue: "foot bone", pulls: None, regions: &FOOT,
        in_force: |case| ever(case, &FOOT), verdict: |_, sheet| when(sheet.plate, Share::AGAINST) },
    Rule { id: "ankle-tall", grade: Limited, tissue: "ankle", pulls: None, regions: &[Region::Ankle],
        in_force: |case| is_recent(case, &[Region::Ankle]),
        verdict: |_, sheet| when(sheet.heel.map(|heel| heel >= 450), Share::AGAINST) },
];

impl Rule {
    /// Half of the grade's weight (120, 60), in tenths of a point.
    pub(crate) fn half_weight(&self) -> i64 {
        match self.grade {
            Grade::Moderate => 60,
            Grade::Limited => 30,
        }
    }

    /// Any rule whose tissue is not *whole*.
    pub(crate) fn is_of_injury(&self) -> bool {
        self.tissue != "whole"
    }
}

fn ever(case: &Case<'_>, regions: &[Region]) -> bool {
    case.runner.injuries.iter().any(|injury| regions.contains(&injury.region))
}

fn is_recent(case: &Case<'_>, regions: &[Region]) -> bool {
    case.runner.injuries.iter().any(|injury| regions.contains(&injury.region) && recent(*injury))
}

/// A share for a yes, nothing for a no, in between when nobody says.
fn when(known: Option<bool>, share: Share) -> Verdict {
    match known {
        Some(true) => Gives(share),
        Some(false) => Gives(Share::NOTHING),
        None if share.is_at_most(Share::NOTHING) => Missed(share, Share::NOTHING),
        None => Missed(Share::NOTHING, share),
    }
}

fn low_drop(_: &Case<'_>, sheet: &Sheet) -> Verdict {
    when(sheet.drop.map(|drop| drop <= 60), Share::AGAINST)
}

fn is_light(case: &Case<'_>) -> bool {
    let light = match case.runner.sex {
        Some(Sex::Male) => lighter_than(case.runner, 782),
        Some(Sex::Female) => lighter_than(case.runner, 628),
        None => false,
    };
    light && case.policy.comparable_method.is_some()
}

/// +0.5 up to 61.3 N/mm, -0.5 from 94.9, a line between; no line outside what was tested or measured otherwise.
fn softness(case: &Case<'_>, sheet: &Sheet) -> Verdict {
    let Some((stiffness, method)) = &sheet.compression else { return Gives(Share::NOTHING) };
    let by_it = case.policy.comparable_method.as_ref() == Some(method);
    Gives(match *stiffness {
        550..=613 if by_it => Share::of(1, 2),
        614..949 if by_it => Share::of((949 - 613) - 2 * (stiffness - 613), 2 * (949 - 613)),
        949..=1070 if by_it => Share::of(-1, 2),
        _ => Share::NOTHING,
    })
}

fn minimal_and_mass(case: &Case<'_>, sheet: &Sheet) -> Verdict {
    if heavier_than(case.runner, 857) { minimal(sheet, 1, 1) } else { minimal(sheet, 1, 2) }
}

/// Minus so much of the minimal degree.
fn minimal(sheet: &Sheet, numerator: i64, denominator: i64) -> Verdict {
    let (least, most) = minimal_degree(sheet);
    let share = |degree: i64| Share::of(-numerator * degree, denominator * 1000);
    if least == most { Gives(share(least)) } else { Missed(share(most), share(least)) }
}

/// 0..=1000, the least and the most: the lesser of the heel's and the drop's, floored.
pub(crate) fn minimal_degree(sheet: &Sheet) -> (i64, i64) {
    let falling = |value: i64, full: i64, none: i64| {
        if value <= full { 1000 } else { (1000 * (none - value)).div_euclid(none - full).max(0) }
    };
    let heel = sheet.heel.map(|heel| falling(heel, 160, 240));
    let drop = sheet.drop.map(|drop| falling(drop, 40, 80));
    match (heel, drop) {
        (Some(heel), Some(drop)) => (heel.min(drop), heel.min(drop)),
        (Some(known), None) | (None, Some(known)) => (0, known),
        (None, None) => (0, 1000),
    }
}

fn calf_drop(case: &Case<'_>, sheet: &Sheet) -> Verdict {
    let Some(drop) = sheet.drop else { return Missed(Share::AGAINST, Share::FOR) };
    Gives(match case.ref_drop() - drop {
        ..=0 => Share::FOR,
        1..20 => Share::NOTHING,
        _ => Share::AGAINST,
    })
}

fn kneecap_drop(_: &Case<'_>, sheet: &Sheet) -> Verdict {
    let Some(drop) = sheet.drop else { return Missed(Share::AGAINST, Share::FOR) };
    Gives(match drop {
        ..=60 => Share::FOR,
        61..100 => Share::NOTHING,
        _ => Share::AGAINST,
    })
}

/// The shares that are possible, each unknown field taken every way it could be.
fn big_toe(_: &Case<'_>, sheet: &Sheet) -> Verdict {
    let share = |step: i64, plate: bool| if plate || step >= 40 { 1 } else { -i64::from(step <= 20) };
    let steps = sheet.bending.map_or(vec![10, 20, 30, 40, 50], |step| vec![step]);
    let plates = sheet.plate.map_or(vec![false, true], |plate| vec![plate]);
    let shares = steps.iter().flat_map(|step| plates.iter().map(|plate| share(*step, *plate)));
    let (low, high) = shares.fold((1, -1), |(low, high), share| (share.min(low), share.max(high)));
    if low == high { Gives(Share::of(low, 1)) } else { Missed(Share::of(low, 1), Share::of(high, 1)) }
}
