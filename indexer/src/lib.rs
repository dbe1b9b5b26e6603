//! From a supplier's sheet to an answerable index.
//!
//! A sheet is read as text in a child process ([`sheet`]), its headings are mapped to columns ([`columns`],
//! [`mapping`]), its cells become drafts and findings ([`heading`], [`cells`], [`reading`], [`draft`],
//! [`finding`]), the drafts are held against the store
//! ([`proposal`]) and applied in one transaction or not at all ([`store`]). What the store holds at one sequence
//! ([`loaded`]) becomes a word index ([`words`]) and a snapshot in memory ([`snapshot`]), which answers searches
//! ([`search`]; words that mean filters are read by [`phrases`]), puts the stock in order for a runner ([`ranked`]), plans
//! a change of shoe ([`planned`]), and finds what is like a shoe and what replaces it ([`similar`]). [`shop`] holds store
//! and snapshot together; [`keeping`] makes backups, keeps the right ones and restores them.

pub mod calendar;
pub mod cells;
pub mod characters;
pub mod chart;
pub mod columns;
pub mod count;
pub mod draft;
pub mod error;
mod export;
pub mod finding;
pub mod gaps;
pub mod hash;
pub mod heading;
pub mod keeping;
pub mod loaded;
pub mod mapping;
pub mod phrases;
pub mod planned;
pub mod proposal;
pub mod ranked;
pub mod reading;
pub mod search;
pub mod sheet;
pub mod shop;
pub mod similar;
pub mod snapshot;
pub mod store;
pub mod words;
