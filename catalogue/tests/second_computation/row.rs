//! The ranking's contract, section 5.1: the row in force, its gates, and what halves its offsets.

use catalogue::injury::Injury;
use catalogue::rank::Row;
use catalogue::runner::{BodyMass, Heading, Runner};
use catalogue::style::Purpose;

use crate::stops::is_bone_site;
use crate::visit::{Case, Pair};

/// The row of the policy that is in force.
pub(crate) fn row(case: &Case<'_>) -> Row {
    let Some(worn) = &case.worn else {
        return if wants_to_race(case.runner) { Row::NewRace } else { Row::New };
    };
    if is_held_back(case) { Row::Same } else { wished(case.runner, worn) }
}

/// The row before any gate.
fn wished(runner: &Runner, worn: &Pair) -> Row {
    match runner.stage.heading {
        _ if wants_to_race(runner) && worn.purposes.contains(Purpose::Race) => Row::Same,
        _ if wants_to_race(runner) => Row::Race,
        Some(Heading::Less) => Row::Less,
        Some(Heading::Same) | None => Row::Same,
        Some(Heading::More) => Row::More,
        Some(Heading::New) => Row::New,
    }
}

/// A gate, or diabetes, makes *less* (or *race* on the way to less) act as *same*.
pub(crate) fn is_held_back(case: &Case<'_>) -> bool {
    let for_less = case.runner.stage.heading == Some(Heading::Less);
    let row = case.worn.as_ref().map(|worn| wished(case.runner, worn));
    for_less && matches!(row, Some(Row::Less | Row::Race)) && less_is_closed(case)
}

pub(crate) fn wants_to_race(runner: &Runner) -> bool {
    runner.purpose == Some(Purpose::Race)
}

/// Weeks not over, or the newest pair not yet the main pair, unless ordered for anyway; diabetes always.
fn less_is_closed(case: &Case<'_>) -> bool {
    let weeks = case.runner.stage.weeks_done.is_some_and(|done| done < case.policy.weeks_per_step);
    let main_pair = case.runner.now.main.is_no();
    case.runner.flags.diabetes.is_yes() || ((weeks || main_pair) && !case.runner.stage.step_anyway)
}

/// A recent injury, or two slow signs.
pub(crate) fn is_slow(runner: &Runner) -> bool {
    let recent = runner.injuries.iter().copied().any(recent);
    let signs = [
        recent,
        runner.injuries.iter().any(|injury| is_bone_site(injury.region)),
        heavier_than(runner, 714),
        runner.weekly_km.is_some_and(|km| km > 35),
        runner.strike_changing.is_yes(),
        runner.strength_work.is_no(),
    ];
    recent || signs.iter().filter(|sign| **sign).count() >= 2
}

/// Within 12 months, or painful, or when not asked.
pub(crate) fn recent(injury: Injury) -> bool {
    injury.recent.is_yes() || injury.painful.is_yes() || injury.recent.known().is_none()
}

/// Known to weigh more than so many tenths of kg.
pub(crate) fn heavier_than(runner: &Runner, tenths: i32) -> bool {
    match runner.body_mass {
        Some(BodyMass::Exactly(mass)) => mass.in_tenths() > tenths,
        Some(BodyMass::Between(Some(from), _)) => from.in_tenths() >= tenths,
        _ => false,
    }
}

/// Known to weigh less than so many tenths of kg.
pub(crate) fn lighter_than(runner: &Runner, tenths: i32) -> bool {
    match runner.body_mass {
        Some(BodyMass::Exactly(mass)) => mass.in_tenths() < tenths,
        Some(BodyMass::Between(_, Some(to))) => to.in_tenths() <= tenths,
        _ => false,
    }
}
