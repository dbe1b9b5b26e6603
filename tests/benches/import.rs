//! How long a sheet takes from file to searchable, beside SQLite alone.
fn main() {}
