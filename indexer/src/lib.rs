//! From a supplier's sheet to an answerable index.

pub mod sheet;
