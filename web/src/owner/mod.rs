//! From sheets and changes to the owner's pages: plain functions, words and tables, no markup.

pub mod at_store;
pub mod changes;
pub mod changes_one;
pub mod count;
pub mod day;
pub mod edit;
pub mod edit_read;
pub mod edit_size;
pub mod gaps;
pub mod gaps_list;
pub mod gaps_query;
pub mod keeping;
pub mod policy;
mod policy_moves;
pub mod sent;
pub mod sheet_answers;
pub mod sheet_changes;
pub mod sheet_findings;
pub mod sheet_headings;
pub mod sheet_how;
pub mod sheet_page;
pub mod sheet_work;
pub mod sheets;
pub mod shoe_origins;
pub mod size_charts;
pub mod synonyms;
pub mod values;
