//! The ranking, computed a second time as plain slow arithmetic from the words of its contract alone, and compared with
//! the program exactly: row, bands, every line, suitability and interval, order, groups, cautions and stops.
//!
//! Nothing here calls what the program advises with; only the types of what goes in are shared. In reading order: what
//! both are given ([`visit`], [`sheet`]), the second computation ([`stops`], [`row`], [`rules`], [`conflicts`],
//! [`bands`], [`suitability`], [`order`]), what is made up for it ([`runners`], [`shoes`]), the comparison ([`compare`])
//! and statements about the ranking itself ([`statements`]).

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod bands;
mod compare;
mod conflicts;
mod order;
mod row;
mod rules;
mod runners;
mod share;
mod sheet;
mod shoes;
mod statements;
mod stops;
mod suitability;
mod visit;

use catalogue::policy::HousePolicy;
use proptest::prelude::*;

use visit::{Visit, WornPair};

/// A runner in front of a wall of shoes.
fn visits() -> impl Strategy<Value = Visit> {
    let policy = prop_oneof![
        Just(HousePolicy::standard()),
        Just(HousePolicy { comparable_method: Some("global".to_owned()), ..HousePolicy::standard() }),
    ];
    (runners::runners(), shoes::worn(), policy, prop::collection::vec(shoes::shoe(), 20))
        .prop_map(|(runner, worn, policy, wall)| Visit::of(runner, worn, policy, wall))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    /// 500 runners before 20 shoes each: 10,000 pairs.
    #[test]
    fn the_program_and_the_second_computation_agree_on_every_line(visit in visits()) {
        compare::compare(&visit)?;
    }
}

#[test]
fn a_visit_of_which_nothing_is_known_is_computed_alike() {
    let shoe = shoes::unknown();
    let runner = catalogue::runner::Runner::default();
    let visit = Visit::of(runner, WornPair::NotAsked, HousePolicy::standard(), vec![shoe]);
    compare::compare(&visit).unwrap();
}
