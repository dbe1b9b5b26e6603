//! The program under test, and the child that reads sheets.

use std::process::ExitCode;

fn main() -> ExitCode {
    match std::env::args().nth(1) {
        Some(verb) if verb == indexer::sheet::READ_SHEET => indexer::sheet::worker_main(),
        _ => ExitCode::FAILURE,
    }
}
