//! Scripts that read or write with libraries that are not ours.

use std::path::Path;
use std::process::Command;

/// Runs a script of the package of tests, by the Python that `tests/run` has equipped; panics with its words when it fails.
pub fn run(script: &str, arguments: &[&str]) {
    let python = std::env::var("LASTBENCH_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(script);
    let ran = Command::new(&python).arg(&script).args(arguments).output();
    let ran = ran.unwrap_or_else(|fault| panic!("{python}: {fault}. `tests/run` installs what is missing"));
    let words = String::from_utf8_lossy(&ran.stderr);
    assert!(
        ran.status.success(),
        "{}: {words} (what is missing is installed by `tests/run`)",
        script.display()
    );
}
