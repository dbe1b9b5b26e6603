//! From sheets and changes to the owner's pages: plain functions, words and tables, no markup.

pub mod changes;
pub mod preview;
pub mod sheets;
