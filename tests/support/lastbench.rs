//! The program under test: the very `main` of `lastbench`, under a name that this package's tests can start.

use std::process::ExitCode;

fn main() -> ExitCode {
    web::main()
}
