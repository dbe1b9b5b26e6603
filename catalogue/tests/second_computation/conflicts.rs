//! The ranking's contract, section 5.2, *Conflict*: which rules in force have lost, and which pulls are left.

use catalogue::injury::Injury;

use crate::rules::{Pulls, Rule, TABLE};
use crate::visit::Case;

/// A rule in force, and whether it lost a conflict and takes share 0.
pub(crate) struct InForce {
    pub(crate) rule: &'static Rule,
    pub(crate) lost: bool,
}

/// Every rule of the table in force.
pub(crate) fn in_force(case: &Case<'_>) -> Vec<InForce> {
    let active: Vec<&'static Rule> = TABLE.iter().filter(|rule| (rule.in_force)(case)).collect();
    let lost_to_injury = |rule: &Rule| {
        rule.is_of_injury()
            && active.iter().any(|o| o.is_of_injury() && apart(rule, o) && !keeps(case, rule, o))
    };
    let lost = |rule: &'static Rule| {
        lost_to_injury(rule)
            || (!rule.is_of_injury()
                && active.iter().any(|o| o.is_of_injury() && apart(rule, o) && !lost_to_injury(o)))
    };
    active.iter().map(|rule| InForce { rule, lost: lost(rule) }).collect()
}

/// The injury rule in force that pulls one way, when it has not lost.
pub(crate) fn pulls(rules: &[InForce], way: Pulls) -> bool {
    rules.iter().any(|r| r.rule.is_of_injury() && !r.lost && r.rule.pulls == Some(way))
}

fn apart(one: &Rule, other: &Rule) -> bool {
    use Pulls::{DropDown, DropUp, RockerDown, RockerUp};
    matches!(
        (one.pulls, other.pulls),
        (Some(DropUp), Some(DropDown))
            | (Some(DropDown), Some(DropUp))
            | (Some(RockerUp), Some(RockerDown))
            | (Some(RockerDown), Some(RockerUp))
    )
}

/// The answer to "which pain is current" keeps `rule`: current on its side alone, else painful on its side alone.
fn keeps(case: &Case<'_>, rule: &Rule, other: &Rule) -> bool {
    let says = |rule: &Rule, test: fn(&Injury) -> bool| {
        let speaks_of = |injury: &&Injury| rule.regions.contains(&injury.region);
        case.runner.injuries.iter().filter(speaks_of).any(test)
    };
    let current = |rule: &Rule| says(rule, |injury| injury.current.is_yes());
    let painful = |rule: &Rule| says(rule, |injury| injury.painful.is_yes());
    if current(rule) == current(other) { painful(rule) && !painful(other) } else { current(rule) }
}
