//! How far a long import is, on a terminal only: nothing of it reaches a file or a pipe.

use std::io::{IsTerminal, stderr};
use std::thread;
use std::time::Duration;

use indexer::shop::{Progress, Step};
use indicatif::{ProgressBar, ProgressStyle};

/// How often it looks.
const GLANCE: Duration = Duration::from_millis(100);

/// Does `act` while a line on the terminal, unless it is to be quiet, says how far it is.
pub(super) fn watched<T: Send>(progress: &Progress, quiet: bool, act: impl FnOnce() -> T + Send) -> T {
    if quiet || !stderr().is_terminal() {
        return act();
    }
    thread::scope(|scope| {
        let work = scope.spawn(act);
        let line = ProgressBar::new_spinner();
        while !work.is_finished() {
            thread::sleep(GLANCE);
            show(&line, progress);
            line.tick();
        }
        line.finish_and_clear();
        work.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

/// A bar where it is known how many rows there are, else what is done and how many are.
fn show(line: &ProgressBar, progress: &Progress) {
    let of = progress.of();
    let template = if of.is_some() { "{msg} [{bar:30}] {pos} of {len} rows" } else { "{spinner} {msg}" };
    if let Ok(style) = ProgressStyle::with_template(template) {
        line.set_style(style.progress_chars("=> "));
    }
    if let Some(of) = of {
        line.set_length(of as u64);
        line.set_position(progress.now().1.min(of) as u64);
    }
    line.set_message(in_words(progress));
}

fn in_words(progress: &Progress) -> String {
    let (step, rows) = progress.now();
    let step = match step {
        Step::Reading => "reading",
        Step::Comparing => "comparing",
        Step::Applying => "applying",
    };
    if rows > 0 && progress.of().is_none() { format!("{step}: {rows} rows") } else { step.to_owned() }
}
