//! How far a long import is, on a terminal only: nothing of it reaches a file or a pipe.

use std::io::{IsTerminal, stderr};
use std::thread;
use std::time::Duration;

use indexer::shop::{Progress, Step};
use indicatif::{ProgressBar, ProgressStyle};

/// How often it looks.
const GLANCE: Duration = Duration::from_millis(100);

/// Does `act` while a line on the terminal says how far it is.
pub(super) fn watched<T: Send>(progress: &Progress, act: impl FnOnce() -> T + Send) -> T {
    if !stderr().is_terminal() {
        return act();
    }
    thread::scope(|scope| {
        let work = scope.spawn(act);
        let line = ProgressBar::new_spinner();
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            line.set_style(style);
        }
        while !work.is_finished() {
            thread::sleep(GLANCE);
            line.set_message(in_words(progress));
            line.tick();
        }
        line.finish_and_clear();
        work.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

fn in_words(progress: &Progress) -> String {
    let (step, rows) = progress.now();
    let step = match step {
        Step::Reading => "reading",
        Step::Comparing => "comparing",
        Step::Applying => "applying",
    };
    if rows > 0 { format!("{step}: {rows} rows") } else { step.to_owned() }
}
