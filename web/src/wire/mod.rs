//! The JSON of command line and HTTP alike: the only public `Serialize` of the workspace.
//!
//! Keys carry the unit, numbers are never localised, unknown is `null`.

pub mod count;
pub mod gaps;
pub mod history;
pub mod import;
pub mod plan;
pub mod rank;
mod schemas;
pub mod shoes;
pub mod similar;
pub mod size_chart;
pub mod why;

pub use schemas::schemas;
