//! The ranking computed a second time, from the text of its contract alone (sections 3, 5, 5.1, 5.2 and 6 of the
//! design), in slow plain arithmetic; and both computations compared on random runners and shoes.
//!
//! Nothing here calls what gives advice: only the fields of runners, specifications and the policy are read.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod apart;
mod bands;
mod compare;
mod conflicts;
mod metamorphic;
mod order;
mod reach;
mod row;
mod rules;
mod runners;
mod share;
mod sheet;
mod shoes;
mod stops;
mod suitability;
mod visit;
