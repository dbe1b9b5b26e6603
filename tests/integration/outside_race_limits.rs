//! The race hint against `tables/wa_sole_thickness_limits_mm.csv`: World Athletics Book C2.1A.

use catalogue::measures::Measures;
use catalogue::policy::HousePolicy;
use catalogue::rank::Case;
use catalogue::rules::{Gives, Rule};
use catalogue::runner::Runner;
use catalogue::style::{Purpose, Specification};
use catalogue::units::Mm;

use crate::outside_tables::Table;

#[test]
fn the_hint_speaks_from_a_tenth_above_the_road_limit_on_and_not_at_it() {
    let table = Table::read("wa_sole_thickness_limits_mm.csv");
    let road: Vec<_> = table
        .rows()
        .filter(|row| row.get("event_group").contains("road") && row.get("valid_to").is_empty())
        .filter_map(|row| row.scaled("limit_mm", 1))
        .collect();
    assert_eq!(road.len(), 2, "running and walking on the road");
    let rule = Rule::find("race-thickness").expect("the rule");
    for limit in road {
        let gives = |tenths: i64| {
            let heel_stack = Some(Mm::tenths(tenths as i32));
            let shoe = Measures::of(&Specification { heel_stack, ..Specification::default() }, None);
            rule.gives(&racing(), &shoe)
        };
        assert_eq!([gives(limit), gives(limit + 1)], [Gives::Silent, Gives::Printed]);
    }
}

#[test]
fn the_sentence_of_the_rule_names_the_limit_of_the_table() {
    let table = Table::read("wa_sole_thickness_limits_mm.csv");
    let road = table.rows().find(|row| row.get("event_group") == "road running").expect("the road");
    let rule = Rule::find("race-thickness").expect("the rule");
    assert!(rule.says.contains(&format!("{} mm", road.get("limit_mm"))), "{}", rule.says);
}

fn racing() -> Case {
    let runner = Runner { purpose: Some(Purpose::Race), ..Runner::default() };
    Case::of(&runner, None, &HousePolicy::standard())
}
