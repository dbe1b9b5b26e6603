//! Tests of parts together, without a browser.

#[path = "integration/sheet_reader.rs"]
mod sheet_reader;
