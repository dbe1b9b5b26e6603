//! Handlers: one file a page. Each gathers what its page needs and returns it; none holds markup.

pub mod assets;
pub mod changes;
pub mod compare;
pub mod count;
pub mod day;
pub mod desk;
pub mod edit;
pub mod edit_size;
pub mod evidence;
mod fitting;
pub mod fitting_card;
pub mod fitting_close;
pub mod fitting_compare;
pub mod fitting_mark;
pub mod fitting_narrow;
pub mod fitting_on_foot;
pub mod fitting_open;
pub mod fitting_plan;
pub mod fitting_runner;
pub mod fitting_scan;
pub mod fitting_shortlist;
pub mod fitting_stock;
pub mod fitting_wanted;
pub mod fitting_why;
pub mod frame;
pub mod gaps;
pub mod policy;
pub mod rank_json;
pub mod scan;
pub mod sheet;
pub mod sheet_files;
pub mod sheets;
pub mod shoes;
pub mod size_charts;
#[cfg(test)]
mod visit_tests;
