//! Whether the random visits reach what they are meant to compare: an agreement on nothing would be no agreement.

use std::collections::BTreeSet;

use catalogue::rank::Row;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;

use crate::order::{Standing, groups, in_order};
use crate::row::row;
use crate::rules::TABLE;
use crate::runners::visit;
use crate::stops::stops;
use crate::suitability::Prepared;
use crate::visit::Visit;

#[test]
fn the_random_visits_reach_every_row_rule_conflict_cap_and_group() {
    let mut runner = TestRunner::deterministic();
    let mut seen = BTreeSet::new();
    for _ in 0..250 {
        let visit = visit(25).new_tree(&mut runner).unwrap().current();
        seen.extend(reached(&visit));
    }
    let rows = Row::ALL.iter().map(|row| format!("row {}", row.word()));
    let rules = TABLE.iter().map(|rule| format!("in force {}", rule.id));
    let lost = ["low-drop-regular", "calf-drop", "kneecap-drop", "achilles-rocker", "kneecap-rocker"];
    let lost = lost.iter().map(|id| format!("lost {id}"));
    let caps = ["whole", "calf", "kneecap", "all"].iter().map(|cap| format!("cap {cap}"));
    let groups =
        ["First", "Also", "Further", "TooLittle", "Aside"].iter().map(|group| format!("group {group}"));
    let others = ["stopped", "caution"].iter().map(|&word| word.to_owned());
    let missing: Vec<String> = rows
        .chain(rules)
        .chain(lost)
        .chain(caps)
        .chain(groups)
        .chain(others)
        .filter(|r| !seen.contains(r))
        .collect();
    assert!(missing.is_empty(), "never reached: {missing:?}");
}

fn reached(visit: &Visit) -> BTreeSet<String> {
    if !stops(&visit.runner).is_empty() {
        return BTreeSet::from(["stopped".to_owned()]);
    }
    let prepared = Prepared::of(visit.case());
    let mut seen = BTreeSet::from([format!("row {}", row(&prepared.case).word())]);
    seen.extend(
        prepared.rules.iter().map(|r| format!("{} {}", if r.lost { "lost" } else { "in force" }, r.rule.id)),
    );
    let ordered = in_order(standing(visit, &prepared));
    for shoe in &ordered {
        let took = shoe.judged.caps.iter().filter(|(_, cap)| cap.at != 0);
        seen.extend(took.map(|(tissue, _)| format!("cap {}", tissue.unwrap_or("all"))));
        seen.extend(shoe.judged.caution.then(|| "caution".to_owned()));
    }
    seen.extend(groups(&prepared, &ordered).iter().map(|group| format!("group {group:?}")));
    seen
}

/// The wall as the order sees it.
pub(crate) fn standing(visit: &Visit, prepared: &Prepared<'_>) -> Vec<Standing> {
    let shoe = |(i, shoe): (usize, &crate::visit::Shoe)| Standing {
        judged: prepared.judge(&shoe.sheet()),
        pairs: shoe.pairs,
        key: crate::compare::key(i).as_str().to_owned(),
        worn: visit.worn_on_wall() == Some(i),
    };
    visit.wall.iter().enumerate().map(shoe).collect()
}
