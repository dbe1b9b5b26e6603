//! Statements about the tree: who may name what, where things stand, and that the tables of DEVELOPERS.md are true.

#[path = "tidy/arrows.rs"]
mod arrows;
#[path = "tidy/asvs.rs"]
mod asvs;
#[path = "tidy/developers.rs"]
mod developers;
#[path = "tidy/faults.rs"]
mod faults;
#[path = "tidy/invariants.rs"]
mod invariants;
#[path = "tidy/layout.rs"]
mod layout;
#[path = "tidy/libraries.rs"]
mod libraries;
#[path = "tidy/lock.rs"]
mod lock;
#[path = "tidy/manifests.rs"]
mod manifests;
#[path = "tidy/purity.rs"]
mod purity;
#[path = "tidy/safety.rs"]
mod safety;
#[path = "tidy/tree.rs"]
mod tree;
#[path = "tidy/views.rs"]
mod views;

/// Fails with every offence in one list: what, where, and what to do.
fn none_of(offences: &[String], what_to_do: &str) {
    assert!(offences.is_empty(), "{what_to_do}\n  {}", offences.join("\n  "));
}
