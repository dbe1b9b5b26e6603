//! What a request says: low types as typed, turned into the domain's own or into sentences about what is wrong.

pub mod compare;
pub mod on_foot;
pub mod policy_file;
pub mod runner;
mod runner_contradictions;
mod runner_draft;
mod runner_fields;
mod runner_file;
mod runner_injuries;
pub mod scan;
pub mod shoes;
pub mod shoes_meant;
pub mod shows;
mod wrong;
