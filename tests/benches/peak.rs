//! The largest memory a process has held, as Linux counts it: `VmHWM` of proc(5).

use std::fs;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use indexer::sheet::READ_SHEET;

/// Of this process so far, in kB.
pub(crate) fn own_peak() -> u64 {
    peak("self").unwrap_or(0)
}

fn peak(process: &str) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches(" kB").parse().ok()
}

/// The children of this process, looked at every few milliseconds.
pub(crate) struct Watched {
    ended: Arc<AtomicBool>,
    most: JoinHandle<u64>,
}

impl Watched {
    /// From now on.
    pub(crate) fn begin() -> Self {
        let ended = Arc::new(AtomicBool::new(false));
        let seen = Arc::clone(&ended);
        let most = thread::spawn(move || {
            let mut most = 0;
            while !seen.load(Ordering::Relaxed) {
                let readers = children().into_iter().filter(|child| reads_a_sheet(child));
                most = readers.filter_map(|child| peak(&child)).fold(most, u64::max);
                thread::sleep(Duration::from_millis(2));
            }
            most
        });
        Self { ended, most }
    }

    /// The largest of them, in kB.
    pub(crate) fn end(self) -> u64 {
        self.ended.store(true, Ordering::Relaxed);
        self.most.join().unwrap_or(0)
    }
}

/// Until it runs a program of its own, a child counts its parent's memory.
fn reads_a_sheet(process: &str) -> bool {
    let command = fs::read(format!("/proc/{process}/cmdline")).unwrap_or_default();
    command.split(|byte| *byte == 0).any(|word| word == READ_SHEET.as_bytes())
}

fn children() -> Vec<String> {
    let tasks = fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
    let listed = tasks.filter_map(|task| fs::read_to_string(task.path().join("children")).ok());
    listed.flat_map(|all| all.split_whitespace().map(str::to_owned).collect::<Vec<_>>()).collect()
}
