//! The invariants of the whole, and the tests that hold each.

use crate::none_of;
use crate::tree::sources;

/// One invariant, and the names of the tests that hold it.
struct Invariant {
    says: &'static str,
    held_by: &'static [&'static str],
}

const INVARIANTS: [Invariant; 6] = [
    Invariant {
        says: "The catalogue names no library of input, storage, search or pages.",
        held_by: &[
            "catalogue_names_no_library_of_input_storage_search_or_pages",
            "catalogue_needs_the_standard_library_alone",
        ],
    },
    Invariant {
        says: "Unknown is a value and never zero.",
        held_by: &[
            "a_missing_drop_is_unknown_not_zero",
            "an_unknown_value_counts_half_and_could_be_anything",
        ],
    },
    Invariant {
        says: "The index may be deleted at any time and is built again from the store.",
        held_by: &["an_index_that_is_deleted_or_damaged_anywhere_is_built_again"],
    },
    Invariant {
        says: "A change to the catalogue is all or nothing.",
        held_by: &["fifty_kills_during_an_import_leave_before_or_after"],
    },
    Invariant {
        says: "No advice without a rule, no rule without source and grade.",
        held_by: &["every_line_of_a_rule_names_its_rule", "every_rule_has_sources_people_and_limits"],
    },
    Invariant {
        says: "Handlers hold no markup, views no decisions.",
        held_by: &["handlers_hold_no_markup", "views_hold_no_decisions"],
    },
];

#[test]
fn every_invariant_is_held_by_tests_that_exist() {
    let sources = sources();
    let exists = |name: &str| {
        let header = format!("fn {name}(");
        sources.iter().any(|source| source.all_code.contains(&header))
    };
    let mut bare = Vec::new();
    for invariant in INVARIANTS {
        let missing = invariant.held_by.iter().filter(|name| !exists(name));
        bare.extend(missing.map(|name| format!("{} There is no test {name}.", invariant.says)));
    }
    none_of(
        &bare,
        "an invariant without its test is a wish: write the test, or name here the one that holds it",
    );
}
