//! What the tests share.

pub mod browser;
