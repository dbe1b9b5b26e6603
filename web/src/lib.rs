//! The pages of Lastbench: labels, recurring parts of a page, and the pages themselves.
//!
//! A page is a plain struct of data, its strings and numbers already decided, with a `view`. Views hold no
//! decisions, look nothing up and know nothing of the catalogue beyond its quantities.

pub mod labels;
pub mod pages;
pub mod parts;
