//! The runner file that `rank` and `plan` read, and what both say when a red flag stops them.

use std::fs;
use std::path::Path;

use catalogue::flags::Stopped;
use catalogue::runner::Runner;
use indexer::snapshot::Snapshot;

use super::{Failure, Out};
use crate::request::runner::{RunnerFault, RunnerForm};

/// Reads the file; whether the style it names is there is seen once a catalogue is open.
pub(super) fn read_form(path: &Path) -> Result<RunnerForm, Failure> {
    let text = fs::read_to_string(path)
        .map_err(|e| Failure::Unreachable(format!("cannot read the runner file {}: {e}", path.display())))?;
    RunnerForm::from_toml(&text).map_err(|faults| unread(path, &faults))
}

/// The runner of a form; `path` is where faults are said to be.
pub(super) fn to_runner(form: &RunnerForm, path: &Path, snapshot: &Snapshot) -> Result<Runner, Failure> {
    form.to_runner(&|key| snapshot.style(key).is_some()).map_err(|faults| unread(path, &faults))
}

/// A stop is an answer: the flags, why, and whom to see. `what` is what there is none of.
pub(super) fn stopped_in_words(what: &str, stopped: &Stopped, out: &mut Out) -> Result<(), Failure> {
    out.line(format_args!("No {what}: see a clinician first."))?;
    for flag in &stopped.flags {
        out.line(format_args!("\n{}\n  {}\n  {}", flag.sign(), flag.why(), flag.see()))?;
    }
    out.line("\nThe stock can still be searched.")
}

fn unread(path: &Path, faults: &[RunnerFault]) -> Failure {
    let lines: Vec<_> = faults.iter().map(|fault| format!("  {fault}")).collect();
    Failure::Problems(format!("{} cannot be used:\n{}", path.display(), lines.join("\n")))
}
