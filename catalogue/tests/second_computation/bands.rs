//! The ranking's contract, section 5.1: the band of each measure, its clipping, floors and reaches.

use catalogue::measures::{Landing, Measure};
use catalogue::policy::{Offsets, Range};
use catalogue::rank::Row;
use catalogue::units::Mm;

use crate::conflicts::{InForce, pulls};
use crate::row::{is_held_back, is_slow, row, wants_to_race};
use crate::rules::Pulls;
use crate::sheet::Sheet;
use crate::visit::Case;

/// The band of one measure, in tenths; the reaches too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Band {
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) reach_below: i64,
    pub(crate) reach_above: i64,
    pub(crate) guessed: bool,
    /// It counts from the worn pair: masses are brought to its size.
    pub(crate) from_worn: bool,
}

/// The four bands in reading order.
pub(crate) fn bands(case: &Case<'_>, rules: &[InForce]) -> [Band; 4] {
    Measure::ALL.map(|measure| band(case, rules, measure))
}

/// A measure of a sheet, as it stands there.
pub(crate) fn value(sheet: &Sheet, measure: Measure, landing: Landing) -> Option<i64> {
    match measure {
        Measure::Drop => sheet.drop,
        Measure::LandingStack => sheet.landing_stack(landing),
        Measure::Mass => sheet.mass,
        Measure::Bending => sheet.bending,
    }
}

fn band(case: &Case<'_>, rules: &[InForce], measure: Measure) -> Band {
    let reach = i64::from(case.policy.reach.of(measure));
    if let Some((from, to)) = asked_for(case, measure) {
        let (from, to) = (i64::from(from.in_tenths()), i64::from(to.in_tenths()));
        return Band { from, to, reach_below: reach, reach_above: reach, guessed: false, from_worn: false };
    }
    let worn = case.worn.as_ref().and_then(|pair| value(&pair.sheet, measure, case.landing));
    let (from, to) = unclipped(case, measure, worn);
    let (from, to) = clipped(case, rules, measure, worn, (from, to));
    let guessed = worn.is_none();
    let from_worn = !guessed && offsets(case).is_some();
    let (reach_below, reach_above) =
        if guessed { (reach, reach) } else { reaches(case, rules, measure, reach) };
    Band { from, to, reach_below, reach_above, guessed, from_worn }
}

/// A range asked for replaces that band.
fn asked_for(case: &Case<'_>, measure: Measure) -> Option<(Mm, Mm)> {
    match measure {
        Measure::Drop => case.runner.asked_for.drop,
        Measure::LandingStack => case.runner.asked_for.landing_stack,
        Measure::Mass | Measure::Bending => None,
    }
}

/// The worn value and the offsets of the row; without either the absolute row. Where a closed gate makes *race* act
/// as *same*, the absolute row is read as that of *same* too.
fn unclipped(case: &Case<'_>, measure: Measure, worn: Option<i64>) -> (i64, i64) {
    if let (Some(worn), Some(offsets)) = (worn, offsets(case)) {
        let (from, to) = halved(case, measure, offsets.of(measure));
        return (worn + from, worn + to);
    }
    let for_racing = wants_to_race(case.runner) && !is_held_back(case);
    let absolute = if for_racing { case.policy.new_race } else { case.policy.new };
    let (from, to) = absolute.of(measure, case.landing);
    (i64::from(from), i64::from(to))
}

fn offsets<'a>(case: &'a Case<'_>) -> Option<&'a Offsets> {
    match row(case) {
        Row::Less => Some(&case.policy.less),
        Row::Same => Some(&case.policy.same),
        Row::More => Some(&case.policy.more),
        Row::Race => Some(&case.policy.race),
        Row::New | Row::NewRace => None,
    }
}

/// Slow signs halve both offsets of *less* and the lower offsets of drop and stack of *race*.
fn halved(case: &Case<'_>, measure: Measure, (from, to): Range) -> (i64, i64) {
    let (from, to) = (i64::from(from), i64::from(to));
    match row(case) {
        Row::Less if is_slow(case.runner) => (from / 2, to / 2),
        Row::Race if is_slow(case.runner) && matches!(measure, Measure::Drop | Measure::LandingStack) => {
            (from / 2, to)
        }
        _ => (from, to),
    }
}

fn clipped(
    case: &Case<'_>,
    rules: &[InForce],
    measure: Measure,
    worn: Option<i64>,
    (from, to): (i64, i64),
) -> (i64, i64) {
    let both = |hold: &dyn Fn(i64) -> i64| (hold(from), hold(to));
    match measure {
        Measure::Drop => both(&|end| held_drop(rules, worn, end)),
        Measure::LandingStack => both(&|end| end.max(floor(case, rules, worn))),
        Measure::Bending if pulls(rules, Pulls::BendingUp) => {
            let hold = |end: i64| worn.map_or(end, |worn| end.max(worn));
            (hold(from), hold(to) + 10)
        }
        Measure::Mass | Measure::Bending => (from, to),
    }
}

/// On the pull's side of the worn drop, and not below 0 unless the worn drop is.
fn held_drop(rules: &[InForce], worn: Option<i64>, end: i64) -> i64 {
    let pulled = match worn {
        Some(worn) if pulls(rules, Pulls::DropUp) => end.max(worn),
        Some(worn) if pulls(rules, Pulls::DropDown) => end.min(worn),
        _ => end,
    };
    if worn.is_some_and(|worn| worn < 0) { pulled } else { pulled.max(0) }
}

/// With `bone-stress-minimal` in force: 24 mm (forefoot 20, mean 22) or the worn value, whichever is lower.
fn floor(case: &Case<'_>, rules: &[InForce], worn: Option<i64>) -> i64 {
    if !rules.iter().any(|r| r.rule.id == "bone-stress-minimal") {
        return i64::MIN;
    }
    let floor = match case.landing {
        Landing::Heel => 240,
        Landing::Forefoot => 200,
        Landing::Mean => 220,
    };
    worn.map_or(floor, |worn| worn.min(floor))
}

/// On the rows *less* and *more*: halved against the heading, or against a pull where one is in force.
fn reaches(case: &Case<'_>, rules: &[InForce], measure: Measure, reach: i64) -> (i64, i64) {
    let row = row(case);
    let on_row = matches!(row, Row::Less | Row::More);
    if !on_row || !matches!(measure, Measure::Drop | Measure::LandingStack) {
        return (reach, reach);
    }
    let of_drop = measure == Measure::Drop;
    let halved_below = if of_drop && pulls(rules, Pulls::DropUp) {
        true
    } else if of_drop && pulls(rules, Pulls::DropDown) {
        false
    } else {
        row == Row::More
    };
    if halved_below { (reach / 2, reach) } else { (reach, reach / 2) }
}
